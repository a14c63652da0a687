"""One observer's record: a fold of its events (rules M6, C3, D2, D3, E1, E2, E3)."""

import random
from dataclasses import replace
from itertools import pairwise

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.events import Draft, hash_of
from observe.domain.form import Mode
from observe.domain.marks import DONE, INCORRECT, NOT_APPLICABLE, NOT_DONE, NOT_SEEN, Mark, State
from observe.domain.observation import Role, Slot, fold, open_reasons, step
from observe.domain.profile import Departure, Doing, Profile
from tests.domain.builders import Log, a_critical, a_form, steps
from tests.domain.machine import Gestures

FORM = a_form(steps(4, not_applicable=True), criticals=(a_critical("X", "1"),))

TestGestures = Gestures.TestCase
"""Live state is the fold of the whole log, whatever was done."""


def test_an_observation_begins_with_the_event_that_opens_it() -> None:
    log = Log(FORM)
    state = log.state
    assert (state.id, state.attempt, state.learner, state.observer) == ("o-1", "a-1", "l-1", "p-1")
    assert (state.role, state.opened_at) == (Role.FACULTY, log.events[0].stamp.at)
    assert set(state.marks.values()) == {NOT_SEEN}
    for events in ([], [log.event(Draft("sealed"))]):
        with pytest.raises(ValueError, match="opens it"):
            fold(events, log.ground)


def test_a_second_opening_changes_nothing() -> None:
    log = Log(FORM)
    log.mark("1")
    before = log.state
    log.append(Draft("observation-opened", {"learner": "l-2"}))
    assert log.state == before


def test_w1_steps_and_numbers_are_those_in_play() -> None:
    profile = Profile(FORM.whole_digest, (Departure("2", Doing.NOT_TODAY, "no kit"),))
    state = Log(FORM, profile=profile).state
    assert [one.id for one in state.steps] == list(state.marks) == ["1", "3", "4"]
    assert state.numbers == {"1": 1, "2": 2, "3": 3, "4": 4}


def test_passed_are_the_steps_before_the_one_in_front() -> None:
    log = Log(FORM)
    log.do(gestures.move_to, "3")
    assert [one for one in "12349" if log.state.is_passed(one)] == ["1", "2"]
    log.do(gestures.move_to, "")
    assert [one for one in "12349" if log.state.is_passed(one)] == ["1", "2", "3", "4"]


# Taking back and putting back


def test_e3_taking_back_names_the_events_of_the_whole_gesture() -> None:
    log = Log(FORM)
    log.mark("1")
    before = log.state.board
    log.do(gestures.mark, "2", DONE)
    taken = log.do(gestures.take_back)[0]
    assert taken.body["events"] == [log.events[-2].id]
    assert log.state.board == before
    assert log.state.last == log.state.entries[-1]


def test_e3_two_events_of_one_gesture_are_taken_back_together() -> None:
    log = Log(FORM)
    log.gesture += 1
    for part, id in enumerate("12"):
        log.append(Draft("mark-set", {"step": id, "mark": {"state": "done"}}), part=part)
    log.mark("3")
    first = log.state.entries[0]
    assert [entry.body["step"] for entry in log.state.gesture_of(first.id)] == ["1", "2"]
    log.do(gestures.take_back, first.id)
    assert log.state.marks == {"1": NOT_SEEN, "2": NOT_SEEN, "3": DONE, "4": NOT_SEEN}


def test_e3_two_stacks() -> None:
    log = Log(FORM)
    log.mark("1", "2", "3")
    whole = log.state
    log.do(gestures.take_back)
    log.do(gestures.take_back)
    assert list(log.state.marks.values()) == [DONE, NOT_SEEN, NOT_SEEN, NOT_SEEN]
    log.do(gestures.put_back)
    assert log.state.mark("2") == DONE
    log.do(gestures.put_back)
    assert log.state == whole


def test_e3_a_mark_from_the_middle_goes_back_to_its_place() -> None:
    log = Log(FORM)
    log.mark("1", mark=Mark(State.DONE, 1))
    log.mark("1", mark=INCORRECT)
    middle = log.state.entries[0].id
    log.do(gestures.take_back, middle)
    assert log.state.mark("1") == INCORRECT
    log.do(gestures.put_back)
    assert log.state.mark("1") == Mark(State.INCORRECT, 1)
    assert [entry.id for entry in log.state.entries] == [middle, log.events[3].id]


