"""What the marks in force add up to (rules M1, M2, M4, F5, C2)."""

from typing import Any

import pytest

from observe.domain import gestures
from observe.domain.board import (
    Board,
    Entry,
    Occurrence,
    Verdict,
    advance,
    fits_occurrence,
    opening,
    replay,
    verdicts_for,
)
from observe.domain.events import Draft
from observe.domain.form import CriticalKind
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, NOT_SEEN, Mark, State
from observe.domain.profile import Departure, Doing, Profile
from tests.domain.builders import Log, a_critical, a_form, a_step, steps

FIVE = a_form(steps(5))
SIDES = a_form(
    [
        a_step("1"),
        a_step("2L", variants=("left",)),
        a_step("2R", variants=("right",)),
        a_step("3"),
        a_step("4R", variants=("right",)),
    ],
    variants=("left", "right"),
)
ITEMS = a_form(
    steps(2),
    criticals=(
        a_critical("A", "1"),
        a_critical("R", "1", kind=CriticalKind.RECOVERABLE),
        a_critical("T", "1", kind=CriticalKind.TALLY, tally=3),
    ),
)


def places(log: Log) -> tuple[str, str]:
    return log.state.board.front, log.state.board.at


def test_the_board_opens_at_the_first_step_in_play() -> None:
    assert places(Log(FIVE)) == ("1", "1")
    profile = Profile(FIVE.whole_digest, (Departure("1", Doing.NOT_TODAY, "no kit"),))
    assert places(Log(FIVE, profile=profile)) == ("2", "2")


def test_a_form_without_steps_opens_past_the_end() -> None:
    log = Log(a_form([]))
    assert opening(log.ground, "") == Board()


def test_a_mark_on_the_step_in_front_moves_on() -> None:
    log = Log(FIVE)
    log.mark("1")
    assert places(log) == ("2", "2")
    log.mark("2", "3", "4", "5")
    assert places(log) == ("", "")


def test_a_mark_ahead_stays_and_is_passed_over_later() -> None:
    log = Log(FIVE)
    log.mark("3")
    assert places(log) == ("1", "1")
    log.mark("1", "2")
    assert places(log) == ("4", "4")


def test_moving_ahead_leaves_what_is_between_not_seen() -> None:
    log = Log(FIVE)
    log.do(gestures.move_to, "4")
    assert places(log) == ("4", "4")
    assert log.state.marks == dict.fromkeys("12345", NOT_SEEN)


def test_moving_back_is_a_visit_that_a_mark_ends() -> None:
    log = Log(FIVE)
    log.do(gestures.move_to, "4")
    log.do(gestures.move_to, "2")
    assert places(log) == ("4", "2")
    log.mark("1")
    assert places(log) == ("4", "2")
    log.mark("2")
    assert places(log) == ("4", "4")


def test_moving_to_the_step_in_front_ends_a_visit() -> None:
    log = Log(FIVE)
    log.do(gestures.move_to, "4")
    log.do(gestures.move_to, "2")
    log.do(gestures.move_to, "4")
    assert places(log) == ("4", "4")


def test_moving_past_the_end_and_visiting_from_there() -> None:
    log = Log(FIVE)
    log.do(gestures.move_to, "")
    assert places(log) == ("", "")
    log.do(gestures.move_to, "5")
    assert places(log) == ("", "5")
    log.mark("5")
    assert places(log) == ("", "")


def test_m2_marks_on_one_step_add_up() -> None:
    log = Log(FIVE)
    log.mark("1", mark=Mark(State.DONE, 2))
    log.mark("1", mark=INCORRECT)
    assert log.state.mark("1") == Mark(State.INCORRECT, 2)
    assert len(log.state.board.placed["1"]) == 2


def test_e2_observed_and_entered_differ_for_late_marks() -> None:
    log = Log(FIVE)
    log.mark("1")
    log.mark("2")
    log.do(gestures.mark, "3", DONE, observed_ns=500)
    on_time, late = log.state.board.placed["2"][0], log.state.board.placed["3"][0]
    assert (on_time.observed_ns, on_time.is_late) == (10**9, False)
    assert (late.observed_ns, late.entered_ns, late.is_late) == (500, 2 * 10**9, True)


def test_m4_one_act_turns_unreached_steps_into_not_done() -> None:
    log = Log(FIVE)
    log.do(gestures.move_to, "3")
    log.mark("5")
    log.do(gestures.call_time)
    assert [log.state.mark(id) for id in "12345"] == [NOT_SEEN, NOT_SEEN, NOT_DONE, NOT_DONE, DONE]
    assert places(log) == ("", "")


def test_m4_otherwise_they_stay_not_seen() -> None:
    log = Log(FIVE)
    log.seal()
    assert set(log.state.marks.values()) == {NOT_SEEN}


def test_m4_time_out_touches_no_step_that_is_not_in_play_and_no_mark() -> None:
    log = Log(SIDES, variant="left")
    log.mark("1")
    log.append(Draft("time-called", {"steps": ["1", "2L", "2R"]}))
    assert set(log.state.board.placed) == {"1", "2L"}
    assert log.state.mark("1") == DONE


