"""What an observer may do (rules M1, M2, M4, M5, M6, C1 to C3, D2, D3, E3, F5)."""

from collections.abc import Callable
from typing import Any

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.events import Draft
from observe.domain.form import CriticalKind, Dimension, Independence, Mode, Voice
from observe.domain.marks import (
    DID_NOT_ARISE,
    DONE,
    NOT_APPLICABLE,
    NOT_DONE,
    NOT_SEEN,
    Mark,
    PromptSource,
    State,
)
from observe.domain.observation import Slot
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.troubles import Refused
from tests.domain.builders import GRADES, Log, a_critical, a_form, a_step, steps

FORM = a_form(
    [
        a_step("1"),
        a_step("2", voice=Voice.YES),
        a_step("3", voice=Voice.PART, not_applicable=True),
        a_step("4", when="bone is met"),
    ],
    criticals=(
        a_critical("A", "1"),
        a_critical("R", "1", kind=CriticalKind.RECOVERABLE),
        a_critical("T", "1", kind=CriticalKind.TALLY, tally=2),
    ),
    dimensions=(Dimension("touch", "Touch", GRADES[:3]),),
    independence=(Independence(1, "with help"), Independence(2, "alone")),
)
SIDES = a_form(
    [a_step("1"), a_step("2L", variants=("left",)), a_step("2R", variants=("right",))],
    variants=("left", "right"),
)
VOICED = Mark(State.DONE, voiced=True)


def kinds(drafts: tuple[Draft, ...]) -> list[str]:
    return [draft.kind for draft in drafts]


def refused(log: Log, what: str, gesture: Callable[..., Any], *args: object, **more: object) -> str:
    """The remedy of a gesture that is refused with these words; nothing has changed."""
    before, count = log.state, len(log.events)
    with pytest.raises(Refused, match=what) as caught:
        log.do(gesture, *args, **more)
    assert log.state is before
    assert len(log.events) == count
    assert caught.value.remedy
    return caught.value.remedy


# Marks


def test_m1_the_first_mark_starts_the_clock() -> None:
    log = Log(FORM)
    assert kinds(log.do_dry(gestures.mark, "1", DONE)) == ["clock-started", "mark-set"]
    log.mark("1")
    assert kinds(log.do_dry(gestures.mark, "2", DONE)) == ["mark-set"]


def test_m1_a_mark_is_kept_whole() -> None:
    mark = Mark(State.INCORRECT, 2, PromptSource.ASSISTANT)
    draft = Log(FORM).do_dry(gestures.mark, "1", mark, observed_ns=5)[-1]
    assert draft.body == {
        "step": "1",
        "mark": {"state": "incorrect", "prompt": 2, "source": "assistant"},
        "observed_ns": 5,
    }


def test_m1_not_seen_is_not_a_mark() -> None:
    refused(Log(FORM), "Not seen is not a mark", gestures.mark, "1", NOT_SEEN)


def test_m1_not_applicable_only_where_the_form_lets_it() -> None:
    log = Log(FORM)
    refused(log, "not applicable", gestures.mark, "1", NOT_APPLICABLE)
    log.mark("3", mark=NOT_APPLICABLE)


def test_m1_did_not_arise_only_with_when() -> None:
    log = Log(FORM)
    refused(log, "always arises", gestures.mark, "3", DID_NOT_ARISE)
    log.mark("4", mark=DID_NOT_ARISE)


def test_m2_voiced_is_not_offered_for_no() -> None:
    log = Log(FORM)
    refused(log, "must be performed", gestures.mark, "1", VOICED)
    log.mark("2", "3", mark=VOICED)


def test_w1_voice_today_lets_a_step_be_voiced_in_its_variant() -> None:
    voiced = Departure("1", Doing.VOICE, "no antiseptic", "left")
    profile = Profile(SIDES.whole_digest, (voiced,))
    Log(SIDES, profile=profile, variant="left").mark("1", mark=VOICED)
    right = Log(SIDES, profile=profile, variant="right")
    refused(right, "must be performed", gestures.mark, "1", VOICED)


