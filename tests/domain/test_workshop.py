from observe.domain.events import FIRST, Draft, Event, Stamp, sealed_event
from observe.domain.form import Mode
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.workshop import (
    Seat,
    Station,
    Workshop,
    attempt_id,
    observation_id,
    plan_record,
    seat_record,
    station_record,
    workshops,
)

SEATS = (
    Seat(1, "a1", "l1", 1, "left", "anna", "ben", Station("trainer", "pad", "left", "5 cm")),
    Seat(2, "a2", "l2", 2, "right", "ben", ""),
)
PLANNED = Workshop(
    id="w1",
    title="Afternoon",
    place="Hospital",
    date="2026-03-02",
    mode=Mode.FORMATIVE,
    form="f" * 64,
    scoring="5" * 64,
    profile=Profile("f" * 64, (Departure("S1", Doing.VOICE, "no fluid"),)),
    seed="seed",
    observers=("anna", "ben"),
    seats=SEATS,
)


def events(*drafts: Draft) -> list[Event]:
    made: list[Event] = []
    for seq, draft in enumerate(drafts, start=1):
        made.append(
            sealed_event(
                draft,
                device="d",
                seq=seq,
                prev=made[-1].hash if made else FIRST,
                gesture=f"g{seq}",
                part=1,
                stamp=Stamp("2026-03-02T09:00:00.000+00:00", 0, "boot"),
                commitments={},
            )
        )
    return made


def planned() -> list[Draft]:
    drafts = [Draft("workshop-planned", plan_record(PLANNED), "w1")]
    drafts += [
        Draft("attempt-planned", seat_record(seat), "w1", seat.attempt) for seat in reversed(SEATS)
    ]
    drafts.append(Draft("station-recorded", station_record(SEATS[0].station), "w1", "a1"))
    return drafts


def test_a_workshop_is_what_its_events_planned_with_seats_in_order() -> None:
    assert workshops(events(*planned())) == {"w1": PLANNED}


def test_events_of_an_unknown_workshop_plan_nothing() -> None:
    stray = Draft("attempt-planned", seat_record(SEATS[0]), "w2", "a1")
    assert workshops(events(stray)) == {}


def test_a_seat_names_its_observers_and_is_found_by_its_attempt() -> None:
    assert [seat.observers for seat in SEATS] == [("anna", "ben"), ("ben",)]
    assert PLANNED.seat_of("a2") is SEATS[1]


def test_e7_ids_follow_from_who_what_and_which_attempt() -> None:
    assert attempt_id("w", "l", "F", 1) == attempt_id("w", "l", "F", 1)
    ids = {
        attempt_id("w", "l", "F", 1),
        attempt_id("w", "l", "F", 2),
        attempt_id("w", "m", "F", 1),
        attempt_id("v", "l", "F", 1),
    }
    assert len(ids) == 4
    assert observation_id("a", "anna") != observation_id("a", "ben")
