"""A report that leaves the director's role: no small count can be had, by any subtraction."""

from __future__ import annotations

import json
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import Refused
from observe.work.demo.term import play_term
from observe.work.logbooks import open_logbook
from observe.work.report import report
from observe.work.report_figures import Partition, Question, Report
from observe.work.report_suppressed import LEAST, WITHHELD, for_others, suppressed

COUNTS = st.lists(st.integers(0, 45), min_size=1, max_size=4)


def possible(group: Partition) -> list[tuple[int, ...]]:
    """All counts that a reader who knows the rule must take for possible."""
    hidden = [place for place, (_, count) in enumerate(group.cells) if count is None]
    shown = sum(count for _, count in group.cells if count is not None)
    if group.total is None:
        return []
    rest = group.total - shown
    found = []
    for counts in product(range(rest + 1), repeat=max(0, len(hidden) - 1)):
        last = rest - sum(counts)
        if last < 0:
            continue
        whole = [count or 0 for _, count in group.cells]
        for place, count in zip(hidden, (*counts, last), strict=True):
            whole[place] = count
        made = Partition.whole("", "", ((str(at), one) for at, one in enumerate(whole)))
        again = suppressed(made)
        if [c for _, c in again.cells] == [
            c for _, c in group.cells
        ] and again.total == group.total:
            found.append(tuple(whole))
    return found


@given(COUNTS)
def test_no_small_count_can_be_told_by_subtraction(counts: list[int]) -> None:
    whole = Partition.whole(
        "Attempts", "attempt", ((str(at), one) for at, one in enumerate(counts))
    )
    found = suppressed(whole)
    for place, count in enumerate(counts):
        if not 0 < count < LEAST:
            continue
        assert found.cells[place][1] is None
        if found.total is not None:
            assert len({one[place] for one in possible(found)}) > 1


@given(COUNTS)
def test_what_is_shown_is_true_and_nothing_is_hidden_without_need(counts: list[int]) -> None:
    whole = Partition.whole(
        "Attempts", "attempt", ((str(at), one) for at, one in enumerate(counts))
    )
    found = suppressed(whole)
    for (_, shown), count in zip(found.cells, counts, strict=True):
        assert shown in (None, count)
    if not any(0 < count < LEAST for count in counts):
        assert found == whole


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Report:
    path: Path = tmp_path_factory.mktemp("others") / "term.observe"
    play_term(path, tick=lambda _done, _total: None)
    with open_logbook(path, read_only=True) as logbook:
        return report(logbook, Question(""))


def groups(one: Report) -> list[Partition]:
    steps = [step.counts for step in one.steps]
    return [one.attempts, one.second, one.decisions, *one.lines, *one.criticals, *steps]


def test_no_group_of_it_shows_a_small_count(made: Report) -> None:
    found = for_others(made)
    for group in groups(found):
        assert not [count for _, count in group.cells if count is not None and 0 < count < LEAST]
    assert found.learners is None
    assert found.joined is None


def test_a_figure_that_would_tell_a_small_count_is_withheld(made: Report) -> None:
    found = for_others(made)
    for step in found.steps:
        if not step.counts.is_whole:
            assert step.percent.value is None
            assert step.found.undefined == WITHHELD
            assert step.percent.used == 0
    assert found.scores.value == made.scores.value
    json.dumps(found.as_record(), allow_nan=False)


def test_lines_of_the_rule_do_not_tell_what_the_attempts_hide(made: Report) -> None:
    few = Partition.whole("Attempts", "attempt", (("pass", 30), ("remediate", 31), ("void", 3)))
    one = type(made)(
        **{**{k: getattr(made, k) for k in made.__dataclass_fields__}, "attempts": few}
    )
    assert for_others(one).lines == ()


def test_under_ten_learners_nothing_leaves(made: Report) -> None:
    few = type(made)(**{**{k: getattr(made, k) for k in made.__dataclass_fields__}, "learners": 8})
    with pytest.raises(Refused, match="8 learners"):
        for_others(few)
