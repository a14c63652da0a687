"""Angoff (1971); tables in tests/standards/data.py."""

import math
from statistics import stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.angoff import Judgement, angoff
from tests.standards.data import SIX_JUDGES, TEN_ITEMS, judged


def by_items(rows: list[list[float | None]]) -> list[list[float | None]]:
    return [list(column) for column in zip(*rows, strict=True)]


def test_four_judges_ten_items() -> None:
    found = angoff(judged(TEN_ITEMS))
    cut = found.cut
    means = [0.6375, 0.825, 0.425, 0.9, 0.5875, 0.725, 0.375, 0.8375, 0.5375, 0.725]
    assert cut.details["item_means"] == pytest.approx(means)
    assert cut.details["judge_totals"] == pytest.approx([6.35, 6.7, 6.55, 6.7])
    assert cut.value == pytest.approx(6.575)
    assert cut.percent == pytest.approx(65.75)
    assert cut.details["cut_percent"] == pytest.approx(65.75)
    assert cut.details["sd_judges"] == pytest.approx(0.1658312395, abs=1e-9)
    assert cut.se == pytest.approx(0.08291561976, abs=1e-9)
    assert (cut.n, cut.of, cut.scale.maximum) == (4, "judges", 10.0)


def test_six_judges_eight_items() -> None:
    cut = angoff(judged(by_items(SIX_JUDGES))).cut
    assert cut.value == pytest.approx(6.36667, abs=1e-5)
    assert cut.percent == pytest.approx(79.583, abs=1e-3)
    assert cut.details["judge_totals"] == pytest.approx([6.45, 6.15, 6.95, 5.75, 6.6, 6.3])
    assert cut.details["sd_judges"] == pytest.approx(0.40825, abs=1e-5)
    assert cut.se == pytest.approx(0.16667, abs=1e-5)
    assert cut.details["se_percent"] == pytest.approx(2.083, abs=1e-3)
    # Student's t with 5 degrees of freedom, 97.5 %: 2.570582 (any table).
    assert cut.high == pytest.approx(6.366667 + 2.570582 / 6, abs=1e-5)


def test_points_weigh_the_items() -> None:
    rows: list[list[float | None]] = [[0.5, 0.7], [1, 0.8]]
    cut = angoff(judged(rows), points={"item 1": 10, "item 2": 5}).cut
    assert cut.value == pytest.approx(10 * 0.6 + 5 * 0.9)
    assert cut.scale.maximum == 15
    assert cut.se == pytest.approx(stdev([10, 11]) / math.sqrt(2))


def test_a_missing_judgement_is_averaged_over_and_counted() -> None:
    rows = [list(row) for row in TEN_ITEMS]
    rows[0][0] = None
    found = angoff(judged(rows))
    assert found.cut.value == pytest.approx(6.575 - 0.6375 + (0.7 + 0.65 + 0.6) / 3)
    totals = found.cut.details["judge_totals"]
    assert isinstance(totals, tuple)
    assert totals[0] is None
    assert found.cut.details["missing"] == 1
    assert any("3 to 4 judges of each item" in note for note in found.cut.notes)
    assert found.rounds[0].items[0].judges == 3


def test_a_judge_who_said_nothing_is_left_out_and_named() -> None:
    rows: list[list[float | None]] = [[*row, None] for row in TEN_ITEMS]
    cut = angoff(judged(rows)).cut
    assert cut.se == pytest.approx(0.08291561976, abs=1e-9)
    assert (cut.n, cut.given) == (4, 5)
    assert cut.dropped == ("Without any judgement, left out: judge 5.",)


def test_where_there_is_no_standard_error_it_is_said() -> None:
    alone = angoff(judged([[0.5], [0.6]])).cut
    assert alone.value == pytest.approx(1.1)
    assert alone.se is None
    assert any("One judge has no spread" in note for note in alone.notes)
    once = angoff(judged([[0.5, 0.6], [0.6, None]])).cut
    assert once.se is None
    assert any("by one judge only" in note for note in once.notes)
    same = angoff(judged([[0.1, 0.1, 0.1], [0.7, 0.7, 0.7]])).cut
    assert (same.se, same.low) == (None, None)
    assert any("agree exactly" in note for note in same.notes)


def test_an_item_that_nobody_judged_has_no_cut() -> None:
    cut = angoff(judged([[0.5, 0.6], [None, None]])).cut
    assert cut.undefined == "The cut is not estimable: item 2 was judged by nobody."
    assert angoff(judged([[None, None]])).cut.value is None


def test_the_last_round_counts_and_what_changed_is_told() -> None:
    second = [list(row) for row in TEN_ITEMS]
    second[0] = [0.65, 0.65, 0.65, 0.65]
    found = angoff([*judged(second, 2), *judged(TEN_ITEMS, 1)])
    assert [one.round for one in found.rounds] == [1, 2]
    assert found.cut.value == pytest.approx(6.575 + 0.0125)
    (change,) = found.changes
    assert (change.before, change.after, change.changed, change.compared) == (1, 2, 3, 40)
    assert change.cut == pytest.approx(0.0125)
    assert change.sd_before == pytest.approx(0.1658312395, abs=1e-9)


def test_a_judge_far_from_the_others_is_named_and_kept() -> None:
    rows: list[list[float | None]] = [[0.6, 0.62, 0.61, 0.59, 0.6, 0.1] for _ in range(5)]
    found = angoff(judged(rows))
    assert [one.outlier for one in found.rounds[0].judges] == [False] * 5 + [True]
    assert any("kept: judge 6" in said for said in found.cut.warnings)
    assert found.cut.n == 6


@pytest.mark.parametrize(
    ("judgements", "said"),
    [
        ([Judgement("A", "x", 60.0)], "no share"),
        ([Judgement("A", "x", 0.5), Judgement("A", "x", 0.6)], "twice in round 1"),
        ([], "no judgement"),
    ],
)
def test_bad_input(judgements: list[Judgement], said: str) -> None:
    with pytest.raises(BadInput, match=said):
        angoff(judgements)


def test_an_item_worth_nothing_is_refused() -> None:
    with pytest.raises(BadInput, match="worth 0 points"):
        angoff([Judgement("A", "x", 0.5)], points={"x": 0})


share = st.integers(0, 20).map(lambda n: n / 20)


@given(
    st.integers(2, 6).flatmap(
        lambda judges: st.lists(
            st.lists(share, min_size=judges, max_size=judges), min_size=1, max_size=8
        )
    )
)
def test_without_gaps_the_error_is_that_of_the_judges_totals(rows: list[list[float]]) -> None:
    cut = angoff(judged([list(row) for row in rows])).cut
    totals = [sum(column) for column in zip(*rows, strict=True)]
    assert cut.value == pytest.approx(sum(totals) / len(totals))
    assert (cut.se or 0) == pytest.approx(stdev(totals) / math.sqrt(len(totals)), abs=1e-9)


@given(st.lists(st.lists(share | st.none(), min_size=3, max_size=3), min_size=1, max_size=6))
def test_any_gaps_give_a_number_or_a_sentence(rows: list[list[float | None]]) -> None:
    cut = angoff(judged(rows)).cut
    assert (cut.value is None) == bool(cut.undefined)
    assert cut.value is None or 0 <= cut.value <= len(rows)
