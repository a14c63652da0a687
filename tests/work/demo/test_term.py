"""The invented term holds what the director's questions need: returns, second looks, two sides."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain.decision import Outcome
from observe.work.check_logbook import check_logbook
from observe.work.debrief import attempt_result
from observe.work.demo import cast
from observe.work.demo.term import AFTERNOONS, LOOKS, SEATS, TERM_NAME, play_term
from observe.work.file_severity import Asked
from observe.work.logbooks import Logbook, open_logbook
from observe.work.severity_logbook import gather, study


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("term") / TERM_NAME
    ticks: list[tuple[int, int]] = []
    play_term(made, tick=lambda done, total: ticks.append((done, total)))
    assert ticks[-1] == (AFTERNOONS, AFTERNOONS)
    return made


@pytest.fixture
def term(path: Path) -> Iterator[Logbook]:
    with open_logbook(path, read_only=True) as logbook:
        yield logbook


def test_every_afternoon_has_second_looks_and_all_is_sealed(term: Logbook) -> None:
    workshops = term.workshops().values()
    assert len(workshops) == AFTERNOONS
    for workshop in workshops:
        assert sum(bool(seat.second) for seat in workshop.seats) == LOOKS
        for seat in workshop.seats:
            result = attempt_result(term, workshop, seat)
            assert len(result.reveals) == len(seat.observers)


def test_learners_come_back_and_both_outcomes_occur(term: Logbook) -> None:
    attempts: Counter[str] = Counter()
    outcomes: Counter[Outcome | None] = Counter()
    for workshop in term.workshops().values():
        for seat in workshop.seats:
            attempts[seat.learner] += 1
            assert seat.ordinal == attempts[seat.learner]
            outcomes[attempt_result(term, workshop, seat).outcome] += 1
    assert sum(attempts.values()) == AFTERNOONS * SEATS
    assert set(attempts.values()) == {3, 4}
    assert min(outcomes[Outcome.PASS], outcomes[Outcome.REMEDIATE]) >= 10


def test_the_observers_differ_as_they_were_cast(term: Logbook) -> None:
    found = study(gather(term), Asked()).observers
    order = [one.effect.observer for one in sorted(found, key=lambda one: one.effect.fixed)]
    assert order == [cast.MARSH.name, cast.RAO.name, cast.LINDGREN.name]


def test_the_same_seed_gives_the_same_logbook(path: Path, tmp_path: Path) -> None:
    again = tmp_path / TERM_NAME
    play_term(again, tick=lambda _done, _total: None)
    with open_logbook(path, read_only=True) as one, open_logbook(again, read_only=True) as other:
        assert [w.title for w in one.workshops().values()] == [
            w.title for w in other.workshops().values()
        ]
        assert gather(one).scores == gather(other).scores


def test_the_logbook_is_sound(path: Path) -> None:
    assert check_logbook(path).is_sound
