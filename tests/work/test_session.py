"""A gesture goes to the disk and comes back; what failed to get there is not shown."""

import sqlite3
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.arrangement import Spot
from observe.domain.gestures import Part
from observe.domain.marks import DONE, NOT_APPLICABLE, NOT_DONE, NOT_SEEN, Mark, State
from observe.domain.troubles import Doubtful, Overtaken, Refused, Surroundings
from observe.store import tap
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


# Over several learners


def a_room(bench: "Bench") -> Room:
    return Room(bench.logbook, bench.workshop, "o1")


def test_together_is_one_gesture_and_a_change_for_each_learner(bench: "Bench") -> None:
    room = a_room(bench)
    one, two = room.sessions
    changes = room.together("LPX-01", DONE)
    assert [change.after for change in changes] == [one.state, two.state]
    stored = [bench.logbook.log.read(observation=session.state.id)[1:] for session in (one, two)]
    assert stored == [list(change.events) for change in changes]
    assert len({event.gesture for events in stored for event in events}) == 1
    assert {event.attempt for event in stored[1]} == {two.seat.attempt}
    room.sessions[0].do(gestures.take_back)
    assert (one.state.mark("LPX-01"), two.state.mark("LPX-01")) == (NOT_SEEN, DONE)


def test_together_can_be_read_before_it_is_done(bench: "Bench") -> None:
    room = a_room(bench)
    one, two = room.sessions
    two.do(gestures.mark, "LPX-01", NOT_DONE)
    before = bench.logbook.log.position()
    shares = room.shares("LPX-01", DONE)
    assert [share.part for share in shares] == [Part.TAKEN_IN, Part.MARKED]
    assert shares[1].mark == NOT_DONE
    assert bench.logbook.log.position() == before
    (change,) = room.together("LPX-01", DONE)
    assert change.after == one.state
    with pytest.raises(Refused, match="Nobody is left"):
        room.together("LPX-01", DONE)


def test_e3_marks_move_to_the_right_learner_and_back(bench: "Bench") -> None:
    room = a_room(bench)
    one, two = room.sessions
    two.do(gestures.start_clock)
    bench.machine.seconds += 60
    one.do(gestures.mark, "LPX-01", DONE)
    bench.machine.seconds += 30
    left, arrived = room.move_marks(one, two)
    assert (left.after, arrived.after) == (one.state, two.state)
    assert (one.state.mark("LPX-01"), two.state.mark("LPX-01")) == (NOT_SEEN, DONE)
    (placed,) = two.state.board.placed["LPX-01"]
    assert (placed.observed_ns, placed.entered_ns) == (60 * 10**9, 90 * 10**9)
    assert room.home_of(two) is one
    assert room.home_of(one) is None
    back = two.do(gestures.take_back)
    assert [change.after for change in back.others] == [one.state]
    assert (one.state.mark("LPX-01"), two.state.mark("LPX-01")) == (DONE, NOT_SEEN)
    resumed = a_room(bench)
    assert [session.state for session in resumed.sessions] == [one.state, two.state]


def test_e3_one_chosen_mark_moves_with_its_reason(bench: "Bench") -> None:
    room = a_room(bench)
    one, two = room.sessions
    step = next(step for step in one.state.steps if step.not_applicable and not step.variants)
    one.do(gestures.mark, step.id, NOT_APPLICABLE)
    one.do(gestures.give_reason, step.id, "atraumatic needle")
    one.do(gestures.mark, "LPX-01", DONE)
    (chosen,) = gestures.marks_on(one.state, step.id)
    room.move_marks(one, two, events=[chosen.id])
    assert one.state.mark("LPX-01") == DONE
    assert two.state.mark(step.id) == NOT_APPLICABLE
    assert two.text(two.state.reasons[step.id], "reason") == "atraumatic needle"


def test_e3_a_sealed_learner_neither_gives_nor_takes_marks(bench: "Bench") -> None:
    room = a_room(bench)
    one, two = room.sessions
    one.do(gestures.mark, "LPX-01", DONE)
    bench.seal(two)
    before = bench.logbook.log.position()
    for source, target in ((one, two), (two, one)):
        named = [entry.id for entry in one.state.entries]
        with pytest.raises(Refused, match="sealed"):
            room.move_marks(source, target, events=named)
    assert bench.logbook.log.position() == before


@pytest.mark.parametrize("overtaken", [0, 1])
def test_t5_another_window_in_either_learner_stops_the_move(bench: "Bench", overtaken: int) -> None:
    room, other = a_room(bench), a_room(bench)
    one, two = room.sessions
    one.do(gestures.mark, "LPX-01", DONE)
    other = a_room(bench)
    other.sessions[overtaken].do(gestures.mark, "LPX-02", NOT_DONE)
    with pytest.raises(Overtaken):
        room.move_marks(one, two)
    assert [session.state for session in room.sessions] == [
        session.state for session in other.sessions
    ]
    assert one.state.mark("LPX-01") == DONE
    assert two.state.mark("LPX-01") == NOT_SEEN


