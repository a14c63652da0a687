from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from observe.domain.arrangement import MOST_SEATS
from observe.domain.form import Mode
from observe.domain.profile import Departure, Doing
from observe.domain.troubles import Refused
from observe.domain.workshop import Station
from observe.work.planning import FormPlan, Person, Place, Plan, plan_workshop

if TYPE_CHECKING:
    from tests.work.conftest import Bench

Planner = Callable[..., Plan]


def test_a_planned_workshop_comes_back_from_the_log_as_it_was_planned(bench: "Bench") -> None:
    assert bench.logbook.workshops() == {bench.workshop.id: bench.workshop}
    assert bench.logbook.names()["l2"] == "Otto Two"


def test_names_stand_beside_the_events_never_in_them(bench: "Bench") -> None:
    bodies = " ".join(str(event.body) for event in bench.logbook.log.read())
    assert "Lina" not in bodies
    assert "Anna" not in bodies


def test_w2_a_station_card_is_kept_with_the_attempt(bench: "Bench", plan: Planner) -> None:
    card = Station("lumbar trainer", "obese pad", "sitting", "6 cm")
    place = Place(Person("l9", "Ida"), "sitting", "o1", card)
    planned = plan_workshop(
        bench.logbook, plan(bench.workshop.forms[0].form, places=(place,), looks=0, seed="other")
    )
    assert bench.logbook.workshops()[planned.id].seats[0].station == card


def test_w1_the_profile_is_checked_before_anything_is_kept(bench: "Bench", plan: Planner) -> None:
    before = bench.logbook.log.read()
    left_out = (Departure("LPX-25", Doing.NOT_TODAY, "Needles are reused."),)
    with pytest.raises(Refused, match="summative"):
        plan_workshop(
            bench.logbook,
            plan(bench.workshop.forms[0].form, departures=left_out, mode=Mode.SUMMATIVE, seed="x"),
        )
    assert bench.logbook.log.read() == before


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"places": ()}, "No learner is seated"),
        (
            {
                "places": tuple(
                    Place(Person(f"l{n}", f"L{n}"), "sitting", "o1") for n in range(MOST_SEATS + 1)
                )
            },
            "two tables",
        ),
        ({"places": (Place(Person("l1", "L"), "sitting", "nobody"),)}, "not on the list"),
        ({"places": (Place(Person("l1", "L"), "standing", "o1"),)}, "no such variant"),
        ({"places": (Place(Person("l1", "L"), "sitting", "o1"),) * 2}, "seated twice"),
        ({"observers": (Person("o1", "Anna"),), "looks": 1}, "second observer"),
    ],
)
def test_a_plan_that_breaks_a_rule_is_refused_in_words(
    bench: "Bench", plan: Planner, changed: dict[str, object], said: str
) -> None:
    with pytest.raises(Refused) as refused:
        plan_workshop(bench.logbook, plan(bench.workshop.forms[0].form, seed="x", **changed))
    assert said in str(refused.value)
    assert refused.value.remedy


def test_e7_every_machine_derives_the_same_attempt_ids(bench: "Bench", plan: Planner) -> None:
    again = plan_workshop(bench.logbook, plan(bench.workshop.forms[0].form))
    assert [one.attempt for one in again.seats] == [one.attempt for one in bench.workshop.seats]


def test_w1_each_form_of_a_workshop_has_its_own_profile(two_forms: "Bench") -> None:
    workshop = two_forms.workshop
    assert two_forms.logbook.workshops()[workshop.id] == workshop
    first, second = workshop.forms
    assert first.profile.departures == ()
    assert [one.step for one in second.profile.departures] == ["IUP-07"]
    assert [workshop.form_of(seat) for seat in workshop.seats] == [first.form] * 2 + [second.form]
    assert [seat.room for seat in workshop.seats] == [1, 1, 2]


def test_e7_attempts_at_two_forms_are_two(two_forms: "Bench", plan: Planner) -> None:
    first, second = two_forms.workshop.forms
    both = (
        Place(Person("l1", "L"), "sitting", "o1"),
        Place(Person("l1", "L"), "copper", "o1", form=second.form),
    )
    further = (FormPlan(second.form),)
    found = plan_workshop(
        two_forms.logbook, plan(first.form, places=both, further=further, seed="x")
    )
    assert len({seat.attempt for seat in found.seats}) == 2


def test_two_rooms_hold_twelve_each(bench: "Bench", plan: Planner) -> None:
    seated = tuple(
        Place(Person(f"l{n}", f"L{n}"), "sitting", "o1", room=1 + n // MOST_SEATS)
        for n in range(2 * MOST_SEATS)
    )
    form = bench.workshop.forms[0].form
    found = plan_workshop(bench.logbook, plan(form, places=seated, seed="x"))
    assert [len(found.in_room(room)) for room in (1, 2)] == [MOST_SEATS, MOST_SEATS]
    assert [seat.number for seat in found.seats] == list(range(1, 25))


def test_a_form_that_is_not_in_the_plan_or_twice_in_it_is_refused(
    two_forms: "Bench", plan: Planner
) -> None:
    first, second = (one.form for one in two_forms.workshop.forms)
    stray = (Place(Person("l1", "L"), "copper", "o1", form=second),)
    with pytest.raises(Refused, match="not one of this workshop"):
        plan_workshop(two_forms.logbook, plan(first, places=stray, seed="x"))
    with pytest.raises(Refused, match="twice"):
        plan_workshop(two_forms.logbook, plan(first, further=(FormPlan(first),), seed="x"))
