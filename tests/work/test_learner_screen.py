"""P2: learners speak of their own attempt and of a peer's; no decision rests on it."""

from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT, NOT_DONE
from observe.domain.observation import Role, Slot
from observe.domain.troubles import Refused
from observe.domain.workshop import observation_id
from observe.work.agree import agreement
from observe.work.debrief import attempt_result, result_digest, sealed_observations
from observe.work.learner_screen import open_own, open_peer, peers
from observe.work.session import Room, Session, open_session

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def own(bench: "Bench", seat: int = 1) -> Session:
    return open_own(bench.logbook, bench.workshop, bench.workshop.seats[seat - 1])


def peer(bench: "Bench", seat: int = 1, by: str = "l2") -> Session:
    return open_peer(bench.logbook, bench.workshop, bench.workshop.seats[seat - 1], by)


def sealed_by_observers(bench: "Bench", seat: int = 1) -> None:
    planned = bench.workshop.seats[seat - 1]
    for observer in planned.observers:
        session = bench.session(seat, observer)
        bench.mark_all(session)
        bench.seal(session)


def say_all(session: Session) -> None:
    session.do(gestures.write, Slot.STRENGTH, "I warned before each step.")
    session.do(gestures.write, Slot.CHANGE, "Check the tap first.")


def test_p2_a_learner_speaks_of_their_own_attempt_in_the_role_of_self(bench: "Bench") -> None:
    session = own(bench)
    assert session.state.role is Role.SELF
    assert session.state.observer == session.state.learner == "l1"
    assert session.state.id == observation_id(bench.workshop.seats[0].attempt, "l1")
    session.do(gestures.give_overall, 2)
    assert {event.by for event in bench.logbook.log.read(observation=session.state.id)} == {"l1"}
    assert own(bench).state.overall == 2, "it is there again"


def test_p2_a_peer_is_another_learner(bench: "Bench") -> None:
    session = peer(bench)
    assert session.state.role is Role.PEER
    assert (session.state.observer, session.state.learner) == ("l2", "l1")
    session.do(gestures.mark, "LPX-01", DONE)
    assert peer(bench).state.mark("LPX-01") == DONE
    seat = bench.workshop.seats[0]
    assert peers(bench.workshop, seat) == ("l2",)
    for nobody in ("l1", "o1", "o2", "stranger"):
        with pytest.raises(Refused):
            peer(bench, by=nobody)


def test_one_person_has_one_record_of_an_attempt(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    open_session(bench.logbook, bench.workshop, seat, "l1")  # opened as if by an observer
    with pytest.raises(Refused, match="another role"):
        own(bench)


def test_p2_no_decision_rests_on_what_learners_say(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    sealed_by_observers(bench)
    before = attempt_result(bench.logbook, bench.workshop, seat)
    session, other = own(bench), peer(bench)
    session.do(gestures.give_overall, 1)
    say_all(session)
    session.do(gestures.seal)
    for step in other.state.steps:
        other.do(gestures.mark, step.id, NOT_DONE)
    say_all(other)
    other.do(gestures.seal)
    after = attempt_result(bench.logbook, bench.workshop, seat)
    assert result_digest(after) == result_digest(before)
    assert after.outcome == before.outcome
    roles = {one.role for one in sealed_observations(bench.logbook, bench.workshop, seat)}
    assert roles == {Role.FACULTY}


def test_p2_nobody_waits_for_what_learners_have_not_finished(bench: "Bench") -> None:
    own(bench).do(gestures.give_overall, 3)
    peer(bench).do(gestures.mark, "LPX-01", INCORRECT)
    sealed_by_observers(bench)
    seat = bench.workshop.seats[0]
    assert attempt_result(bench.logbook, bench.workshop, seat).reveals


def test_t4_agreement_knows_observers_only(bench: "Bench") -> None:
    sealed_by_observers(bench, 1)
    sealed_by_observers(bench, 2)
    before = agreement(bench.logbook, bench.workshop)
    for seat, by in ((1, "l2"), (2, "l1")):
        other = peer(bench, seat, by)
        for step in other.state.steps:
            other.do(gestures.mark, step.id, NOT_DONE)
        say_all(other)
        other.do(gestures.seal)
    after = agreement(bench.logbook, bench.workshop)
    assert [one.counts for one in after.steps] == [one.counts for one in before.steps]
    assert len(after.complete) == len(before.complete)


def test_an_observers_room_holds_no_record_of_a_learner(bench: "Bench") -> None:
    own(bench)
    peer(bench)
    room = Room(bench.logbook, bench.workshop, "o1")
    assert {one.state.role for one in room.sessions} == {Role.FACULTY}


def test_d3_a_peer_gives_remarks_and_no_grade_before_the_seal(bench: "Bench") -> None:
    session = peer(bench)
    assert gestures.missing(session.state) == ("Name one strength.", "Name one change.")
    say_all(session)
    session.do(gestures.seal)
    assert "Give the overall grade." in gestures.missing(own(bench).state)
