"""A tap goes to the disk and back; nothing is shown as set before it is kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import pytest
from pytestqt.qtbot import QtBot

from observe.desk.live import reading
from observe.desk.live.debounce import ADVANCE_S
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.events import Draft, Event
from observe.domain.marks import DONE, INCORRECT, NOT_DONE
from observe.domain.troubles import Surroundings
from observe.work.incidents import incidents
from observe.work.logbooks import Logbook
from observe.work.session import Room
from tests.desk.people import HandClock, ready_to_seal

MakeModel = Callable[..., LiveModel]
FULL = Surroundings("This disk is full.", remedy="Free some space.")


@pytest.fixture
def model(make_model: MakeModel) -> LiveModel:
    return make_model(4)


class FullDisk:
    """A logbook whose disk is full for a while; `keeps` says whether it kept all the same."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, *, keeps: bool = False) -> None:
        self.is_full = True
        append = Logbook.append

        def try_to(
            logbook: Logbook,
            drafts: Sequence[Draft],
            *,
            newest: Mapping[str, str] | None = None,
            turns: Mapping[str, int] | None = None,
        ) -> tuple[Event, ...]:
            if not self.is_full:
                return append(logbook, drafts, newest=newest, turns=turns)
            if keeps:
                append(logbook, drafts, newest=newest, turns=turns)
            raise FULL

        monkeypatch.setattr(Logbook, "append", try_to)


def test_a_mark_is_kept_and_moves_on(model: LiveModel, qtbot: QtBot) -> None:
    with qtbot.waitSignal(model.front_changed):
        change = model.mark(2, DONE)
    assert change is not None
    assert [event.kind for event in change.events] == ["clock-started", "mark-set"]
    assert model.state(2).board.at == "LPX-02"
    assert model.kept == 1
    assert model.front == 2


def test_a_double_tap_marks_one_step(model: LiveModel, clock: HandClock) -> None:
    model.mark(0, DONE)
    clock.go(ADVANCE_S - 0.01)
    assert model.mark(0, DONE) is None
    assert model.kept == 1
    clock.go(0.01)
    assert model.mark(0, DONE) is not None


def test_two_learners_are_marked_at_the_same_moment(model: LiveModel) -> None:
    assert model.mark(0, DONE) is not None
    assert model.mark(1, INCORRECT) is not None
    assert model.kept == 2


def test_two_taps_on_critical_are_one_event_and_a_later_one_is_another(
    model: LiveModel, clock: HandClock
) -> None:
    model.critical(0)
    assert model.critical(0) is None
    clock.go(1)
    assert model.critical(0) is not None
    assert len(model.state(0).occurrences) == 2


