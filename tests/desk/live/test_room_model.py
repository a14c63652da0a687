"""Who stands where: both rooms, free places, and what is remembered when seats change."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from observe.desk.live.model import LiveModel
from observe.domain.arrangement import Spot
from observe.domain.marks import DONE
from observe.work import seating

Make = Callable[..., LiveModel]


def test_seats_that_change_take_along_what_is_remembered_of_their_learners(
    make_model: Make,
) -> None:
    model = make_model(4)
    model.mark(0, DONE)
    model.drafts[0, "note"] = "typed, not kept"
    attempts = [session.seat.attempt for session in model.sessions]
    assert model.rearrange(partial(seating.swap, one=attempts[0], other=attempts[3])) is None
    assert model.name(3) == "Amara Voss"
    assert model.front == 3
    assert model.drafts == {(3, "note"): "typed, not kept"}


def test_a_refusal_for_the_room_says_why_and_changes_nothing(make_model: Make) -> None:
    model = make_model(2)
    attempt = model.sessions[0].seat.attempt
    refused = model.rearrange(partial(seating.swap, one=attempt, other=attempt))
    assert refused is not None
    assert "same learner" in refused.what
    assert [model.name(seat) for seat in model.here] == ["Amara Voss", "Idris Kalnin"]


def test_another_room_is_shown_when_one_of_its_learners_comes_to_the_front(
    make_model: Make,
) -> None:
    model = make_model(3)
    attempt = model.sessions[0].seat.attempt
    spot = next(one.spot for one in seating.free_places(model.workshop, 2))
    model.rearrange(partial(seating.move, attempt=attempt, spot=spot))
    changed: list[int] = []
    model.places_changed.connect(lambda: changed.append(model.shown_room))
    there = next(seat for seat in range(3) if model.in_room(seat) == 2)
    model.look(next(seat for seat in range(3) if model.in_room(seat) == 1))
    model.look(there)
    assert model.here == (there,)
    assert changed[-1] == 2


def test_a_place_that_was_left_stays_free_between_the_others(make_model: Make) -> None:
    model = make_model(4)
    attempt = model.sessions[1].seat.attempt
    model.rearrange(partial(seating.move, attempt=attempt, spot=Spot(1, 6)))
    assert [place is None for place in model.places] == [False, True, False, False, False]


def test_an_incident_is_kept_apart_and_an_empty_one_refused(make_model: Make) -> None:
    model = make_model(2)
    assert model.note_incident("The fire bell rang")
    assert not model.note_incident("  ")
    assert model.room_refusal is not None