def test_f5_the_variant_is_chosen_before_its_first_step() -> None:
    log = Log(SIDES)
    log.mark("1")
    refused(log, "none is chosen", gestures.mark, "2L", DONE)
    log.do(gestures.choose_variant, "left")
    log.mark("2L")
    refused(log, "no such step", gestures.mark, "2R", DONE)
    refused(log, "no such variant", gestures.choose_variant, "middle")


def test_e2_nothing_was_seen_before_the_clock() -> None:
    log = Log(FORM)
    refused(log, "before the clock", gestures.mark, "1", DONE, observed_ns=-1)
    log.do(gestures.mark, "1", DONE, observed_ns=0)


@pytest.mark.parametrize(
    "gesture", [gestures.move_to, gestures.claim_order, lambda o, id: gestures.mark(o, id, DONE)]
)
def test_a_step_that_is_not_in_play_is_refused(gesture: Callable[..., Any]) -> None:
    profile = Profile(FORM.whole_digest, (Departure("2", Doing.NOT_TODAY, "no kit"),))
    log = Log(FORM, profile=profile)
    refused(log, "no such step", gesture, "2")
    refused(log, "no such step", gesture, "9")


# Moving


def test_passing_unseen_goes_to_the_next_step_and_past_the_last() -> None:
    log = Log(FORM)
    for expected in ("2", "3", "4", ""):
        log.do(gestures.pass_unseen)
        assert log.state.board.front == expected
    refused(log, "no step left", gestures.pass_unseen)


def test_passing_while_visiting_goes_back_to_the_step_in_front() -> None:
    log = Log(FORM)
    log.do(gestures.move_to, "3")
    log.do(gestures.move_to, "1")
    log.do(gestures.pass_unseen)
    assert (log.state.board.front, log.state.board.at) == ("3", "3")


def test_m5_a_claim_is_a_second_tap() -> None:
    log = Log(FORM)
    log.mark("2")
    assert log.state.board.claims == frozenset()
    log.do(gestures.claim_order, "2")
    assert log.state.board.claims == {"2"}


# Taking back


def test_e3_taking_back_names_what_it_would_take() -> None:
    log = Log(FORM)
    assert gestures.take_back_target(log.state) == ()
    refused(log, "nothing to take back", gestures.take_back)
    refused(log, "nothing to put back", gestures.put_back)
    log.mark("1")
    assert gestures.take_back_target(log.state) == (log.state.last,)
    log.do(gestures.take_back)
    refused(log, "not in force", gestures.take_back, log.events[-2].id)


# Critical items


def test_c2_an_occurrence_is_recorded_at_once_and_named_later() -> None:
    log = Log(FORM)
    assert kinds(log.do_dry(gestures.record_critical)) == ["clock-started", "critical-recorded"]
    id = log.occur("")
    refused(log, "which critical item", gestures.classify, id, Verdict.FATAL)
    log.do(gestures.name_critical, id, "A")
    log.do(gestures.classify, id, Verdict.FATAL)
    assert [one.verdict for one in log.state.occurrences] == [Verdict.FATAL]


@pytest.mark.parametrize("item", ["A", "R", "T"])
def test_c2_exactly_the_verdicts_offered_are_taken(item: str) -> None:
    offered = gestures.offered_verdicts(Log(FORM).state, item)
    for verdict in Verdict:
        log = Log(FORM)
        id = log.occur(item)
        if verdict in offered:
            log.do(gestures.classify, id, verdict, "why")
        else:
            remedy = refused(log, "does not let", gestures.classify, id, verdict, "why")
            assert all(one in remedy for one in offered)


def test_c2_withdrawn_needs_a_reason_which_stands_beside_the_event() -> None:
    log = Log(FORM)
    id = log.occur("A")
    refused(log, "reason", gestures.classify, id, Verdict.WITHDRAWN, " ")
    draft = log.do_dry(gestures.classify, id, Verdict.WITHDRAWN, " the other learner ")[0]
    assert draft.texts == {"reason": "the other learner"}
    assert log.do_dry(gestures.classify, id, Verdict.FATAL)[0].texts == {}


