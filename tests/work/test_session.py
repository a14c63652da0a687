"""A gesture goes to the disk and comes back; what failed to get there is not shown."""

import sqlite3
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.arrangement import Spot
from observe.domain.marks import DONE, NOT_DONE, NOT_SEEN, Mark, State
from observe.domain.troubles import Doubtful, Overtaken, Refused, Surroundings
from observe.work.logbooks import open_logbook
from observe.work.planning import Person, Place, Plan
from observe.work.seating import Late, add_late, note_absent, swap
from observe.work.session import Room, open_session

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def test_a_mark_is_on_the_disk_before_it_is_shown(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    change = session.do(gestures.mark, "LPX-01", DONE)
    assert change.after.mark("LPX-01") == DONE
    stored = bench.logbook.log.read(observation=session.state.id)
    assert [one.kind for one in stored] == ["observation-opened", "clock-started", "mark-set"]
    assert list(change.events) == stored[1:]


def test_a_change_names_the_steps_that_look_different_now(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    assert session.do(gestures.mark, "LPX-01", DONE).steps == {"LPX-01", "LPX-02"}
    assert session.do(gestures.mark, "LPX-09", DONE).steps == {"LPX-09"}
    assert session.do(gestures.give_overall, 3).steps == frozenset()
    assert session.do(gestures.take_back).steps == {"LPX-09"}


def test_what_could_not_be_kept_is_not_shown(
    bench: "Bench", monkeypatch: pytest.MonkeyPatch
) -> None:
    session = bench.session(1, "o1")

    def full(*_: object, **__: object) -> None:
        raise Surroundings("The disk is full.", remedy="Free some space.")

    monkeypatch.setattr(bench.logbook, "append", full)
    with pytest.raises(Surroundings):
        session.do(gestures.mark, "LPX-01", DONE)
    assert session.state.mark("LPX-01") == NOT_SEEN
    monkeypatch.undo()
    session.do(gestures.mark, "LPX-01", DONE)
    assert session.state.mark("LPX-01") == DONE


def test_a_refused_gesture_writes_nothing(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    before = bench.logbook.log.read()
    with pytest.raises(Refused):
        session.do(gestures.mark, "LPX-08", Mark(State.DONE, voiced=True))
    assert bench.logbook.log.read() == before


def test_a_session_resumes_where_it_was(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    session.do(gestures.mark, "LPX-01", DONE)
    session.do(gestures.record_critical)
    session.do(gestures.take_back)
    bench.logbook.close()
    with open_logbook(bench.path, machine=bench.machine) as again:
        workshop = again.workshops()[bench.workshop.id]
        resumed = open_session(again, workshop, workshop.seats[0], "o1")
        assert resumed.state == session.state
        resumed.do(gestures.put_back)
        assert len(resumed.state.occurrences) == 1


def test_a_room_shows_an_observer_their_own_seats_only(bench: "Bench") -> None:
    lead = Room(bench.logbook, bench.workshop, "o1")
    assert [one.seat.number for one in lead.sessions] == [1, 2]
    assert lead.name("l1") == "Lina One"
    seconds = {seat.second: seat.number for seat in bench.workshop.seats}
    for observer, number in seconds.items():
        room = Room(bench.logbook, bench.workshop, observer)
        assert number in [one.seat.number for one in room.sessions]
        assert all(one.state.observer == observer for one in room.sessions)


def test_a_room_counts_the_marks_that_are_kept(bench: "Bench") -> None:
    room = Room(bench.logbook, bench.workshop, "o1")
    assert room.marks_kept() == 0
    room.sessions[0].do(gestures.mark, "LPX-01", DONE)
    room.sessions[1].do(gestures.mark, "LPX-01", DONE)
    assert room.marks_kept() == 2


def test_the_clock_of_a_session_is_that_of_the_attempt(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    session.do(gestures.mark, "LPX-01", DONE)
    bench.machine.seconds += 75
    assert session.elapsed_ns() == 75 * 10**9


def test_t5_a_second_window_on_the_same_observation_is_told_before_it_writes(
    bench: "Bench",
) -> None:
    one, other = bench.session(1, "o1"), bench.session(1, "o1")
    one.do(gestures.mark, "LPX-01", DONE)
    with pytest.raises(Overtaken, match="Another window"):
        other.do(gestures.mark, "LPX-01", NOT_DONE)
    assert other.state == one.state
    other.do(gestures.mark, "LPX-02", DONE)
    with pytest.raises(Overtaken):
        one.do(gestures.give_overall, 3)
    assert one.state.mark("LPX-02") == DONE


def test_a_mark_that_was_changed_behind_the_programs_back_is_not_shown(bench: "Bench") -> None:
    bench.session(1, "o1").do(gestures.mark, "LPX-01", DONE)
    bench.logbook.close()
    with sqlite3.connect(bench.path) as tool:
        guards = tool.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in guards:
            tool.execute(f"DROP TRIGGER {name}")
        tool.execute("UPDATE event SET body = replace(body, 'done', 'not-done')")
        for _, sql in guards:
            tool.execute(sql)
    tool.close()
    with open_logbook(bench.path) as again, pytest.raises(Doubtful, match="not what was written"):
        open_session(again, bench.workshop, bench.workshop.seats[0], "o1")


def test_f1_each_attempt_is_bound_to_the_form_of_its_seat(two_forms: "Bench") -> None:
    room = Room(two_forms.logbook, two_forms.workshop, "o1")
    assert [one.ground.form.id for one in room.sessions] == ["LPX", "LPX", "IUP"]
    assert [form.id for form in room.forms] == ["LPX", "IUP"]
    opening = two_forms.logbook.observation(room.sessions[2].state.id)[0].body
    used = two_forms.workshop.forms[1]
    assert (opening["form"], opening["profile"]) == (used.form, used.profile.digest)


def test_a_room_takes_its_seats_anew_and_keeps_what_is_open(two_forms: "Bench") -> None:
    logbook, workshop = two_forms.logbook, two_forms.workshop
    room = Room(logbook, workshop, "o1")
    first, second, third = room.sessions
    first.do(gestures.mark, "LPX-01", DONE)
    swap(logbook, workshop, first.seat.attempt, third.seat.attempt, by="o1")
    note_absent(logbook, workshop, second.seat.attempt, by="o1")
    late = Late(Person("l9", "Vera Nine"), "sitting", Spot(1, 2))
    add_late(logbook, workshop, late, by="o1")
    room.reseat()
    assert [one.seat.learner for one in room.sessions] == ["l3", "l9", "l1"]
    assert room.sessions[0] is third
    assert room.sessions[2] is first
    assert first.state.mark("LPX-01") == DONE
    assert (first.seat.room, first.seat.number) == (2, 3)
    assert room.name("l9") == "Vera Nine"


def test_a_room_of_the_workshop_is_shown_by_itself_or_with_the_other(two_forms: "Bench") -> None:
    room = Room(two_forms.logbook, two_forms.workshop, "o1", 2)
    assert [one.seat.learner for one in room.sessions] == ["l3"]
    assert len(room.every) == 3
    room.show(1)
    assert [one.seat.learner for one in room.reopened().sessions] == ["l1", "l2"]
    room.show(0)
    assert len(room.sessions) == 3


def test_more_than_twelve_are_never_shown_at_once(
    bench: "Bench", plan: Callable[..., Plan]
) -> None:
    seated = tuple(
        Place(Person(f"f{n}", f"Full {n}"), "sitting", "o1", room=1 + n // 7) for n in range(13)
    )
    form = bench.workshop.forms[0].form
    workshop = bench.plan(plan(form, places=seated, looks=0, seed="thirteen"))
    room = Room(bench.logbook, workshop, "o1")
    assert (room.room, len(room.sessions), len(room.every)) == (1, 7, 13)
