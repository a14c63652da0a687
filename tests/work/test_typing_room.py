"""Papers typed in, seat by seat: who watched and who typed (rule D2)."""

from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.marks import DONE
from observe.domain.troubles import Refused
from observe.work.session import Room
from observe.work.typing_room import TypingRoom

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def papers(bench: "Bench", observer: str = "o1") -> TypingRoom:
    return TypingRoom(
        bench.logbook, bench.workshop, observer, typist="o3", date="2026-03-02", start="09:40"
    )


def test_every_seat_of_who_watched_is_typed_by_another(bench: "Bench") -> None:
    room = papers(bench)
    (session, *_) = room.sessions
    session.do(gestures.mark, session.state.steps[0].id, DONE)
    assert session.state.observer == "o1"
    assert session.state.typists == ("o3",)
    assert not session.state.clock.is_running
    assert room.marks_kept() == 1


def test_read_anew_it_is_the_same_room(bench: "Bench") -> None:
    room = papers(bench)
    room.sessions[0].do(gestures.mark, room.sessions[0].state.steps[0].id, DONE)
    again = room.reopened()
    assert [one.state for one in again.sessions] == [one.state for one in room.sessions]


def test_what_was_marked_live_is_left_out_with_the_reason(bench: "Bench") -> None:
    live = Room(bench.logbook, bench.workshop, "o1").sessions[0]
    live.do(gestures.mark, live.state.steps[0].id, DONE)
    room = papers(bench)
    assert live.seat.number in room.left_out
    assert live.seat.attempt not in [one.seat.attempt for one in room.sessions]


def test_who_watches_nobody_has_no_papers(bench: "Bench") -> None:
    with pytest.raises(Refused, match="watches nobody"):
        papers(bench, "nobody")