def test_what_is_not_recorded_or_not_in_the_form_is_refused() -> None:
    log = Log(FORM)
    refused(log, "no such critical item", gestures.record_critical, "Z")
    refused(log, "No such critical event", gestures.classify, "d1/9", Verdict.FATAL)
    refused(log, "No such critical event", gestures.name_critical, "d1/9", "A")
    refused(log, "no such critical item", gestures.name_critical, log.occur("A"), "Z")
    refused(log, "no such critical item", gestures.attest_watched, ["A", "Z"])


def test_c1_attested_items_are_kept_once_and_sorted() -> None:
    assert Log(FORM).do_dry(gestures.attest_watched, ["R", "A", "R"])[0].body == {
        "items": ["A", "R"]
    }


# Grades and texts


def test_grades_must_be_on_their_scale() -> None:
    log = Log(FORM)
    assert "[1, 2, 3, 4, 5]" in refused(log, "6 is not on", gestures.give_overall, 6)
    refused(log, "0 is not on", gestures.give_overall, 0)
    refused(log, "4 is not on", gestures.rate_dimension, "touch", 4)
    refused(log, "no such dimension", gestures.rate_dimension, "taste", 1)
    refused(log, "3 is not on", gestures.give_independence, 3)
    log.do(gestures.give_independence, 2)
    log.do(gestures.rate_dimension, "touch", None)
    assert (log.state.independence, log.state.dimensions) == (2, {"touch": None})
    log.do(gestures.rate_dimension, "touch", 3)
    assert log.state.dimensions == {"touch": 3}


def test_texts_have_their_places() -> None:
    log = Log(FORM)
    for slot in ("margin", "1", "steps:1", ""):
        refused(log, "no place", gestures.write, slot, "x")
    refused(log, "no such step", gestures.write, "step:9", "x")
    draft = log.do_dry(gestures.write, "step:1", "  left hand ")[0]
    assert (draft.body, draft.texts) == ({"slot": "step:1"}, {"text": "left hand"})


def test_a_reason_needs_words() -> None:
    refused(Log(FORM), "reason is needed", gestures.give_reason, "3", " ")


# Clock, time-out, stop, void


def test_the_clock_is_started_and_paused_by_hand() -> None:
    log = Log(FORM)
    refused(log, "stands already", gestures.pause_clock)
    log.do(gestures.start_clock)
    refused(log, "running already", gestures.start_clock)
    log.do(gestures.pause_clock)
    log.mark("1")
    assert not log.state.clock.is_running


def test_m4_time_is_called_on_what_was_not_reached() -> None:
    log = Log(FORM)
    log.mark("1")
    log.mark("3")
    assert log.do_dry(gestures.call_time)[0].body == {"steps": ["2", "4"]}
    log.do(gestures.call_time)
    refused(log, "Every step was reached", gestures.call_time)


def test_m4_a_step_that_passed_unseen_stays_not_seen() -> None:
    log = Log(FORM)
    log.do(gestures.pass_unseen)
    log.do(gestures.call_time)
    assert [log.state.mark(id) for id in "1234"] == [NOT_SEEN, NOT_DONE, NOT_DONE, NOT_DONE]


def test_m6_a_stop_is_lifted_once() -> None:
    log = Log(FORM)
    refused(log, "not stopped", gestures.go_on)
    log.do(gestures.stop_for_safety)
    refused(log, "stopped already", gestures.stop_for_safety)
    refused(log, "Stopped for safety", gestures.start_clock)
    log.do(gestures.go_on)
    assert log.state.stopped is None


def test_m6_marks_entered_during_a_stop_do_not_start_the_clock() -> None:
    log = Log(FORM)
    log.do(gestures.stop_for_safety)
    log.mark("1")
    log.occur("A", Verdict.AVERTED)
    assert log.state.clock.started is None


