from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from observe.domain.form import Mode
from observe.domain.profile import Departure, Doing
from observe.domain.troubles import Refused
from observe.domain.workshop import Station
from observe.work.planning import MOST_SEATS, Person, Place, Plan, plan_workshop

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
        bench.logbook, plan(bench.workshop.form, places=(place,), looks=0, seed="other")
    )
    assert bench.logbook.workshops()[planned.id].seats[0].station == card


def test_w1_the_profile_is_checked_before_anything_is_kept(bench: "Bench", plan: Planner) -> None:
    before = bench.logbook.log.read()
    left_out = (Departure("LPX-25", Doing.NOT_TODAY, "Needles are reused."),)
    with pytest.raises(Refused, match="summative"):
        plan_workshop(
            bench.logbook,
            plan(bench.workshop.form, departures=left_out, mode=Mode.SUMMATIVE, seed="x"),
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
        plan_workshop(bench.logbook, plan(bench.workshop.form, seed="x", **changed))
    assert said in str(refused.value)
    assert refused.value.remedy


def test_e7_every_machine_derives_the_same_attempt_ids(bench: "Bench", plan: Planner) -> None:
    again = plan_workshop(bench.logbook, plan(bench.workshop.form))
    assert [one.attempt for one in again.seats] == [one.attempt for one in bench.workshop.seats]
