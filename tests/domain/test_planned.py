"""Workshops as events planned them: what is written, and read back (rules E1, E3, E7)."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.arrangement import NOWHERE, Spot, record
from observe.domain.events import FIRST, Draft, Event, Stamp, sealed_event
from observe.domain.form import Mode
from observe.domain.planned import (
    PLAN_KINDS,
    form_record,
    plan_record,
    seat_record,
    station_record,
    workshops,
)
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.workshop import FormInUse, Seat, Station, Unheard, Workshop, observation_id

FORM = "f" * 64
CARD = Station("trainer", "pad", "left", "5 cm")
SEATS = (
    Seat(1, "a1", "l1", 1, "left", "anna", "ben", CARD, FORM),
    Seat(2, "a2", "l2", 2, "right", "ben", "", form=FORM),
)
PLANNED = Workshop(
    id="w1",
    title="Afternoon",
    place="Hospital",
    date="2026-03-02",
    mode=Mode.FORMATIVE,
    forms=(FormInUse(FORM, "5" * 64, Profile(FORM, (Departure("S1", Doing.VOICE, "no fluid"),))),),
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


OTHER = FormInUse("e" * 64, "6" * 64, Profile("e" * 64))


def test_a_plan_without_form_or_room_in_its_seats_means_the_first_form_and_room_1() -> None:
    body = {"seat": 1, "learner": "l1", "ordinal": 1, "variant": "", "first": "anna", "second": ""}
    drafts = [planned()[0], Draft("attempt-planned", body, "w1", "a1")]
    seat = workshops(events(*drafts))["w1"].seats[0]
    assert (seat.form, seat.room, seat.absent) == (FORM, 1, False)


def test_each_seat_has_its_own_form_and_what_departs_from_it_w1() -> None:
    third = Seat(3, "a3", "l3", 1, "", "anna", "", form=OTHER.form, room=2)
    drafts = [
        *planned(),
        Draft("form-added", form_record(OTHER), "w1"),
        Draft("form-added", form_record(OTHER), "w1"),
        Draft("attempt-planned", seat_record(third), "w1", "a3"),
    ]
    found = workshops(events(*drafts))["w1"]
    assert [one.form for one in found.forms] == [FORM, OTHER.form]
    assert [found.form_of(seat) for seat in found.seats] == [FORM, FORM, OTHER.form]
    assert found.profile_of(found.seats[0]).departures
    assert found.profile_of(found.seats[2]) == OTHER.profile
    assert found.rooms == (1, 2)
    assert found.in_room(2) == (third,)


def arrange(**places: tuple[int, int]) -> Draft:
    return Draft("seats-arranged", record({one: Spot(*to) for one, to in places.items()}), "w1")


def absence(attempt: str, *, absent: bool) -> Draft:
    return Draft("absence-noted", {"absent": absent}, "w1", attempt)


def fold_on(*drafts: Draft) -> Workshop:
    return workshops(events(*planned(), *drafts))["w1"]


def test_seats_are_where_they_were_arranged_last_and_keep_all_else() -> None:
    found = fold_on(arrange(a1=(1, 2), a2=(1, 1)))
    assert found.seats == (replace(SEATS[1], number=1), replace(SEATS[0], number=2))
    back = fold_on(arrange(a1=(1, 2), a2=(1, 1)), arrange(a1=(1, 1), a2=(1, 2)))
    assert back == PLANNED


def test_a_place_that_was_left_is_remembered_with_its_room() -> None:
    found = fold_on(arrange(a1=(2, 9)))
    assert found.vacated == ((1, 1),)
    assert found.rooms == (1, 2)
    assert fold_on(arrange(a1=(2, 9)), arrange(a2=(1, 1))).vacated == ((2, 1),)


def test_an_arrangement_that_cannot_be_changes_nothing() -> None:
    assert fold_on(arrange(a1=(1, 2))) == PLANNED
    assert fold_on(arrange(nobody=(1, 9))) == PLANNED
    assert fold_on(arrange(a1=(0, 0))) == PLANNED


def test_where_two_machines_gave_one_place_away_nobody_is_lost() -> None:
    late = [
        Draft("attempt-planned", seat_record(replace(SEATS[0], attempt=one)), "w1", one)
        for one in ("a8", "a9")
    ]
    found = fold_on(*late)
    assert {seat.attempt: seat.number for seat in found.seats} == {
        "a1": 1,
        "a2": 2,
        "a8": 3,
        "a9": 4,
    }


def test_a_plan_that_is_read_twice_loses_no_seat_and_no_arrangement() -> None:
    late = Seat(5, "a5", "l5", 1, "left", "anna", "", form=FORM)
    change = [
        Draft("attempt-planned", seat_record(late), "w1", "a5"),
        arrange(a1=(2, 9)),
    ]
    assert workshops(events(*planned(), *change, *planned()))["w1"] == fold_on(*change)


def test_w1_w3_a_workshop_that_is_planned_again_stays_as_it_is() -> None:
    other = replace(PLANNED, mode=Mode.SUMMATIVE, forms=(replace(OTHER, form=FORM),))
    again = [
        Draft("workshop-planned", plan_record(other), "w1"),
        Draft("attempt-planned", seat_record(replace(SEATS[0], first="cleo")), "w1", "a1"),
    ]
    assert fold_on(*again) == PLANNED


def test_e7_an_attempt_that_another_planned_too_has_their_look_as_well() -> None:
    planned = Draft("attempt-planned", seat_record(replace(SEATS[1], first="cleo")), "w1", "a2")
    seat = fold_on(planned).seat_of("a2")
    assert seat.observers == ("ben", "cleo")
    assert seat.attempts == ("a2",)
    assert seat.observation_of("cleo") == observation_id("a2", "cleo")
    assert seat.is_planned_twice
    assert not seat.is_second_planned
    third = Draft("attempt-planned", seat_record(replace(SEATS[1], first="dan")), "w1", "a2")
    assert fold_on(planned, third).seat_of("a2") == seat


def look(observer: str, *, dropped: bool) -> Draft:
    return Draft("look-dropped", {"observer": observer, "dropped": dropped}, "w1", "a1")


def test_t2_a_second_look_is_given_up_and_taken_back_in() -> None:
    gone = fold_on(look("ben", dropped=True))
    assert gone.seats[0].observers == ("anna",)
    assert gone.seats[0].dropped == "ben"
    back = fold_on(look("ben", dropped=True), look("ben", dropped=False))
    assert back.seats[0] == replace(SEATS[0], restored=True)
    for nothing in (look("anna", dropped=True), look("ben", dropped=False)):
        assert fold_on(nothing) == PLANNED


def test_t4_a_look_that_was_taken_back_in_was_not_planned_any_more() -> None:
    """Between the two, what the other saw was no secret."""
    assert PLANNED.seats[0].is_second_planned
    back = fold_on(look("ben", dropped=True), look("ben", dropped=False))
    assert not back.seats[0].is_second_planned


def same(learner: str, as_: str) -> Draft:
    return Draft("same-learner", {"learner": learner, "same_as": as_}, "w1", by="anna")


def exchanged(was: str, now: str) -> Draft:
    return Draft("reattributed", {"with": "a2", "was": was, "is": now}, "w1", "a1", by="anna")


def another(attempt: str, learner: str) -> Draft:
    seat = replace(SEATS[0], attempt=attempt, learner=learner, number=3, first="anna", second="")
    return Draft("attempt-planned", seat_record(seat), "w1", attempt)


@pytest.mark.parametrize(
    ("kind", "drafts", "about"),
    [
        (Unheard.LEARNER, (another("a3", "l3"), same("l1", "l2"), same("l1", "l3")), ""),
        (Unheard.LEARNER, (same("l1", "l2"), same("l2", "l1")), ""),
        (Unheard.LEARNER, (same("l1", "nobody"),), ""),
        (Unheard.EXCHANGE, (same("l1", "l2"), exchanged("l1", "l2")), "a1"),
        (
            Unheard.VARIANT,
            (Draft("attempt-planned", seat_record(replace(SEATS[0], second="")), "w1", "a2"),),
            "a2",
        ),
    ],
)
def test_e7_what_does_not_fit_what_another_said_changes_nothing_and_is_kept_to_be_told(
    kind: Unheard, drafts: tuple[Draft, ...], about: str
) -> None:
    (said,) = fold_on(*drafts).contrary
    assert (said.kind, said.attempt) == (kind, about)
    if kind is not Unheard.VARIANT:
        before = fold_on(*drafts[:-1])
        assert fold_on(*drafts) == replace(before, contrary=(said,))


@pytest.mark.parametrize(
    "drafts", [(same("l1", "l2"),) * 2, (exchanged("l1", "l2"),) * 2, (same("l1", "l1"),)]
)
def test_e3_what_two_persons_said_alike_is_nothing_contrary(drafts: tuple[Draft, ...]) -> None:
    assert fold_on(*drafts).contrary == ()


def test_absence_leaves_the_place_free_with_its_name_until_it_is_given_away() -> None:
    away = fold_on(absence("a1", absent=True))
    assert away.seats == (replace(SEATS[0], absent=True), SEATS[1])
    assert fold_on(absence("a1", absent=True), absence("a1", absent=False)) == PLANNED
    given = (absence("a1", absent=True), arrange(a1=(0, 0), a2=(1, 1)))
    found = fold_on(*given)
    assert [(seat.attempt, seat.spot) for seat in found.seats] == [
        ("a2", Spot(1, 1)),
        ("a1", NOWHERE),
    ]
    assert found.rooms == (1,)
    back = fold_on(*given, absence("a1", absent=False))
    assert back.seat_of("a1").spot == Spot(1, 2)


numbers = st.integers(-1, 15)
changes = st.lists(
    st.one_of(
        st.dictionaries(
            st.sampled_from(["a1", "a2", "a7", "a8"]),
            st.tuples(st.integers(0, 3), numbers),
            min_size=1,
        ).map(lambda places: arrange(**places)),
        st.tuples(st.sampled_from(["a1", "a2", "a7"]), st.booleans()).map(
            lambda drawn: absence(drawn[0], absent=drawn[1])
        ),
        st.tuples(st.integers(7, 40), st.integers(1, 2), st.integers(1, 15)).map(
            lambda drawn: Draft(
                "attempt-planned",
                seat_record(replace(SEATS[0], room=drawn[1], number=drawn[2])),
                "w1",
                f"a{drawn[0]}",
            )
        ),
    ),
    max_size=30,
)


@given(changes)
def test_whatever_events_say_nobody_is_lost_and_no_two_share_a_seat(drafts: list[Draft]) -> None:
    found = fold_on(*drafts)
    planned_on_the_day = {one.attempt for one in drafts if one.kind == "attempt-planned"}
    assert sorted(found.spots) == sorted({"a1", "a2"} | planned_on_the_day)
    here = [seat for seat in found.seats if seat.spot != NOWHERE]
    assert len({seat.number for seat in here}) == len(here)
    assert all(len(found.in_room(room)) <= 12 for room in (1, 2))
    assert set(found.rooms) <= {1, 2}
    if len(found.seats) <= 24:
        assert all(seat.absent for seat in found.seats if seat.spot == NOWHERE)


# Handed over


def handed(*steps: tuple[str, str, str]) -> Seat:
    """Seat 1 after some handovers: by whom, to whom, and in which observation."""
    drafts = [
        Draft("handed-over", {"to": to, "last": "d/3"}, "w1", "a1", observation, by=by)
        for by, to, observation in steps
    ]
    planned = [Draft("workshop-planned", plan_record(PLANNED), "w1")]
    planned.append(Draft("attempt-planned", seat_record(SEATS[0]), "w1", "a1"))
    return workshops(events(*planned, *drafts))["w1"].seat_of("a1")


def test_t5_who_takes_over_watches_after_the_one_who_leaves() -> None:
    seat = handed(("anna", "cleo", "o1"), ("cleo", "dan", "o2"))
    assert seat.watches == (("anna", "cleo", "dan"), ("ben",))
    assert seat.observers == ("anna", "cleo", "dan", "ben")
    assert [seat.before(one) for one in seat.observers] == ["", "anna", "cleo", ""]


def test_t5_a_second_look_is_handed_over_too() -> None:
    assert handed(("ben", "cleo", "o1")).watches == (("anna",), ("ben", "cleo"))


def test_t5_what_was_not_begun_is_watched_by_the_other_from_the_start() -> None:
    assert handed(("anna", "cleo", "")).watches == (("cleo",), ("ben",))
    assert handed(("anna", "cleo", "o1"), ("cleo", "dan", "")).watches[0] == ("anna", "dan")


@pytest.mark.parametrize(
    ("by", "to"), [("anna", "ben"), ("anna", "anna"), ("anna", ""), ("nobody", "cleo")]
)
def test_t3_what_cannot_apply_changes_nothing(by: str, to: str) -> None:
    assert handed((by, to, "o1")).watches == SEATS[0].watches


def test_t5_who_takes_over_is_an_observer_of_the_workshop() -> None:
    planned = [Draft("workshop-planned", plan_record(PLANNED), "w1")]
    planned.append(Draft("attempt-planned", seat_record(SEATS[0]), "w1", "a1"))
    over = Draft("handed-over", {"to": "cleo", "last": "d/3"}, "w1", "a1", "o1", by="anna")
    found = workshops(events(*planned, over))["w1"]
    assert found.observers == ("anna", "ben", "cleo")


def test_e1_what_cannot_be_read_changes_nothing_and_raises_nothing() -> None:
    """Events come from other machines too."""
    broken = [
        Draft(kind, body, "w1", "a1")
        for kind in PLAN_KINDS
        for body in ({"place": 3}, {"places": 3}, {"places": [["a1", "x", None]]}, {"seat": "one"})
    ]
    sound = workshops(events(*planned()))
    assert workshops(events(*planned(), *broken)) == sound
    assert workshops(events(*broken, *planned())) == sound
