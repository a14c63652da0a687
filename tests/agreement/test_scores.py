"""Ratings as numbers: complete rows, and why there are none."""

from __future__ import annotations

from observe.agreement.ratings import Ratings, Scale
from observe.agreement.scores import complete, obstacle


def test_rows_with_a_gap_are_left_out_and_counted() -> None:
    ratings = Ratings.from_table([[1, 2], [3, None], [5, 6], [None, 2]], scale=Scale.INTERVAL)
    found = complete(ratings)
    assert found.table.tolist() == [[1.0, 2.0], [5.0, 6.0]]
    assert any("2 units" in note for note in found.notes)


def test_words_are_no_scores() -> None:
    ratings = Ratings.from_table([["a", "b"], ["b", "b"]], categories=["a", "b"])
    found = complete(ratings)
    assert found.table.size == 0
    assert obstacle(ratings, found)