def test_f5_changing_the_variant_takes_its_marks_out_of_force() -> None:
    log = Log(SIDES, variant="left")
    log.mark("1", "2L", "3")
    log.do(gestures.claim_order, "2L")
    log.do(gestures.claim_order, "3")
    log.do(gestures.choose_variant, "right")
    assert log.state.marks == {"1": DONE, "2R": NOT_SEEN, "3": DONE, "4R": NOT_SEEN}
    assert log.state.board.claims == {"3"}
    assert log.state.numbers == {"1": 1, "2R": 2, "3": 3, "4R": 4}


def test_f5_going_back_to_a_variant_does_not_bring_its_marks_back() -> None:
    log = Log(SIDES, variant="left")
    log.mark("1", "2L")
    log.do(gestures.choose_variant, "right")
    log.do(gestures.choose_variant, "left")
    assert log.state.mark("2L") == NOT_SEEN


@pytest.mark.parametrize(
    ("front", "after"), [("1", "1"), ("2L", "2R"), ("3", "3"), ("", "")], ids=str
)
def test_f5_the_learner_stays_where_they_are(front: str, after: str) -> None:
    log = Log(SIDES, variant="left")
    log.do(gestures.move_to, front)
    log.do(gestures.choose_variant, "right")
    assert places(log) == (after, after)


def test_f5_a_visit_to_a_common_step_goes_on_and_to_another_one_ends() -> None:
    for visited, at in (("1", "1"), ("2L", "3")):
        log = Log(SIDES, variant="left")
        log.do(gestures.move_to, "3")
        log.do(gestures.move_to, visited)
        log.do(gestures.choose_variant, "right")
        assert places(log) == ("3", at)


def test_c2_an_occurrence_keeps_its_time_and_may_be_named_later() -> None:
    log = Log(ITEMS)
    log.mark("1")
    id = log.occur("")
    first = log.state.occurrences[0]
    assert (first.item, first.verdict, first.elapsed_ns) == ("", None, 10**9)
    log.second += 5
    log.do(gestures.name_critical, id, "A")
    named = log.state.occurrences[0]
    assert (named.item, named.elapsed_ns, named.at) == ("A", 10**9, first.at)


def test_c2_an_item_that_adds_up_counts_as_soon_as_it_is_named() -> None:
    log = Log(ITEMS)
    id = log.occur("T")
    assert log.state.occurrences[0].verdict is Verdict.COUNTED
    log.do(gestures.name_critical, id, "A")
    assert log.state.occurrences[0].verdict is None


def test_c2_a_verdict_lapses_with_the_name_it_was_given_for() -> None:
    """Taking the naming back leaves an absolute item, which cannot be recovered."""
    log = Log(ITEMS)
    id = log.occur("A")
    named = log.do(gestures.name_critical, id, "R")[0].id
    log.do(gestures.classify, id, Verdict.RECOVERED)
    assert [one.verdict for one in log.state.occurrences] == [Verdict.RECOVERED]
    log.do(gestures.take_back, named)
    assert [(one.item, one.verdict) for one in log.state.occurrences] == [("A", None)]


@pytest.mark.parametrize(
    ("item", "offered"),
    [
        ("A", ["fatal", "averted", "withdrawn"]),
        ("R", ["fatal", "recovered", "averted", "withdrawn"]),
        ("T", ["counted", "averted", "withdrawn"]),
    ],
)
def test_c2_each_kind_of_item_has_its_verdicts(item: str, offered: list[str]) -> None:
    ground = Log(ITEMS).ground
    assert [str(one) for one in verdicts_for(ITEMS.critical[item])] == offered
    for verdict in Verdict:
        occurrence = Occurrence("e", item, "", 0)
        assert fits_occurrence(ground, occurrence, verdict) is (verdict in offered)


def test_c2_an_unnamed_occurrence_can_only_be_withdrawn() -> None:
    ground = Log(ITEMS).ground
    fitting = [one for one in Verdict if fits_occurrence(ground, Occurrence("e", "", "", 0), one)]
    assert fitting == [Verdict.WITHDRAWN]


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("mark-set", {"step": "2R", "mark": {"state": "done"}}),
        ("moved-to", {"step": "2R"}),
        ("order-claimed", {"step": "2R"}),
        ("critical-named", {"occurrence": "d1/99", "item": "A"}),
        ("critical-classified", {"occurrence": "d1/99", "verdict": "fatal"}),
        ("no-such-kind", {}),
    ],
)
def test_what_cannot_apply_changes_nothing(kind: str, body: dict[str, Any]) -> None:
    log = Log(SIDES, variant="left")
    log.mark("1")
    entry = Entry("d1/9", 9, 9, "g", kind, body, log.stamp(), 0)
    assert advance(log.ground, log.state.board, entry) == log.state.board


def test_an_unknown_variant_changes_nothing() -> None:
    log = Log(SIDES, variant="left")
    entry = Entry("d1/9", 9, 9, "g", "variant-chosen", {"variant": "middle"}, log.stamp(), 0)
    assert advance(log.ground, log.state.board, entry) == log.state.board


def test_a_replay_gives_the_same_board() -> None:
    log = Log(SIDES, variant="left")
    log.mark("1", "2L")
    log.do(gestures.choose_variant, "right")
    log.do(gestures.call_time)
    assert replay(log.ground, "left", log.state.entries) == log.state.board
