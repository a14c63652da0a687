"""Rule T1: two observers, side by side and together."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.domain.board import Verdict
from observe.domain.decision import Outcome, Standing, decide
from observe.domain.form import CriticalKind, Mode
from observe.domain.marks import DONE, NOT_SEEN
from observe.domain.pairing import Joint, pair
from observe.domain.scoring import Evidence
from tests.domain.builders import a_critical, a_form, a_step, seen, steps
from tests.domain.strategies import same_attempt

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


def watched(marks: str = GOOD, **verdicts: Verdict) -> Evidence:
    each = {item: (verdict,) for item, verdict in verdicts.items()}
    return seen(FORM, marks, mode=Mode.FORMATIVE, verdicts=each)


def test_t1_both_pass_is_pass() -> None:
    found = pair(watched(), watched())
    assert (found.outcome, found.joint) == (Outcome.PASS, Joint.AGREED)


def test_t1_both_remediate_is_remediate() -> None:
    found = pair(watched(POOR), watched(POOR))
    assert (found.outcome, found.joint) == (Outcome.REMEDIATE, Joint.AGREED)


def test_t1_opposite_decisions_wait_for_a_third_person() -> None:
    found = pair(watched(), watched(POOR))
    assert (found.outcome, found.joint) == (Outcome.UNDECIDED, Joint.OPPOSITE)


@pytest.mark.parametrize("otherwise", [None, Verdict.RECOVERED, Verdict.AVERTED])
def test_t1_a_fatal_item_the_other_watched_and_saw_otherwise_is_contested(
    otherwise: Verdict | None,
) -> None:
    other = watched() if otherwise is None else watched(C1=otherwise)
    for found in (
        pair(watched(C1=Verdict.FATAL), other),
        pair(other, watched(C1=Verdict.FATAL)),
    ):
        assert found.outcome is Outcome.UNDECIDED
        assert found.joint is Joint.CONTESTED
        assert found.contested == ("C1",)
        assert "Item C1" in found.sentence


def test_t1_a_fatal_item_the_other_did_not_watch_is_not_contested() -> None:
    found = pair(watched(C1=Verdict.FATAL), watched("." + "d" * 9))
    assert (found.outcome, found.contested) == (Outcome.REMEDIATE, ())


def test_t1_an_uncontested_fatal_item_stands_beside_a_contested_one() -> None:
    one = watched(C1=Verdict.FATAL, C2=Verdict.FATAL)
    found = pair(one, watched(C2=Verdict.FATAL))
    assert (found.outcome, found.contested) == (Outcome.REMEDIATE, ("C1",))


def test_t1_where_one_is_undecided_their_evidence_is_pooled_and_decides() -> None:
    """7 done, 2 not done, 1 unseen is open; with the other's ten done it is 9 of 10."""
    found = pair(watched(), watched(THIN))
    assert (found.outcome, found.joint) == (Outcome.PASS, Joint.POOLED)
    assert found.sentence == (
        "One could decide, the other could not; what both saw together: pass."
    )
    assert found.evidence is not None
    assert found.decision == decide(found.evidence)


def test_t1_two_halves_make_a_whole_by_the_union_of_what_was_seen() -> None:
    found = pair(watched("ddddd....."), watched(".....ddddd"))
    assert (found.outcome, found.joint) == (Outcome.PASS, Joint.POOLED)
    assert found.sentence.startswith("Neither could decide alone; ")
    sunk = pair(watched("ddnnd....."), watched(".....dddnd"))
    assert (sunk.outcome, sunk.joint) == (Outcome.REMEDIATE, Joint.POOLED)


def test_t1_pooled_evidence_that_contradicts_a_decision_goes_to_a_third_person() -> None:
    """One saw 8 of 10 done: pass. The other saw two of those not done: 7 of 10 together."""
    one, other = watched("ddddddddnn"), watched("nn........")
    assert decide(one).outcome is Outcome.PASS
    assert decide(other).outcome is Outcome.UNDECIDED
    found = pair(one, other)
    assert (found.outcome, found.joint) == (Outcome.UNDECIDED, Joint.CONTRADICTED)
    assert found.needs_adjudication
    assert found.sentence.endswith(
        "one says pass, both together say remediate. A third person decides."
    )


def test_t1_what_stays_open_together_is_undecided_without_a_third_person() -> None:
    found = pair(watched("ddd......."), watched("...dd....."))
    assert (found.outcome, found.joint) == (Outcome.UNDECIDED, Joint.UNSETTLED)
    assert not found.needs_adjudication


def test_t1_an_essential_step_they_saw_differently_stays_open() -> None:
    form = a_form([a_step("1", essential=True), *steps(11)[1:]])
    one, other = seen(form, "ddddd......"), seen(form, "nn" + "." * 9)
    found = pair(one, other)
    assert decide(other).outcome is Outcome.REMEDIATE
    assert found.decision is not None
    line = found.decision.line("essential")
    assert (line.standing, line.steps) == (Standing.OPEN, ("1",))
    assert line.sentence == "Seen differently by two observers: “Step 1”."
    assert found.outcome is Outcome.UNDECIDED


def test_f5_two_variants_cannot_be_put_together() -> None:
    form = a_form([a_step("1"), a_step("2L", variants=("L",)), a_step("2R", variants=("R",))])
    left, right = form.steps[:2], form.steps[::2]
    one = replace(seen(form, {}), steps=left, marks={"1": DONE, "2L": NOT_SEEN})
    other = replace(seen(form, {}), steps=right, marks={"1": NOT_SEEN, "2R": DONE})
    found = pair(one, other)
    assert (found.outcome, found.joint) == (Outcome.UNDECIDED, Joint.APART)
    assert found.needs_adjudication


@settings(max_examples=100)
@given(st.data())
def test_t1_holds_letter_by_letter_on_any_two_observers(data: st.DataObject) -> None:
    one, other = data.draw(same_attempt())
    found, turned = pair(one, other), pair(other, one)
    assert (found.outcome, found.joint, found.contested) == (
        turned.outcome,
        turned.joint,
        turned.contested,
    )
    outcomes = {decide(one).outcome, decide(other).outcome}
    if found.contested and found.outcome is not Outcome.REMEDIATE:
        assert found.outcome is Outcome.UNDECIDED
    elif outcomes == {Outcome.PASS}:
        assert found.outcome is Outcome.PASS
    elif outcomes == {Outcome.REMEDIATE}:
        assert found.outcome is Outcome.REMEDIATE
    elif outcomes == {Outcome.PASS, Outcome.REMEDIATE}:
        fatal = found.outcome is Outcome.REMEDIATE
        assert fatal is (found.joint is Joint.AGREED)
    elif found.joint is not Joint.AGREED:
        assert found.decision is not None
        alone = outcomes - {Outcome.UNDECIDED}
        agrees = not alone or found.decision.outcome in alone | {Outcome.UNDECIDED}
        assert found.outcome is (found.decision.outcome if agrees else Outcome.UNDECIDED)
        assert found.needs_adjudication is not agrees


def test_practice_has_no_joint_decision() -> None:
    one = seen(FORM, GOOD, mode=Mode.PRACTICE)
    assert pair(one, one).outcome is None
