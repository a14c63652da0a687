"""Records by somebody who does not watch the attempt in the plan."""

from __future__ import annotations

from pathlib import Path

from observe.domain import gestures
from observe.domain.marks import DONE
from observe.work.planning import Person
from observe.work.seating import Late, add_late
from observe.work.session import open_session
from observe.work.strays import strays
from tests.work.machines import Desk, lead_desk, new_desk

AGAIN = Late(Person("again", "Known Before"), "sitting")


def added(desk: Desk, observer: str) -> None:
    """A learner who is known everywhere is added late, and marked."""
    add_late(desk.logbook, desk.workshop, AGAIN, by=observer)
    seat = desk.workshop.seats[-1]
    session = open_session(desk.logbook, desk.workshop, seat, observer)
    session.do(gestures.mark, session.state.steps[0].id, DONE)


def test_a_planned_workshop_has_none(tmp_path: Path) -> None:
    lead = lead_desk(tmp_path)
    lead.watch(1, "o1", upto=3)
    assert [*strays(lead.logbook, lead.workshop)] == []
    lead.logbook.close()


def test_e7_the_third_who_adds_the_same_learner_is_shown_and_not_lost(tmp_path: Path) -> None:
    lead = lead_desk(tmp_path, looks=0)
    machines = [new_desk(tmp_path, name) for name in ("two", "three")]
    for desk in machines:
        desk.take(lead.plan_packet())
    for desk, observer in zip((lead, *machines), ("o1", "o2", "o3"), strict=True):
        added(desk, observer)
    for desk, observer in zip(machines, ("o2", "o3"), strict=True):
        (told,) = lead.take(desk.packet(observer))
    seat = lead.workshop.seats[-1]
    assert len(seat.observers) == 2
    (stray,) = strays(lead.logbook, lead.workshop)
    assert {*seat.observers, stray.observer} == {"o1", "o2", "o3"}
    assert (stray.marks, stray.given_up) == (1, False)
    assert told.waits
    name = lead.logbook.names()[stray.observer]
    assert any(name in one and "do not count" in one for one in told.sentences)
    for desk in (lead, *machines):
        desk.logbook.close()


def test_a_record_of_an_attempt_that_is_not_planned_here_is_told() -> None:
    from observe.work.strays import Stray

    said = Stray("a-1", None, "o1", 2, given_up=False).sentence("Anna")
    assert said == (
        "Anna, who does not watch it in the plan, set 2 marks at an attempt that is not planned "
        "here: they do not count."
    )
