"""Resampled intervals are asked of the statistics, or it is said that there are none."""

import sys
from types import ModuleType

import pytest

from observe.agreement import Ratings
from observe.domain.troubles import BadInput
from observe.work import resampled
from observe.work.resampled import check_interval


def test_analytic_intervals_need_nothing() -> None:
    check_interval("analytic", None)


def test_a_seed_without_resampling_and_an_unknown_interval() -> None:
    with pytest.raises(BadInput, match="A seed is for resampled intervals"):
        check_interval("analytic", 5)
    with pytest.raises(BadInput, match="no interval 'exact'"):
        check_interval("exact", None)


def test_where_there_is_no_resampling_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(resampled, "HOME", "observe.agreement.nowhere")
    with pytest.raises(BadInput, match="not in this version"):
        check_interval("bca", 5)


def test_the_whole_question_is_handed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: dict[str, object] = {}

    def answer(ratings: Ratings, names: list[str], **rest: object) -> tuple[()]:
        asked.update(rest, ratings=ratings, names=names)
        return ()

    module = ModuleType("somewhere")
    monkeypatch.setattr(module, "resampled_estimates", answer, raising=False)
    monkeypatch.setitem(sys.modules, "somewhere", module)
    monkeypatch.setattr(resampled, "HOME", "somewhere")
    check_interval("percentile", 7)
    ratings = Ratings.from_table([[1, 2]])
    how = {"weights": "linear", "level": 0.9, "interval": "percentile", "seed": 7}
    assert resampled.resampled(ratings, ["gwet_ac2"], **how) == ()  # type: ignore[arg-type]  # forwards keywords
    assert asked == {"ratings": ratings, "names": ["gwet_ac2"], **how}
