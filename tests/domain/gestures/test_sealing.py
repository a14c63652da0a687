"""Void and seal (rules M6, C3, D3, F5)."""

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.events import Draft
from observe.domain.form import Mode
from observe.domain.marks import (
    DONE,
    NOT_APPLICABLE,
    NOT_DONE,
)
from observe.domain.observation import Slot
from tests.domain.builders import Log
from tests.domain.trials import FORM, SIDES, rated, refused


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


def test_m6_a_void_is_countersigned_by_another_person() -> None:
    log = Log(FORM, mode=Mode.SUMMATIVE)
    own, learner = log.state.observer, log.state.learner
    refused(log, "for themselves", gestures.void, "an alarm", countersigned=own)
    refused(log, "A learner", gestures.void, "an alarm", countersigned=learner)
    for nobody in ("", own, learner):
        log.append(Draft("voided", {"countersigned": nobody} if nobody else {}))
        assert not log.state.void
    log.do(gestures.void, "an alarm", countersigned="p-9")
    assert (bool(log.state.void), log.state.countersigned) == (True, "p-9")
    log.do(gestures.take_back)
    assert (log.state.void, log.state.countersigned) == ("", "")
