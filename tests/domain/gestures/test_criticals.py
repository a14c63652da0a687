"""Critical items (rules C1, C2)."""

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from tests.domain.builders import Log
from tests.domain.trials import FORM, kinds, refused


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


def test_c2_a_critical_event_may_be_entered_late() -> None:
    log = Log(FORM)
    log.mark("1")
    log.second += 60
    refused(log, "before the clock", gestures.record_critical, "A", observed_ns=-1)
    log.do(gestures.record_critical, "A", observed_ns=5)
    assert [one.elapsed_ns for one in log.state.occurrences] == [5]
    assert log.state.entries[-1].elapsed_ns > 5
