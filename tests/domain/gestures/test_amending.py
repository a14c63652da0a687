"""Amendments (rules D2, D3)."""

from collections.abc import Callable
from typing import Any

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.marks import (
    DONE,
    NOT_APPLICABLE,
    NOT_DONE,
    NOT_SEEN,
)
from tests.domain.builders import Log, a_form, steps
from tests.domain.trials import rated, refused


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


def test_d2_nobody_countersigns_a_critical_event_for_themselves() -> None:
    log = rated()
    log.do(gestures.seal)
    added = {"item": "A", "reason": "on film", "countersigned": log.state.observer}
    refused(log, "themselves", gestures.amend_occurrence, "", Verdict.FATAL, **added)