def test_e3_a_new_mark_ends_what_can_be_put_back() -> None:
    log = Log(FORM)
    log.mark("1")
    log.do(gestures.take_back)
    assert log.state.undone
    log.mark("2")
    assert log.state.undone == ()


@pytest.mark.parametrize("kind", ["taken-back", "put-back"])
def test_e3_naming_what_is_not_there_changes_nothing(kind: str) -> None:
    log = Log(FORM)
    log.mark("1", "2")
    log.do(gestures.take_back)
    before = log.state
    log.append(Draft(kind, {"events": ["d1/99"]}))
    log.append(Draft(kind, {"events": []}))
    assert log.state == before


def test_e3_taking_back_the_first_mark_leaves_the_clock_running() -> None:
    log = Log(FORM)
    log.mark("1")
    log.do(gestures.take_back)
    assert log.state.clock.is_running


# Sequence and hash


def test_e2_events_of_other_observations_change_nothing_wherever_they_stand() -> None:
    log = Log(FORM)
    log.mark("1", "2")
    log.occur("X", Verdict.FATAL)
    log.seal()
    order = random.Random(1)
    strangers = [replace(event, observation="o-2") for event in log.events for _ in range(2)]
    mixed = list(log.events)
    for stranger in strangers:
        mixed.insert(order.randrange(1, len(mixed) + 1), stranger)
    assert fold(mixed, log.ground) == log.state


def test_e1_each_event_names_the_hash_of_the_one_before() -> None:
    log = Log(FORM)
    log.mark("1", "2")
    assert all(event.hash == hash_of(event) for event in log.events)
    assert all(after.prev == before.hash for before, after in pairwise(log.events))


def test_e1_a_newer_event_is_noted_also_after_the_seal() -> None:
    log = Log(FORM)
    log.seal()
    event = replace(log.event(Draft("amended")), version=2)
    assert step(log.state, event).newer == (event.id,)


# Clock, stop, void


def test_e2_the_clock_runs_from_the_first_mark_to_the_seal() -> None:
    log = Log(FORM)
    log.second = 100
    log.mark("1")
    log.second = 160
    log.do(gestures.pause_clock)
    log.second = 300
    log.do(gestures.start_clock)
    log.second = 309
    log.seal()
    assert log.state.clock.spent_ns == (60 + 12) * 10**9


def test_m6_the_clock_stands_from_the_stop_until_it_is_lifted() -> None:
    log = Log(FORM)
    log.mark("1")
    stop = log.do(gestures.stop_for_safety)[0]
    assert log.state.stopped == stop.stamp
    assert log.state.clock.spent_ns == 10**9
    log.second += 60
    log.do(gestures.go_on)
    assert not log.refolded().stopped
    assert log.state.clock.elapsed_ns(log.stamp()) == 10**9
    assert log.state.clock.is_running


def test_m6_void_ends_the_attempt_and_its_clock() -> None:
    log = Log(FORM)
    log.mark("1")
    voided = log.do(gestures.void, "a fire alarm")[0]
    assert log.state.void == voided.id
    assert not log.state.clock.is_running


# Grades, texts, reasons


def test_the_last_word_stands_and_texts_stand_beside_their_event() -> None:
    log = Log(FORM)
    log.do(gestures.give_overall, 2)
    log.do(gestures.give_overall, 4)
    log.do(gestures.write, Slot.NOTE, "first")
    second = log.do(gestures.write, Slot.NOTE, "second")[0]
    log.do(gestures.write, "step:1", "left hand")
    assert log.state.overall == 4
    assert log.state.texts[Slot.NOTE] == second.id
    assert "second" not in str(second.body)
    log.do(gestures.write, "step:1", "")
    assert list(log.state.texts) == [Slot.NOTE]


def test_m1_not_applicable_asks_for_its_reason() -> None:
    log = Log(FORM)
    log.mark("1", "2", mark=NOT_APPLICABLE)
    assert open_reasons(log.state) == ("1", "2")
    given = log.do(gestures.give_reason, "1", "no such device")[0]
    assert open_reasons(log.state) == ("2",)
    assert log.state.reasons == {"1": given.id}


