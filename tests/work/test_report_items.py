"""The reporting guideline's items: told where the logbook knows, asked for where it does not."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.work.logbooks import Logbook
from observe.work.report_figures import Partition
from observe.work.report_items import SEVERITY, cautions, items
from observe.work.reviewing import Condition, Review, conditions, gather, review
from tests.work.second_looks import seen_by_two


@pytest.fixture(scope="module")
def logbook(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Logbook]:
    path: Path = tmp_path_factory.mktemp("items") / "l.observe"
    with seen_by_two(path, workshops=1, learners=5, seed=2) as opened:
        yield opened


@pytest.fixture(scope="module")
def condition(logbook: Logbook) -> Condition:
    (one,) = conditions(logbook)
    return one


@pytest.fixture(scope="module")
def made(logbook: Logbook, condition: Condition) -> Review:
    return review(gather(logbook, condition))


def test_what_the_logbook_cannot_know_is_asked_for(made: Review, condition: Condition) -> None:
    group = Partition.whole("Attempts", "attempt", (("Pass", 5),))
    found = {one.number: one for one in items(made, condition, group, group, typed=2)}
    assert [number for number, one in found.items() if not one.text] == [5, 12, 14]
    assert "typed in from paper: 2 attempts" in found[8].text
    assert SEVERITY in found[15].text
    assert "5 second looks planned among 5 attempts" in found[6].text


def test_cautions_name_what_was_left_out(made: Review) -> None:
    plain = cautions(made.gathered, 0, 0)
    assert plain[0].startswith("Seen on a trainer.")
    more = cautions(made.gathered, 1, 3)
    assert any("3 attempts with this form, under another scoring" in one for one in more)
    assert any("1 decision overruled" in one for one in more)
    assert len(more) == len(plain) + 2
