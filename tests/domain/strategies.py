"""Random small forms and evidence for properties."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from observe.domain.board import verdicts_for
from observe.domain.form import Credit, Critical, CriticalKind, Form, Mode, Rule, RuleKind, Step
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
from observe.domain.scoring import Cut, Evidence
from tests.domain.builders import a_critical, a_form, a_step, seen

DOMAINS = ("hands", "asepsis")
SHARES = [Fraction(n, 12) for n in (0, 3, 4, 6, 8, 9, 10, 12)]
WEIGHTS = [Fraction(n, 2) for n in (2, 2, 4, 6, 1)]
FALLING = tuple(Fraction(n, 4) for n in (4, 3, 2, 1, 0))
NONE = (Fraction(0),) * 5

CREDITS = [
    Credit(),
    Credit(done=(Fraction(1), Fraction(1), Fraction(1, 2), Fraction(1, 2), Fraction(1, 10))),
    Credit(not_done=Fraction(1, 4)),
    Credit(
        incorrect=(Fraction(1, 4), Fraction(1, 4), Fraction(1, 8), Fraction(0), Fraction(0)),
        not_done=Fraction(1, 8),
    ),
]
TENTHS = (Fraction(1, 10),) * 5
FLAT_CREDITS = [
    Credit(),
    Credit((*FALLING[:3], *TENTHS[:2]), TENTHS, Fraction(1, 10)),
]
"""Tables in which all marks at the bottom of the order of S5 earn the same."""

OUTCOMES = [
    Mark(state, prompt, source, voiced)
    for state in (State.DONE, State.INCORRECT, State.NOT_DONE)
    for prompt in range(5)
    for source in ((None, *PromptSource) if prompt else (None,))
    for voiced in (False, True)
]
outcomes = st.sampled_from(OUTCOMES)
marks = st.sampled_from([*OUTCOMES, *[NOT_SEEN, NOT_APPLICABLE, DID_NOT_ARISE] * 5])

BONE = "bone is met"
FEATURES: list[dict[str, Any]] = [
    {},
    {},
    {},
    {"essential": True},
    {"essential": True, "when": BONE},
    {"essential": True, "scored": False},
    {"scored": False},
    {"scored": False, "not_applicable": True},
    {"when": BONE},
    {"not_applicable": True},
    {"not_applicable": True, "when": BONE},
]
"""What a step may be besides its weight and domain; never essential and not applicable."""


@st.composite
def _steps(draw: st.DrawFn, most: int) -> tuple[Step, ...]:
    kinds = st.tuples(st.sampled_from(WEIGHTS), st.sampled_from(DOMAINS), st.sampled_from(FEATURES))
    return tuple(
        a_step(str(number), weight=weight, domain=domain, **features)
        for number, (weight, domain, features) in enumerate(
            draw(st.lists(kinds, min_size=1, max_size=most)), start=1
        )
    )


@st.composite
def _items(draw: st.DrawFn, steps: tuple[Step, ...]) -> tuple[Critical, ...]:
    ids = [step.id for step in steps]
    return tuple(
        a_critical(
            id,
            *draw(st.lists(st.sampled_from(ids), min_size=1, max_size=2, unique=True)),
            kind=draw(st.sampled_from(CriticalKind)),
            tally=2,
            averted_is_fatal=draw(st.booleans()),
        )
        for id in ("X", "Y")[: draw(st.integers(0, 2))]
    )


@st.composite
def _rules(draw: st.DrawFn, domains: list[str]) -> Rule:
    kind = draw(st.sampled_from(RuleKind))
    minima = {}
    if kind is not RuleKind.COMPENSATORY:
        minima = {id: draw(st.sampled_from(SHARES)) for id in domains if draw(st.booleans())}
    return Rule(
        kind=kind,
        cut=Fraction(1, 2),
        minima=minima,
        k=draw(st.integers(1, 2)),
        essential_prompt=draw(st.integers(0, 3)),
        coverage={
            Mode.FORMATIVE: draw(st.sampled_from(SHARES)),
            Mode.SUMMATIVE: draw(st.sampled_from(SHARES)),
        },
        not_applicable_allowance=draw(st.sampled_from([Fraction(1, 10), Fraction(1, 2)])),
        unwatched_open_in_formative=draw(st.booleans()),
        overall_minimum=draw(st.sampled_from([None, None, 3])),
        time_limit_s=draw(st.sampled_from([None, None, 60])),
    )


@st.composite
def forms(draw: st.DrawFn, *, most: int = 6, tables: list[Credit] | None = None) -> Form:
    steps = draw(_steps(most))
    domains = list(dict.fromkeys(step.domain for step in steps))
    return a_form(
        steps,
        criticals=draw(_items(steps)),
        rule=draw(_rules(domains)),
        credit=draw(st.sampled_from(CREDITS if tables is None else tables)),
    )


def _mark_for(step: Step, *, little_seen: bool) -> st.SearchStrategy[Mark]:
    half = len(OUTCOMES) // 2
    choices = [*OUTCOMES, *[NOT_SEEN, DONE] * half]
    if little_seen:
        choices = [DONE, DONE, Mark(State.DONE, 1), NOT_DONE, *[NOT_SEEN] * 12]
        half = 1
    if step.not_applicable:
        choices += [NOT_APPLICABLE] * half
    if step.when:
        choices += [DID_NOT_ARISE] * half
    return st.sampled_from(choices)


@st.composite
def evidences(
    draw: st.DrawFn,
    *,
    most: int = 6,
    tables: list[Credit] | None = None,
    little_seen: bool = False,
) -> Evidence:
    """Evidence as one sealed observation of a random form may give it.

    little_seen: most steps are not seen and seldom is anything else in the way,
    so that the attempt is mostly undecided.
    """
    form = draw(forms(most=most, tables=tables))
    verdicts = {
        item.id: tuple(draw(st.lists(st.sampled_from(verdicts_for(item)), max_size=2)))
        for item in form.criticals
        if draw(st.sampled_from([False, False, not little_seen]))
    }
    rest = [{"overall": 3, "elapsed_s": 60}] * (12 if little_seen else 2)
    rest += [{"overall": 2}, {"elapsed_s": 61}, {}, {"overall": 3, "elapsed_s": 60, "newer": 1}]
    shares = SHARES[4:] if little_seen else SHARES
    scored = {step.domain for step in form.steps if step.scored}
    more: dict[str, Any] = {
        "mode": draw(st.sampled_from([Mode.FORMATIVE, Mode.SUMMATIVE])),
        "cut": Cut(draw(st.sampled_from(shares)), draw(st.sampled_from(["", "a", "b", "c"]))),
        "verdicts": verdicts,
        "attested": draw(st.sampled_from([frozenset(), frozenset({"X", "Y"})])),
        "left_out": frozenset(one.id for one in form.domains if one.id not in scored),
        **draw(st.sampled_from(rest)),
    }
    marks = {step.id: draw(_mark_for(step, little_seen=little_seen)) for step in form.steps}
    return seen(form, marks, **more)


@st.composite
def same_attempt(
    draw: st.DrawFn, *, most: int = 6, little_seen: bool = False
) -> tuple[Evidence, Evidence]:
    """Evidence of two observers on one attempt: one form, mode and cut, own marks and verdicts."""
    first = draw(evidences(most=most, little_seen=little_seen))
    marks = {step.id: draw(_mark_for(step, little_seen=little_seen)) for step in first.steps}
    verdicts = {
        item.id: tuple(draw(st.lists(st.sampled_from(verdicts_for(item)), max_size=2)))
        for item in first.form.criticals
        if draw(st.booleans())
    }
    more = draw(st.sampled_from([(None, None), (2, 60), (3, 60), (3, 61)]))
    attested = draw(st.sampled_from([frozenset(), frozenset({"X"})]))
    second = replace(first, marks=marks, verdicts=verdicts, attested=attested)
    return first, replace(second, overall=more[0], elapsed_s=more[1])
