"""Papers typed in, seat by seat: who watched and who typed (rule D2)."""

from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.marks import DONE
from observe.domain.troubles import Overtaken, Refused
from observe.work.session import Room
from observe.work.transcribing import mark_live_again
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


def test_a_paper_of_which_nothing_was_typed_stands_in_no_ones_way(bench: "Bench") -> None:
    """Opening the papers of a room must not close it to live marks."""
    live = Room(bench.logbook, bench.workshop, "o1")
    typing = papers(bench)
    live = live.reopened()
    one, other = live.sessions[:2]
    one.do(gestures.mark, one.state.steps[0].id, DONE)
    assert one.state.clock.is_running
    assert one.state.transcript is None
    assert one.state.typists == ()
    (paper,) = [each for each in typing.sessions if each.state.id == one.state.id]
    with pytest.raises(Overtaken):
        paper.do(gestures.mark, paper.state.steps[1].id, DONE)
    with pytest.raises(Refused, match="marked live"):
        paper.do(gestures.mark, paper.state.steps[1].id, DONE)
    live.together(other.state.steps[1].id, DONE)
    assert other.state.clock.is_running
    live = live.reopened()
    assert [each.state for each in live.sessions[:2]] == [one.state, other.state]


def test_a_mark_set_for_the_wrong_learner_goes_to_one_whose_paper_is_empty(
    bench: "Bench",
) -> None:
    live = Room(bench.logbook, bench.workshop, "o1")
    one, other = live.sessions[:2]
    one.do(gestures.mark, one.state.steps[0].id, DONE)
    papers(bench)
    other.reread()
    live.move_marks(one, other)
    assert other.state.mark(one.state.steps[0].id) == DONE
    assert other.state.transcript is None


def test_where_anything_was_typed_no_mark_is_set_live(bench: "Bench") -> None:
    typing = papers(bench)
    typing.sessions[0].do(gestures.give_overall, 3)
    live = Room(bench.logbook, bench.workshop, "o1").sessions[0]
    with pytest.raises(Refused, match="typed in from paper"):
        live.do(gestures.mark, live.state.steps[0].id, DONE)
    with pytest.raises(Refused, match="paper is typed in"):
        gestures.leave_untyped(live.state)


def test_d2_a_typed_mark_that_moves_keeps_the_time_that_the_paper_has(bench: "Bench") -> None:
    typing = papers(bench)
    one, other = typing.sessions[:2]
    first, second = (step.id for step in one.state.steps[:2])
    one.do(gestures.type_time, 600 * 10**9)
    one.do(gestures.mark, first, DONE)
    one.do(gestures.mark, second, DONE, observed_ns=300 * 10**9)
    typing.move_marks(one, other, count=2)
    (untimed,), (timed,) = other.state.board.placed[first], other.state.board.placed[second]
    assert not untimed.is_timed
    assert timed.is_timed
    assert timed.observed_ns == 300 * 10**9


def test_d2_a_typed_mark_does_not_move_to_an_attempt_that_is_marked_live(bench: "Bench") -> None:
    """Its time on the other's clock would be a false one."""
    typing = papers(bench)
    paper = typing.sessions[0]
    paper.do(gestures.mark, paper.state.steps[0].id, DONE)
    mark_live_again(paper, "The tablet is back.")
    live = Room(bench.logbook, bench.workshop, "o1")
    with pytest.raises(Refused, match="typed from paper"):
        live.move_marks(live.sessions[0], live.sessions[1])