def test_t5_taking_a_moved_mark_back_is_stopped_by_another_window_at_its_home(
    bench: "Bench",
) -> None:
    room = a_room(bench)
    one, two = room.sessions
    one.do(gestures.mark, "LPX-01", DONE)
    room.move_marks(one, two)
    bench.seal(a_room(bench).sessions[0])
    with pytest.raises(Overtaken):
        two.do(gestures.take_back)
    assert two.state.mark("LPX-01") == DONE
    assert one.state.sealed
    two.do(gestures.take_back)
    assert two.state.mark("LPX-01") == NOT_SEEN


def test_a_move_that_fails_in_the_middle_keeps_nothing(
    bench: "Bench", monkeypatch: pytest.MonkeyPatch
) -> None:
    """All events are written, then the text beside the last of them cannot be."""
    room = a_room(bench)
    one, two = room.sessions
    step = next(step for step in one.state.steps if step.not_applicable and not step.variants)
    one.do(gestures.mark, step.id, NOT_APPLICABLE)
    one.do(gestures.give_reason, step.id, "atraumatic needle")
    states = (one.state, two.state)
    before = bench.logbook.log.read()
    monkeypatch.setattr(tap, "ADD_TEXT", tap.ADD_TEXT.replace("beside", "nowhere"))
    with pytest.raises(sqlite3.OperationalError):
        room.move_marks(one, two)
    assert bench.logbook.log.read() == before
    assert (one.state, two.state) == states
    monkeypatch.undo()
    room.move_marks(one, two)
    assert (one.state.mark(step.id), two.state.mark(step.id)) == (NOT_SEEN, NOT_APPLICABLE)


def test_a_session_without_a_room_takes_back_what_was_moved_there_only(bench: "Bench") -> None:
    room = a_room(bench)
    one, two = room.sessions
    one.do(gestures.mark, "LPX-01", DONE)
    room.move_marks(one, two)
    alone = bench.session(2, "o1")
    alone.do(gestures.take_back)
    assert alone.state.mark("LPX-01") == NOT_SEEN
    assert bench.session(1, "o1").state.mark("LPX-01") == NOT_SEEN
    alone.do(gestures.put_back)
    assert alone.state.mark("LPX-01") == DONE


def test_a_phrase_of_the_form_goes_into_the_text_and_out_of_it(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    step = next(step for step in session.state.steps if len(step.errors) > 1)
    first, second = step.errors[:2]
    slot = gestures.step_slot(step.id)
    session.do(gestures.write, slot, "slow today")
    session.write_phrase(step.id, first)
    session.write_phrase(step.id, second)
    assert session.slot_text(slot) == f"slow today; {first}; {second}"
    session.write_phrase(step.id, first)
    assert session.slot_text(slot) == f"slow today; {second}"


def test_the_cue_is_turned_by_the_observer_and_belongs_to_no_observation(bench: "Bench") -> None:
    room = a_room(bench)
    room.turn_cue(on=False)
    event = bench.logbook.log.read(kinds=("cue-turned",))[-1]
    assert (event.body, event.by, event.workshop) == ({"on": False}, "o1", bench.workshop.id)
    assert event.observation == ""


def test_together_marks_the_step_of_one_form_and_nobody_who_is_absent(two_forms: "Bench") -> None:
    logbook, workshop = two_forms.logbook, two_forms.workshop
    room = Room(logbook, workshop, "o1")
    first, second, third = room.sessions
    note_absent(logbook, workshop, second.seat.attempt, by="o1")
    room.reseat()
    shares = {one.observation: one.reason for one in room.shares("LPX-01", DONE)}
    assert shares[first.state.id] == ""
    assert shares[second.state.id] == "absent"
    assert shares[third.state.id] == "has another form"
    (change,) = room.together("LPX-01", DONE)
    assert change.after.id == first.state.id


def test_e3_what_came_from_a_learner_who_is_absent_now_is_taken_back_here_only(
    bench: "Bench",
) -> None:
    room = a_room(bench)
    one, two = room.sessions
    one.do(gestures.mark, "LPX-01", DONE)
    room.move_marks(one, two)
    one.do(gestures.pause_clock)
    note_absent(bench.logbook, bench.workshop, one.seat.attempt, by="o1")
    room.reseat()
    assert room.home_of(two) is None
    two.do(gestures.take_back)
    assert (one.state.mark("LPX-01"), two.state.mark("LPX-01")) == (NOT_SEEN, NOT_SEEN)
