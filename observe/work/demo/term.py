"""A term of invented workshops in a logbook of its own: what the director's questions need.

Twenty learners come back over eight afternoons and get better; three observers differ a little.
All of it follows from a seed.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from pathlib import Path

from observe import places
from observe.domain.form import Form, Step
from observe.domain.workshop import Workshop
from observe.work.check_forms import read_text
from observe.work.demo import cast
from observe.work.demo.rehearsal import RehearsalMachine, play
from observe.work.demo.script import Part
from observe.work.logbooks import Logbook, open_logbook
from observe.work.planning import Person, Place, Plan, plan_workshop
from observe.work.session import Session, open_session

Tick = Callable[[int, int], None]

TERM_NAME = "term.observe"
FIRST_DATE = date(2026, 3, 31)
AFTERNOONS, SEATS, LOOKS = 8, 8, 4
NEWCOMERS = (
    Person("learner-9", "Runa Castellane"),
    Person("learner-10", "Idris Falk"),
    Person("learner-11", "Maren Okello"),
    Person("learner-12", "Tomas Eridge"),
    Person("learner-13", "Beatriz Holm"),
    Person("learner-14", "Anselm Rourke"),
    Person("learner-15", "Noor Palliser"),
    Person("learner-16", "Kaspar Lund"),
    Person("learner-17", "Ines Varga"),
    Person("learner-18", "Dafydd Osei"),
    Person("learner-19", "Hana Brookes"),
    Person("learner-20", "Leif Montara"),
)
LEARNERS = (*cast.LEARNERS, *NEWCOMERS)
OBSERVERS = (cast.MARSH, cast.LINDGREN, cast.RAO)
MISSES = {cast.MARSH.id: 0.07, cast.LINDGREN.id: 0.01, cast.RAO.id: 0.02}
LETS_PASS = {cast.MARSH.id: 0.03, cast.LINDGREN.id: 0.28, cast.RAO.id: 0.08}
"""Of an observer: share of what was done that is not taken for it, and of what was not that is."""

NOTICED = 0.85
"""Share of broken sterile fields that an observer sees."""

NOT_ASKED = frozenset({"LPX-17"})
"""Steps that do not apply with the needle that is used."""


@dataclass
class Afternoon:
    """One workshop of the term. able: of each learner today, 0 to 1."""

    number: int
    learners: tuple[Person, ...]
    ordinals: dict[str, int]
    able: dict[str, float]


def play_term(path: Path, *, seed: str = cast.SEED, tick: Tick) -> None:
    """Make the logbook of the term at `path`; tick: after each afternoon."""
    drawn = random.Random(seed)  # noqa: S311 - invented marks
    start = datetime.fromisoformat(cast.STARTS_AT)
    machine = RehearsalMachine(
        start.replace(month=FIRST_DATE.month, day=FIRST_DATE.day).isoformat(), "term"
    )
    with open_logbook(path, create=True, machine=machine) as logbook:
        form = logbook.add_form(read_text(places.forms() / cast.FORM), cast.FORM)
        for afternoon in _afternoons(drawn):
            begins = timedelta(weeks=afternoon.number).total_seconds()
            machine.seconds = begins
            workshop = plan_workshop(logbook, _plan(afternoon, form.whole_digest))
            play(machine, list(_parts(logbook, workshop, form, afternoon, drawn)), begins=begins)
            tick(afternoon.number + 1, AFTERNOONS)


def _afternoons(drawn: random.Random) -> Iterator[Afternoon]:
    able = {one.id: drawn.uniform(0.45, 0.97) for one in LEARNERS}
    attempts: Counter[str] = Counter()
    for number in range(AFTERNOONS):
        at = number * SEATS
        learners = tuple(LEARNERS[(at + place) % len(LEARNERS)] for place in range(SEATS))
        attempts.update(one.id for one in learners)
        yield Afternoon(
            number,
            learners,
            {one.id: attempts[one.id] for one in learners},
            {one.id: 1 - (1 - able[one.id]) * 0.4 ** (attempts[one.id] - 1) for one in learners},
        )


def _plan(afternoon: Afternoon, form: str) -> Plan:
    day = FIRST_DATE + timedelta(weeks=afternoon.number)
    return replace(
        cast.plan(form),
        title=f"Lumbar puncture, afternoon {afternoon.number + 1}",
        date=day.isoformat(),
        places=tuple(
            Place(
                learner,
                "side-lying",
                OBSERVERS[(place + afternoon.number) % len(OBSERVERS)].id,
                cast.STATION,
                ordinal=afternoon.ordinals[learner.id],
            )
            for place, learner in enumerate(afternoon.learners)
        ),
        looks=LOOKS,
        seed=f"{cast.SEED}, afternoon {afternoon.number + 1}",
    )


def _parts(
    logbook: Logbook,
    workshop: Workshop,
    form: Form,
    afternoon: Afternoon,
    drawn: random.Random,
) -> Iterator[tuple[Session, Part]]:
    for seat in workshop.seats:
        able = afternoon.able[seat.learner]
        steps = form.steps_of(seat.variant)
        happened = {step.id: drawn.random() < able for step in steps}
        broken = drawn.random() < 0.3 * (1 - able)
        for observer in seat.observers:
            noticed = broken and drawn.random() < NOTICED
            part = _seen(steps, happened, observer, drawn, noticed=noticed)
            yield open_session(logbook, workshop, seat, observer), part


def _seen(
    steps: tuple[Step, ...],
    happened: dict[str, bool],
    observer: str,
    drawn: random.Random,
    *,
    noticed: bool,
) -> Part:
    words = [_word(step, drawn, observer, done=happened[step.id]) for step in steps]
    if noticed:
        words.insert(10, "@LPX-C2:fatal")
    done = sum(word in "d1" for word in words) / len(words)
    grade = min(5, max(1, round(6.2 * done - 0.8 + drawn.gauss(0, 0.3))))
    return Part(
        " ".join(words),
        overall=grade,
        independence=min(5, max(1, grade + drawn.choice((-1, 0, 0, 1)))),
        strength="Calm and clear with the patient from the first word.",
        change="Say aloud what you look for before the needle moves.",
        attests=True,
    )


def _word(step: Step, drawn: random.Random, observer: str, *, done: bool) -> str:
    if step.id in NOT_ASKED:
        return "/"
    if drawn.random() < 0.03:
        return "."
    slips = drawn.random() < (MISSES if done else LETS_PASS)[observer]
    if done is not slips:
        return drawn.choices("d1", (6, 1))[0]
    return drawn.choices("n2i", (4, 2, 1))[0]
