"""Who may be watched: those who are here, and no more at once than the forms allow (rule W3)."""

from collections.abc import Callable

import pytest

from observe.domain import gestures
from observe.domain.form import Mode
from observe.domain.marks import DONE
from observe.domain.troubles import Overtaken, Refused
from observe.work.handing_over import hand_over_all
from observe.work.planning import FormPlan, Person, Place, Plan
from observe.work.seating import note_absent
from observe.work.session import Room
from tests.work.conftest import Bench, a_plan

PlaceOf = Callable[..., Plan]


def summative(bench: Bench, plan: PlaceOf, mode: Mode = Mode.SUMMATIVE) -> Room:
    """Four learners of one observer, two in each room; both shipped forms, two at once."""
    first, second = (one.form for one in bench.workshop.forms)
    places = tuple(
        Place(Person(f"s{n}", name), variant, "o1", form=form, room=room)
        for n, (name, variant, form, room) in enumerate(
            (
                ("Ida", "sitting", first, 1),
                ("Otto", "copper", second, 1),
                ("Lin", "sitting", first, 2),
                ("Vera", "copper", second, 2),
            )
        )
    )
    further = (FormPlan(second),)
    workshop = bench.plan(
        plan(first, mode=mode, places=places, further=further, looks=0, seed="w3")
    )
    return Room(bench.logbook, workshop, "o1", 2)


def start(room: Room, *numbers: int) -> None:
    for number in numbers:
        session = next(one for one in room.every if one.seat.number == number)
        session.do(gestures.mark, session.state.steps[0].id, DONE)


def test_w3_a_start_beyond_the_limit_is_refused_also_across_rooms(
    two_forms: Bench, plan: PlaceOf
) -> None:
    room = summative(two_forms, plan)
    assert [one.seat.number for one in room.sessions] == [3, 4]
    start(room, 1, 2)
    before = two_forms.logbook.log.read()
    with pytest.raises(Refused) as refused:
        start(room, 3)
    assert refused.value.what.startswith("2 clocks run already")
    assert "Ida, seat 1 or Otto, seat 2" in refused.value.remedy
    assert two_forms.logbook.log.read() == before


def test_w3_once_a_clock_is_paused_another_may_start_and_the_paused_may_be_marked(
    two_forms: Bench, plan: PlaceOf
) -> None:
    room = summative(two_forms, plan)
    start(room, 1, 2)
    first = room.every[0]
    first.do(gestures.pause_clock)
    start(room, 3)
    first.do(gestures.mark, first.state.steps[1].id, DONE)
    with pytest.raises(Refused, match="2 clocks run already"):
        first.do(gestures.start_clock)


def test_w3_after_a_safety_stop_the_clock_goes_on_only_within_the_limit(
    two_forms: Bench, plan: PlaceOf
) -> None:
    room = summative(two_forms, plan)
    start(room, 1, 2)
    room.every[0].do(gestures.stop_for_safety)
    start(room, 3)
    with pytest.raises(Refused, match="2 clocks run already"):
        room.every[0].do(gestures.go_on)


def test_w3_a_formative_workshop_refuses_no_start(two_forms: Bench, plan: PlaceOf) -> None:
    room = summative(two_forms, plan, Mode.FORMATIVE)
    start(room, 1, 2, 3, 4)
    assert all(one.state.clock.is_running for one in room.every)


def test_who_is_absent_is_not_marked(bench: Bench) -> None:
    room = Room(bench.logbook, bench.workshop, "o1")
    note_absent(bench.logbook, bench.workshop, bench.workshop.seats[1].attempt, by="o1")
    room.reseat()
    with pytest.raises(Refused, match="Otto Two is noted absent") as refused:
        start(room, 2)
    assert refused.value.where == "seat 2"
    start(room, 1)


def test_w3_two_windows_of_one_observer_count_together(two_forms: Bench, plan: PlaceOf) -> None:
    one, other = summative(two_forms, plan), summative(two_forms, plan)
    start(one, 1)
    with pytest.raises(Overtaken):
        start(other, 2)
    start(other, 2)
    before = two_forms.logbook.log.read()
    with pytest.raises(Overtaken):
        start(one, 3)
    with pytest.raises(Refused, match="2 clocks run already"):
        start(one, 3)
    assert two_forms.logbook.log.read() == before


def test_who_was_noted_absent_in_another_window_is_not_marked_in_this_one(bench: Bench) -> None:
    """Marks of one who is absent would go out of sight with the place."""
    room = Room(bench.logbook, bench.workshop, "o1")
    note_absent(bench.logbook, bench.workshop, bench.workshop.seats[1].attempt, by="o1")
    before = bench.logbook.log.read()
    with pytest.raises(Overtaken, match="who is here"):
        start(room, 2)
    with pytest.raises(Refused, match="Otto Two is noted absent"):
        start(room, 2)
    assert bench.logbook.log.read() == before


def test_t5_who_was_given_away_in_another_window_is_not_marked_in_this_one(bench: Bench) -> None:
    """Marks of one who does not watch any more would count nowhere."""
    plan = a_plan(bench.workshop.forms[0].form, looks=0, title="Alone")
    workshop = bench.plan(plan)
    here, there = Room(bench.logbook, workshop, "o1"), Room(bench.logbook, workshop, "o1")
    hand_over_all(there, "o2")
    before = bench.logbook.log.read()
    with pytest.raises(Overtaken, match="who watches"):
        start(here, 1)
    with pytest.raises(Refused, match="Lina One was given to another observer"):
        start(here, 1)
    assert bench.logbook.log.read() == before
