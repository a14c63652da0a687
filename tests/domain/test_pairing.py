"""Rule T1, as far as one decision each goes."""

import pytest

from observe.domain.board import Verdict
from observe.domain.decision import Decision, Outcome, decide
from observe.domain.form import CriticalKind, Mode
from observe.domain.pairing import Joint, pair
from tests.domain.builders import a_critical, a_form, seen, steps

FORM = a_form(
    steps(10),
    criticals=(
        a_critical("C1", "1", "2", kind=CriticalKind.RECOVERABLE),
        a_critical("C2", "3"),
    ),
)
GOOD = "d" * 10
POOR = "d" * 6 + "n" * 4
THIN = "d" * 7 + "n" * 2 + "."


def decision(marks: str = GOOD, **verdicts: Verdict) -> Decision:
    given = {item: (verdict,) for item, verdict in verdicts.items()}
    return decide(seen(FORM, marks, mode=Mode.FORMATIVE, verdicts=given))


def test_t1_both_pass_is_pass() -> None:
    found = pair(decision(), decision())
    assert (found.outcome, found.joint) == (Outcome.PASS, Joint.AGREED)


def test_t1_both_remediate_is_remediate() -> None:
    found = pair(decision(POOR), decision(POOR))
    assert (found.outcome, found.joint) == (Outcome.REMEDIATE, Joint.AGREED)


def test_t1_opposite_decisions_wait_for_a_third_person() -> None:
    found = pair(decision(), decision(POOR))
    assert (found.outcome, found.joint) == (Outcome.UNDECIDED, Joint.OPPOSITE)


@pytest.mark.parametrize("otherwise", [None, Verdict.RECOVERED, Verdict.AVERTED])
def test_t1_a_fatal_item_the_other_watched_and_saw_otherwise_is_contested(
    otherwise: Verdict | None,
) -> None:
    other = decision() if otherwise is None else decision(C1=otherwise)
    for found in (
        pair(decision(C1=Verdict.FATAL), other),
        pair(other, decision(C1=Verdict.FATAL)),
    ):
        assert found.outcome is Outcome.UNDECIDED
        assert found.joint is Joint.CONTESTED
        assert found.contested == ("C1",)
        assert "Item C1" in found.sentence


def test_t1_a_fatal_item_the_other_did_not_watch_is_not_contested() -> None:
    found = pair(decision(C1=Verdict.FATAL), decision("." + "d" * 9))
    assert (found.outcome, found.contested) == (Outcome.REMEDIATE, ())


def test_t1_an_uncontested_fatal_item_stands_beside_a_contested_one() -> None:
    one = decision(C1=Verdict.FATAL, C2=Verdict.FATAL)
    found = pair(one, decision(C2=Verdict.FATAL))
    assert (found.outcome, found.contested) == (Outcome.REMEDIATE, ("C1",))


def test_t1_an_undecided_observer_leaves_the_attempt_undecided_and_says_so() -> None:
    found = pair(decision(), decision(THIN))
    assert (found.outcome, found.joint) == (Outcome.UNDECIDED, Joint.UNSETTLED)
    assert found.sentence.startswith("One could decide, the other could not.")
    both = pair(decision(THIN), decision(THIN))
    assert both.sentence.startswith("Neither could decide.")


def test_practice_has_no_joint_decision() -> None:
    one = decide(seen(FORM, GOOD, mode=Mode.PRACTICE))
    assert pair(one, one).outcome is None