def rated(mode: Mode = Mode.FORMATIVE) -> Log:
    """An observation that lacks nothing but the seal."""
    log = Log(FORM, mode=mode)
    log.mark("1")
    log.do(gestures.give_overall, 3)
    log.do(gestures.write, Slot.STRENGTH, "steady hands")
    log.do(gestures.write, Slot.CHANGE, "say it aloud")
    assert gestures.missing(log.state) == ()
    return log


@pytest.mark.parametrize(
    ("item", "verdict", "enough"),
    [
        ("A", Verdict.FATAL, True),
        ("A", Verdict.AVERTED, True),
        ("R", Verdict.RECOVERED, False),
        ("A", Verdict.WITHDRAWN, False),
        ("T", Verdict.COUNTED, False),
    ],
)
def test_m6_a_stop_by_the_learners_act_needs_a_fatal_or_averted_item(
    item: str, verdict: Verdict, enough: bool
) -> None:
    log = rated()
    log.do(gestures.stop_for_safety)
    assert "made you stop" in refused(log, "cannot be sealed", gestures.seal)
    log.occur(item, verdict)
    assert (gestures.missing(log.state) == ()) is enough


def test_m6_a_stop_that_was_lifted_needs_no_item() -> None:
    log = rated()
    log.do(gestures.stop_for_safety)
    log.do(gestures.go_on)
    log.do(gestures.seal)


def test_m6_a_void_needs_a_reason_and_in_summative_mode_a_countersignature() -> None:
    log = Log(FORM, mode=Mode.SUMMATIVE)
    refused(log, "reason", gestures.void, " ", countersigned="p-9")
    assert "director" in refused(log, "second signature", gestures.void, "the trainer leaked")
    draft = log.do_dry(gestures.void, "the trainer leaked", countersigned="p-9")[0]
    assert (draft.body, draft.texts) == (
        {"countersigned": "p-9"},
        {"reason": "the trainer leaked"},
    )
    assert Log(FORM).do_dry(gestures.void, "an alarm")[0].body == {}


def test_m6_a_void_attempt_is_sealed_as_it_is_and_never_amended() -> None:
    log = Log(FORM)
    log.mark("1")
    log.do(gestures.void, "an alarm")
    refused(log, "is void", gestures.mark, "2", DONE)
    assert gestures.missing(log.state) == ()
    log.do(gestures.seal)
    refused(log, "nothing to amend", gestures.amend_step, "1", NOT_DONE, reason="why")


# The seal


def test_c3_sealing_is_refused_until_each_occurrence_is_classified() -> None:
    log = rated()
    unnamed, named = log.occur(""), log.occur("A")
    remedy = refused(log, "cannot be sealed", gestures.seal)
    assert "which critical item" in remedy
    assert "“Item A”" in remedy
    log.do(gestures.classify, named, Verdict.AVERTED)
    log.do(gestures.classify, unnamed, Verdict.WITHDRAWN, "mistaken")
    log.do(gestures.seal)
    assert log.state.sealed


def test_d3_overall_grade_one_strength_one_change_come_before_the_seal() -> None:
    log = Log(FORM)
    assert gestures.missing(log.state) == (
        "Give the overall grade.",
        "Name one strength.",
        "Name one change.",
    )
    assert gestures.missing(Log(FORM, mode=Mode.PRACTICE).state) == ("Give the overall grade.",)


def test_d3_a_strength_that_was_cleared_is_missing() -> None:
    log = rated()
    log.do(gestures.write, Slot.STRENGTH, " ")
    assert gestures.missing(log.state) == ("Name one strength.",)


def test_m1_an_open_reason_holds_the_seal() -> None:
    log = rated()
    log.mark("3", mark=NOT_APPLICABLE)
    assert gestures.missing(log.state) == ("Say why step 3 is not applicable.",)


def test_f5_a_variant_that_was_never_chosen_holds_the_seal() -> None:
    assert "Choose the variant." in gestures.missing(Log(SIDES).state)
    assert "Choose the variant." not in gestures.missing(Log(SIDES, variant="left").state)


