"""Thirty decisions on invented records of both shipped forms, by a seed: for tests alone."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from observe import places
from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.marks import INCORRECT, NOT_DONE, Mark, State
from observe.domain.observation import Slot, open_reasons
from observe.work.debrief import AttemptResult, attempt_result
from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.logbooks import Logbook, open_logbook
from observe.work.planning import Person, Place, plan_workshop
from observe.work.session import Session, open_session
from tests.work.conftest import ANNA, a_plan

FORMS = (
    ("lumbar-puncture-adult.toml", "side-lying"),
    ("intrauterine-device-placement.toml", "levonorgestrel"),
    ("lumbar-puncture-adult.toml", "sitting"),
)
EACH = 10


def thirty(path: Path, *, seed: int = 30) -> list[AttemptResult]:
    """Thirty attempts, watched by one observer each and sealed; the logbook stays at `path`."""
    drawn = random.Random(seed)
    machine = RehearsalMachine("2026-03-02T09:00:00.000+00:00")
    with open_logbook(path, create=True, machine=machine) as logbook:
        return [one for part in range(len(FORMS)) for one in _part(logbook, part, drawn)]


def _part(logbook: Logbook, part: int, drawn: random.Random) -> Iterator[AttemptResult]:
    name, variant = FORMS[part]
    form = logbook.add_form((places.forms() / name).read_text(encoding="utf-8"), name)
    people = [Person(f"l{part}-{at}", f"Learner {part}.{at}") for at in range(EACH)]
    plan = a_plan(form.whole_digest, looks=0, seed=f"thirty {part}", title=f"Thirty {part}")
    workshop = plan_workshop(
        logbook, replace(plan, places=tuple(Place(one, variant, ANNA.id) for one in people))
    )
    for seat in workshop.seats:
        session = open_session(logbook, workshop, seat, ANNA.id)
        _mark(session, drawn, drawn.choice((0.0, 0.02, 0.1, 0.35)), drawn.choice((0.0, 0.1, 0.5)))
        yield attempt_result(logbook, workshop, seat)


def _mark(session: Session, drawn: random.Random, wrong: float, unseen: float) -> None:
    for step in session.state.steps:
        if drawn.random() < unseen:
            continue
        bad = drawn.random() < wrong
        kinds = (NOT_DONE, INCORRECT, Mark(State.DONE, drawn.randint(1, 4)))
        session.do(gestures.mark, step.id, drawn.choice(kinds) if bad else Mark(State.DONE))
    if drawn.random() < 0.2:
        item = drawn.choice(session.state.ground.form.criticals)
        session.do(gestures.record_critical)
        occurrence = session.state.occurrences[-1].id
        session.do(gestures.name_critical, occurrence, item.id)
        offered = gestures.offered_verdicts(session.state, item.id)
        kept = [one for one in offered if one is not Verdict.WITHDRAWN]
        session.do(gestures.classify, occurrence, drawn.choice(kept))
    for step_id in open_reasons(session.state):
        reasons = session.state.ground.form.step[step_id].reasons
        session.do(gestures.give_reason, step_id, reasons[0])
    if drawn.random() < 0.7:
        items = [item.id for item in session.state.ground.form.criticals]
        session.do(gestures.attest_watched, items)
    session.do(gestures.give_overall, drawn.randint(1, 5))
    session.do(gestures.write, Slot.STRENGTH, "Steady hands.")
    session.do(gestures.write, Slot.CHANGE, "Speak to the helper.")
    session.do(gestures.seal)
