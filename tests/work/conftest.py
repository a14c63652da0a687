"""A small planned workshop on a clock of its own."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from observe import places
from observe.domain import gestures
from observe.domain.form import Mode
from observe.domain.marks import DONE, NOT_APPLICABLE, Mark
from observe.domain.observation import Slot
from observe.domain.profile import Departure, Doing
from observe.domain.workshop import Workshop
from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.logbooks import Logbook, open_logbook
from observe.work.planning import FormPlan, Person, Place, Plan, plan_workshop
from observe.work.session import Session, open_session

ANNA, BEN, CLEO = Person("o1", "Anna"), Person("o2", "Ben"), Person("o3", "Cleo")


@dataclass
class Bench:
    """A logbook with one planned workshop; its machine's clock stands until it is moved."""

    path: Path
    machine: RehearsalMachine
    logbook: Logbook
    workshop: Workshop

    def plan(self, plan: Plan) -> Workshop:
        """Plan another workshop, and go on with it."""
        self.workshop = plan_workshop(self.logbook, plan)
        return self.workshop

    def session(self, seat: int, observer: str) -> Session:
        return open_session(self.logbook, self.workshop, self.workshop.seats[seat - 1], observer)

    def mark_all(
        self, session: Session, mark: Mark = DONE, *, but: dict[str, Mark] | None = None
    ) -> None:
        for step in session.state.steps:
            chosen = (but or {}).get(step.id, mark)
            self.machine.seconds += 10
            session.do(gestures.mark, step.id, chosen)
            if chosen == NOT_APPLICABLE:
                session.do(gestures.give_reason, step.id, "atraumatic needle")

    def seal(self, session: Session, overall: int = 4) -> None:
        session.do(gestures.give_overall, overall)
        session.do(gestures.write, Slot.STRENGTH, "Steady hands.")
        session.do(gestures.write, Slot.CHANGE, "Speak to the helper.")
        session.do(gestures.seal)


def a_plan(form: str, **changed: Any) -> Plan:  # noqa: ANN401 - any field of a plan
    plan = Plan(
        title="Skills afternoon",
        place="Invented hospital",
        date="2026-03-02",
        mode=Mode.FORMATIVE,
        form=form,
        departures=(),
        observers=(ANNA, BEN, CLEO),
        places=(
            Place(Person("l1", "Lina One"), "side-lying", ANNA.id),
            Place(Person("l2", "Otto Two"), "sitting", ANNA.id),
        ),
        looks=2,
        seed="seed",
    )
    return replace(plan, **changed)


@pytest.fixture
def plan() -> Callable[..., Plan]:
    return a_plan


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    path = tmp_path / "logbook.observe"
    machine = RehearsalMachine("2026-03-02T09:00:00.000+00:00")
    with open_logbook(path, create=True, machine=machine) as logbook:
        source = places.forms() / "lumbar-puncture-adult.toml"
        form = logbook.add_form(source.read_text(encoding="utf-8"), source.name)
        workshop = plan_workshop(logbook, a_plan(form.whole_digest))
        yield Bench(path, machine, logbook, workshop)


@pytest.fixture
def two_forms(bench: Bench) -> Bench:
    """The bench with a workshop of two forms in two rooms: seats 1 and 2, and seat 3 next door."""
    source = places.forms() / "intrauterine-device-placement.toml"
    other = bench.logbook.add_form(source.read_text(encoding="utf-8"), source.name).whole_digest
    first = a_plan(bench.workshop.forms[0].form)
    third = Place(Person("l3", "Ida Three"), "copper", ANNA.id, form=other, room=2)
    voiced = Departure("IUP-07", Doing.VOICE, "The dose is named, not drawn up.")
    plan = replace(
        first,
        seed="two forms",
        places=(*first.places, third),
        further=(FormPlan(other, (voiced,)),),
        looks=3,
    )
    bench.plan(plan)
    return bench