def test_c1_the_last_attestation_stands() -> None:
    log = Log(FORM)
    log.do(gestures.attest_watched, ["X"])
    assert log.state.attested == {"X"}
    log.do(gestures.attest_watched, [])
    assert log.state.attested == frozenset()


# After the seal


def sealed() -> Log:
    log = Log(FORM)
    log.mark("1", "2")
    log.occur("X", Verdict.FATAL)
    log.seal()
    return log


def test_d3_after_the_seal_there_are_only_amendments() -> None:
    log = sealed()
    before = log.state
    assert before.sealed == log.events[-1].stamp
    for kind, body in (
        ("mark-set", {"step": "3", "mark": {"state": "done"}}),
        ("taken-back", {"events": [before.entries[0].id]}),
        ("overall-given", {"value": 5}),
        ("voided", {}),
        ("clock-started", {}),
        ("safety-stopped", {}),
    ):
        log.append(Draft(kind, body))
        assert log.state == before


def test_d3_an_amendment_keeps_both_values() -> None:
    log = sealed()
    log.do(gestures.amend_step, "2", NOT_DONE, reason="seen on the plan")
    assert log.state.mark("2") == NOT_DONE
    assert log.state.board.mark("2") == DONE
    note = log.state.amendments[0]
    assert (note.target, note.id, note.before, note.after) == (
        "step",
        "2",
        {"state": "done"},
        {"state": "not-done"},
    )
    assert (note.by, note.countersigned, note.event) == ("p-1", "", log.events[-1].id)


def test_d3_nothing_is_amended_before_the_seal() -> None:
    log = Log(FORM)
    log.mark("1")
    before = log.state
    log.append(Draft("amended", {"target": "step", "id": "1", "to": {"state": "not-done"}}))
    assert log.state == before


def test_d2_not_seen_to_anything_needs_a_countersignature_also_from_elsewhere() -> None:
    log = sealed()
    before = log.state
    body = {"target": "step", "id": "3", "from": {"state": "not-seen"}, "to": {"state": "done"}}
    log.append(Draft("amended", body))
    assert log.state == before
    log.append(Draft("amended", {**body, "countersigned": "p-9"}))
    assert log.state.mark("3") == DONE
    assert log.state.amendments[0].countersigned == "p-9"


def test_d3_a_step_that_is_not_in_play_is_not_amended() -> None:
    profile = Profile(FORM.whole_digest, (Departure("2", Doing.NOT_TODAY, "no kit"),))
    log = Log(FORM, profile=profile)
    log.seal()
    before = log.state
    body = {"target": "step", "id": "2", "to": {"state": "done"}, "countersigned": "p-9"}
    log.append(Draft("amended", body))
    assert log.state == before


def test_d3_an_occurrence_is_amended_or_added() -> None:
    log = sealed()
    first = log.state.occurrences[0]
    log.do(gestures.amend_occurrence, first.id, Verdict.AVERTED, reason="a hand was there")
    assert list(log.state.occurrences) == [replace(first, verdict=Verdict.AVERTED)]
    log.do(gestures.amend_occurrence, "", Verdict.FATAL, reason="said later", item="X")
    assert [one.verdict for one in log.state.occurrences] == [Verdict.AVERTED, Verdict.FATAL]
    added = log.state.occurrences[1]
    assert (added.item, added.id, added.elapsed_ns) == (
        "X",
        log.events[-1].id,
        log.state.clock.spent_ns,
    )


@pytest.mark.parametrize(
    "body",
    [
        {"target": "occurrence", "id": "d1/99", "to": {"verdict": "fatal"}},
        {"target": "occurrence", "id": "", "to": {"verdict": "recovered", "item": "X"}},
    ],
)
def test_c2_an_amended_verdict_must_fit(body: dict[str, object]) -> None:
    log = sealed()
    before = log.state
    log.append(Draft("amended", body))
    assert log.state == before


def test_d3_grades_are_amended() -> None:
    log = sealed()
    log.do(gestures.amend_overall, 1, reason="slip of the finger")
    assert (log.state.overall, log.state.amendments[0].before) == (1, 3)


def test_w3_mode_is_fixed_at_the_start() -> None:
    log = Log(FORM, mode=Mode.SUMMATIVE)
    log.mark("1")
    assert log.state.ground.mode is Mode.SUMMATIVE