def test_d3_after_the_seal_every_gesture_but_an_amendment_is_refused() -> None:
    log = rated()
    log.do(gestures.seal)
    for gesture, args in (
        (gestures.mark, ("1", NOT_DONE)),
        (gestures.take_back, ()),
        (gestures.put_back, ()),
        (gestures.seal, ()),
        (gestures.record_critical, ()),
        (gestures.void, ("an alarm",)),
    ):
        assert "amendment" in refused(log, "is sealed", gesture, *args)


# Amendments


@pytest.mark.parametrize(
    ("gesture", "args"),
    [
        (gestures.amend_step, ("1", NOT_DONE)),
        (gestures.amend_occurrence, ("", Verdict.FATAL)),
        (gestures.amend_overall, (4,)),
        (gestures.amend_dimension, ("touch", 1)),
    ],
)
def test_d3_an_amendment_needs_the_seal_and_a_reason(
    gesture: Callable[..., Any], args: tuple[object, ...]
) -> None:
    log = rated()
    refused(log, "not sealed yet", gesture, *args, reason="why")
    log.do(gestures.seal)
    refused(log, "needs a reason", gesture, *args, reason=" ")


def test_d2_not_seen_to_anything_needs_a_countersignature() -> None:
    log = rated()
    log.do(gestures.seal)
    remedy = refused(log, "from memory", gestures.amend_step, "2", DONE, reason="I recall")
    assert "countersign" in remedy
    log.do(gestures.amend_step, "2", DONE, reason="on film", countersigned="p-9")
    assert log.state.mark("2") == DONE


def test_d3_an_amendment_must_change_something_that_may_stand() -> None:
    log = rated()
    log.do(gestures.seal)
    refused(log, "mark that stands", gestures.amend_step, "1", DONE, reason="why")
    refused(log, "not applicable", gestures.amend_step, "1", NOT_APPLICABLE, reason="why")
    refused(log, "6 is not on", gestures.amend_overall, 6, reason="why")
    refused(log, "no such dimension", gestures.amend_dimension, "taste", 1, reason="why")
    log.do(gestures.amend_step, "1", NOT_SEEN, reason="it was the other learner")
    assert log.state.mark("1") == NOT_SEEN


def test_d3_an_amended_or_added_occurrence_must_fit_its_item() -> None:
    log = rated()
    id = log.occur("A", Verdict.FATAL)
    log.do(gestures.seal)
    amend = gestures.amend_occurrence
    refused(log, "does not let", amend, id, Verdict.RECOVERED, reason="why")
    refused(log, "does not let", amend, "", Verdict.COUNTED, reason="why", item="A")
    refused(log, "no such critical item", amend, "", Verdict.FATAL, reason="why")
    refused(log, "No such critical event", amend, "d1/9", Verdict.FATAL, reason="why")
    draft = log.do_dry(amend, id, Verdict.AVERTED, reason=" a hand ")[0]
    assert (draft.body["from"], draft.body["to"]) == ({"verdict": "fatal"}, {"verdict": "averted"})
    assert draft.texts == {"reason": "a hand"}


def test_m6_a_void_can_be_taken_back_until_the_seal() -> None:
    log = Log(a_form(steps(3)))
    log.do(gestures.mark, "1", DONE)
    before = log.state
    log.do(gestures.void, "The trainer broke.")
    with pytest.raises(Refused):
        log.do(gestures.mark, "2", DONE)
    log.do(gestures.take_back)
    assert not log.state.void
    assert log.state.board == before.board
    log.do(gestures.mark, "2", DONE)
    log.do(gestures.void, "The trainer broke again.")
    log.do(gestures.seal)
    with pytest.raises(Refused):
        log.do(gestures.take_back)


def test_d2_nobody_countersigns_for_themselves() -> None:
    log = Log(a_form(steps(3)))
    log.do(gestures.mark, "1", DONE)
    log.seal()
    own = log.state.observer
    said = refused(
        log, "themselves", gestures.amend_step, "2", DONE, reason="I recall it.", countersigned=own
    )
    assert "director" in said
    log.do(gestures.amend_step, "2", DONE, reason="The director saw it.", countersigned="p-9")
    assert log.state.mark("2") == DONE