def test_nothing_is_set_before_it_is_kept(
    model: LiveModel, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    before = model.state(0)
    FullDisk(monkeypatch)
    with qtbot.waitSignal(model.trouble_changed):
        assert model.mark(0, DONE) is None
    assert model.state(0) is before
    assert model.trouble is FULL
    assert not any(model.can_mark(seat) for seat in range(4))
    assert model.mark(1, DONE) is None


def test_try_again_carries_out_what_could_not_be_kept(
    model: LiveModel, monkeypatch: pytest.MonkeyPatch
) -> None:
    disk = FullDisk(monkeypatch)
    model.mark(1, NOT_DONE)
    disk.is_full = False
    model.try_again()
    assert model.trouble is None
    assert model.state(1).mark("LPX-01") == NOT_DONE
    assert model.kept == 1


def test_what_was_kept_but_not_answered_is_not_done_twice(
    model: LiveModel, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rule E1: committed but not acknowledged is normal."""
    disk = FullDisk(monkeypatch, keeps=True)
    model.mark(1, NOT_DONE)
    disk.is_full = False
    model.try_again()
    assert model.state(1).mark("LPX-01") == NOT_DONE
    assert len([one for one in model.state(1).entries if one.kind == "mark-set"]) == 1


def test_while_the_disk_stays_full_the_trouble_stays(
    model: LiveModel, monkeypatch: pytest.MonkeyPatch
) -> None:
    FullDisk(monkeypatch)
    model.mark(1, DONE)
    model.try_again()
    assert model.trouble is FULL
    assert model.kept == 0


def test_what_the_rules_forbid_is_refused_in_words(model: LiveModel, qtbot: QtBot) -> None:
    with qtbot.waitSignal(model.refused):
        model.do(0, gestures.take_back)
    assert model.refusal[0].what == "There is nothing to take back."
    model.mark(0, DONE)
    assert 0 not in model.refusal


def test_time_since_a_look_stands_with_the_clock(model: LiveModel, clock: HandClock) -> None:
    model.mark(0, DONE)
    clock.go(30)
    assert model.since_look_ns(0) == 30 * 10**9
    model.turn_clock(0)
    clock.go(500)
    assert model.since_look_ns(0) == 0
    model.turn_clock(0)
    clock.go(7)
    assert model.since_look_ns(0) == 7 * 10**9


def test_pause_all_stands_every_clock_and_lets_the_same_go_on(
    model: LiveModel, clock: HandClock
) -> None:
    model.mark(0, DONE)
    model.mark(2, DONE)
    model.pause_all()
    assert not any(session.state.clock.is_running for session in model.sessions)
    clock.go(60)
    model.pause_all()
    running = [session.state.clock.is_running for session in model.sessions]
    assert running == [True, False, True, False]
    assert model.front == 2


def test_the_session_clock_runs_from_the_first_mark(model: LiveModel, clock: HandClock) -> None:
    assert model.session_ns() == 0
    model.mark(1, DONE)
    clock.go(90)
    model.mark(0, DONE)
    assert model.session_ns() == 90 * 10**9


def test_the_session_clock_stands_once_everybody_is_sealed(
    model: LiveModel, clock: HandClock
) -> None:
    for seat in range(len(model)):
        model.mark(seat, DONE)
        ready_to_seal(model, seat)
        clock.go(30)
        model.do(seat, gestures.seal)
    stood = model.session_ns()
    clock.go(3600)
    assert model.session_ns() == stood
    assert not model.can_pause


def reopened(model: LiveModel, clock: HandClock) -> LiveModel:
    room = model.room
    return LiveModel(Room(room.logbook, room.workshop, room.observer), clock=clock.now)


def test_reopened_it_is_where_it_was(model: LiveModel, clock: HandClock) -> None:
    for seat in (0, 1, 3):
        model.mark(seat, DONE)
        clock.go(2)
    model.do(1, gestures.take_back)
    again = reopened(model, clock)
    assert [session.state for session in again.sessions] == [
        session.state for session in model.sessions
    ]
    assert again.front == 3
    assert again.away is None


def test_after_a_long_absence_it_says_what_was_last(model: LiveModel, clock: HandClock) -> None:
    model.mark(3, DONE)
    clock.go(102)
    again = reopened(model, clock)
    assert again.away is not None
    assert (again.away.seconds, again.away.seat) == (102, 3)
    assert again.away.lasts[0].words == "Done, step 1, at 00:00"
    again.look(0)
    assert again.away is None


def test_after_a_seal_it_comes_back_to_whom_is_still_to_be_watched(
    model: LiveModel, clock: HandClock
) -> None:
    model.mark(3, DONE)
    clock.go(5)
    model.mark(1, DONE)
    ready_to_seal(model, 1)
    model.do(1, gestures.seal)
    clock.go(60)
    again = reopened(model, clock)
    assert again.front == 3
    assert again.away is not None
    assert again.away.seat == 3


@pytest.mark.parametrize(("gap", "said"), [(1.0, False), (20.0, False), (300.0, True)])
def test_a_machine_that_slept_says_so(
    model: LiveModel, clock: HandClock, gap: float, said: bool
) -> None:
    model.mark(0, DONE)
    clock.go(gap)
    model.came_back(gap)
    assert (model.away is not None) is said


def test_it_says_only_that_somebody_else_watches(make_model: MakeModel) -> None:
    """Rule T3: nothing of what the other observer saw."""
    model = make_model(4, looks=1)
    assert [model.is_shared(seat) for seat in range(4)].count(True) == 1


def test_t5_what_another_window_wrote_is_shown_and_nothing_is_set_over_it(
    model: LiveModel, clock: HandClock, qtbot: QtBot
) -> None:
    other = reopened(model, clock)
    other.mark(0, INCORRECT)
    with qtbot.waitSignal(model.refused):
        assert model.mark(0, DONE) is None
    assert model.state(0).mark("LPX-01") == INCORRECT
    assert "Another window" in model.refusal[0].what


def test_nothing_is_marked_while_an_attempt_is_stopped_for_safety(
    model: LiveModel, clock: HandClock
) -> None:
    model.do(0, gestures.stop_for_safety)
    assert model.mark(0, DONE) is None
    assert model.pass_unseen(0) is None
    model.do(0, gestures.go_on)
    clock.go(1)
    assert model.mark(0, DONE) is not None


def test_s2_a_sealed_seat_says_its_coverage(model: LiveModel) -> None:
    model.mark(0, DONE)
    assert reading.seen_words(model.state(0)) == "100 % seen"
    ready_to_seal(model, 0)
    model.do(0, gestures.seal)
    assert reading.seen_words(model.state(0)) == "1 % seen"


# looks


def test_a_look_without_a_mark_is_kept_and_a_second_one_at_once_is_the_same(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    """Rule A5: what was unseen depends on where the observer looked."""
    model = make_model(2)
    model.turn_clock(1)
    clock.go(30)
    model.look(1)
    model.look(1)
    clock.go(10)
    model.look(1)
    assert model.state(1).looks == (30 * 10**9, 40 * 10**9)
    assert model.state(0).looks == ()


def test_pausing_all_is_no_look_at_anybody(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(3)
    for seat in range(3):
        model.mark(seat, DONE)
        clock.go(1)
    clock.go(60)
    model.pause_all()
    assert [model.since_look_ns(seat) >= 60 * 10**9 for seat in range(3)] == [True] * 3
    assert not any(model.state(seat).clock.is_running for seat in range(3))


def test_what_is_typed_while_the_disk_is_full_waits_and_is_kept_once(
    model: LiveModel, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A text is never lost: two notes and an incident, in the order of the afternoon."""
    disk = FullDisk(monkeypatch)
    model.write(1, "note", "Held the hub well")
    model.write(2, "note", "Asked twice")
    model.note_incident("The lamp fell over")
    assert (model.text(1, "note"), model.text(2, "note")) == ("Held the hub well", "Asked twice")
    disk.is_full = False
    model.try_again()
    model.try_again()
    kept = [session.slot_text("note") for session in model.sessions]
    assert kept == ["", "Held the hub well", "Asked twice", ""]
    found = incidents(model.room.logbook, model.workshop)
    assert [one.text for one in found] == ["The lamp fell over"]
    assert not model.waiting


def test_a_text_that_was_kept_but_not_answered_is_not_written_twice(
    model: LiveModel, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rule E1: committed but not acknowledged is normal."""
    disk = FullDisk(monkeypatch, keeps=True)
    model.write(1, "note", "Held the hub well")
    disk.is_full = False
    model.try_again()
    log = model.room.logbook.log
    written = log.read(workshop=model.workshop.id, kinds=("text-written",))
    assert len(written) == 1
    assert model.text(1, "note") == "Held the hub well"


def test_all_clocks_that_could_not_be_paused_are_paused_in_the_end(
    model: LiveModel, monkeypatch: pytest.MonkeyPatch
) -> None:
    for seat in range(3):
        model.mark(seat, DONE)
    disk = FullDisk(monkeypatch)
    model.pause_all()
    disk.is_full = False
    model.try_again()
    assert not any(model.state(seat).clock.is_running for seat in range(3))
    assert model.front == 2
    model.pause_all()
    assert all(model.state(seat).clock.is_running for seat in range(3))
