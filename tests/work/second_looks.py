"""Workshops in which every learner is seen by two, with marks drawn by a seed: for tests alone."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path

from observe import places
from observe.domain import gestures
from observe.domain.marks import Mark, State
from observe.domain.observation import Slot
from observe.domain.workshop import Seat, Workshop
from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.logbooks import Logbook, open_logbook
from observe.work.planning import Person, Place, plan_workshop
from observe.work.session import open_session
from tests.work.conftest import a_plan

OBSERVERS = (Person("o1", "Dr Anna Berg"), Person("o2", "Dr Ben Ito"), Person("o3", "Dr Cleo Ray"))


@contextmanager
def seen_by_two(path: Path, *, workshops: int, learners: int, seed: int) -> Iterator[Logbook]:
    """A new logbook in which everything planned was watched and sealed."""
    machine = RehearsalMachine("2026-03-02T09:00:00.000+00:00")
    with open_logbook(path, create=True, machine=machine) as logbook:
        plan_some(logbook, workshops=workshops, learners=learners)
        watch_all(logbook, seed)
        yield logbook


def plan_some(logbook: Logbook, *, workshops: int, learners: int, looks: int | None = None) -> None:
    """Plan workshops a week apart; all learners of each are its own, most seen twice."""
    source = places.forms() / "lumbar-puncture-adult.toml"
    form = logbook.add_form(source.read_text(encoding="utf-8"), source.name).whole_digest
    for number in range(workshops):
        people = [Person(f"l{number}-{at}", f"Learner {number}.{at}") for at in range(learners)]
        plan_workshop(
            logbook,
            a_plan(
                form,
                title=f"Skills afternoon {number + 1}",
                date=(date(2026, 3, 2) + timedelta(weeks=number)).isoformat(),
                observers=OBSERVERS,
                places=tuple(
                    Place(one, "side-lying", OBSERVERS[at % 2].id) for at, one in enumerate(people)
                ),
                looks=learners if looks is None else looks,
                seed=f"seed {number}",
            ),
        )


def watch_all(logbook: Logbook, seed: int) -> None:
    """Let every planned observer mark and seal; two of one attempt agree on most steps."""
    drawn = random.Random(seed)
    for workshop in logbook.workshops().values():
        for seat in workshop.seats:
            able = drawn.uniform(0.45, 0.95)
            truth: dict[str, bool] = {}
            for observer in seat.observers:
                _watch(logbook, workshop, seat, observer, able, truth, drawn)


def _watch(
    logbook: Logbook,
    workshop: Workshop,
    seat: Seat,
    observer: str,
    able: float,
    truth: dict[str, bool],
    drawn: random.Random,
) -> None:
    session = open_session(logbook, workshop, seat, observer)
    for place, step in enumerate(session.state.steps):
        right = truth.setdefault(step.id, drawn.random() < able)
        slips = drawn.random() < 0.04 + 0.012 * place
        if drawn.random() < 0.04:
            continue
        state = State.DONE if right is not slips else State.NOT_DONE
        session.do(gestures.mark, step.id, Mark(state))
    session.do(gestures.give_overall, min(5, max(1, round(1 + 4 * able + drawn.gauss(0, 0.5)))))
    session.do(gestures.write, Slot.STRENGTH, "Steady hands.")
    session.do(gestures.write, Slot.CHANGE, "Speak to the helper.")
    session.do(gestures.seal)
