"""A workshop, its seats and who watches whom."""

from dataclasses import replace

import pytest

from observe.domain.form import Mode
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.troubles import Doubtful
from observe.domain.workshop import FormInUse, Seat, Workshop, attempt_id, observation_id

FORM = "f" * 64
SEATS = (
    Seat(1, "a1", "l1", 1, "left", "anna", "ben", form=FORM),
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


def test_a_seat_names_its_observers_and_is_found_by_its_attempt() -> None:
    assert [seat.observers for seat in SEATS] == [("anna", "ben"), ("ben",)]
    assert PLANNED.seat_of("a2") is SEATS[1]


def test_e5_an_attempt_that_is_not_in_force_is_doubtful() -> None:
    with pytest.raises(Doubtful, match="not in the plan that is in force") as caught:
        PLANNED.seat_of("a9")
    assert "a9" in caught.value.where


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


def test_a_seat_with_a_form_that_was_never_added_is_doubtful() -> None:
    stray = replace(SEATS[0], form="e" * 64)
    with pytest.raises(Doubtful, match="never added"):
        PLANNED.profile_of(stray)
    assert PLANNED.form_of(replace(stray, form="")) == FORM
