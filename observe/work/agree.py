"""Do our observers agree? Second looks planned at random, step by step (rules A2, A3, T3, T4)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from observe.domain.decision import Outcome
from observe.domain.form import Form, Step
from observe.domain.marks import Mark, State, credit
from observe.domain.words import counted
from observe.domain.workshop import Workshop
from observe.work.debrief import AttemptResult, Reveal, attempt_result
from observe.work.logbooks import Logbook

if TYPE_CHECKING:
    from observe.agreement.estimate import Estimate

FEW = 10
"""Under so many pairs a coefficient is a point without interval (rule A2)."""

FULL, NOT_FULL = "full credit", "not full credit"


@dataclass(frozen=True)
class StepAgreement:
    """Agreement on one step over the attempts that both observers saw it in.

    counts: both full credit, first only, second only, neither. one_sided: pairs
    in which one observer did not see it. applicability: pairs in which one called
    it not applicable or not arisen, and the other did not.
    """

    step: Step
    number: int
    counts: tuple[int, int, int, int]
    one_sided: int
    applicability: int
    percent: Estimate
    kappa: Estimate

    @property
    def pairs(self) -> int:
        return sum(self.counts)


@dataclass(frozen=True)
class Agreement:
    """Agreement on the planned second looks of one workshop with one form.

    planned: second looks drawn before the day. complete: those both observers
    have sealed, and neither is void nor was handed over on the way: individual records
    alone feed agreement (rule T3). handed_over: how many were. opposite: attempts with a pass and a
    remediate. contested: attempts with a contested critical item.
    """

    workshop: Workshop
    form: Form
    planned: int
    complete: tuple[AttemptResult, ...]
    handed_over: int
    steps: tuple[StepAgreement, ...]
    decisions: Estimate
    opposite: tuple[AttemptResult, ...]
    contested: tuple[AttemptResult, ...]

    @property
    def title(self) -> str:
        """Date and title of the workshop; the form too where it has several."""
        form = f", {self.form.short or self.form.id}" if len(self.workshop.forms) > 1 else ""
        return f"{self.workshop.date} {self.workshop.title}{form}"

    def estimates(self) -> Iterator[tuple[str, Estimate]]:
        """Every estimate with what it is about: the decision, then each step by id."""
        yield "decision", self.decisions
        for step in self.steps:
            yield step.step.id, step.percent
            yield step.step.id, step.kappa


def agreements(
    logbook: Logbook, workshop: Workshop, *, level: float = 0.95
) -> tuple[Agreement, ...]:
    """Agreement on a workshop's planned second looks, one report for each of its forms.

    Individual records only (rule T3). Forms that score alike under the same profile
    are one (rules F1, A4). level: of the intervals.
    """
    alike: dict[object, list[str]] = {}
    for one in workshop.forms:
        alike.setdefault((one.scoring, one.profile.departures), []).append(one.form)
    return tuple(_agreement(logbook, workshop, forms, level) for forms in alike.values())


def agreement(logbook: Logbook, workshop: Workshop, *, level: float = 0.95) -> Agreement:
    """Agreement on a workshop's first form, for a workshop that has no other."""
    return agreements(logbook, workshop, level=level)[0]


def _agreement(
    logbook: Logbook, workshop: Workshop, forms: Sequence[str], level: float
) -> Agreement:
    form = logbook.form(forms[0])
    looked = [
        seat
        for seat in workshop.seats
        if seat.is_second_planned and workshop.form_of(seat) in forms
    ]
    results = [attempt_result(logbook, workshop, seat) for seat in looked]
    both = tuple(one for one in results if len(one.reveals) == 2 and not one.is_void)
    complete = tuple(one for one in both if all(len(each.parts) == 1 for each in one.reveals))
    pairs = [(one.reveals[0], one.reveals[1]) for one in complete]
    return Agreement(
        workshop=workshop,
        form=form,
        planned=len(looked),
        complete=complete,
        handed_over=len(both) - len(complete),
        steps=tuple(_steps(form, pairs, level)),
        decisions=_decisions(pairs, level),
        opposite=tuple(one for one in complete if _is_opposite(one)),
        contested=tuple(one for one in complete if one.pairing and one.pairing.contested),
    )


def _is_opposite(result: AttemptResult) -> bool:
    outcomes = {one.decision.outcome for one in result.reveals}
    return outcomes == {Outcome.PASS, Outcome.REMEDIATE}


def _steps(
    form: Form, pairs: Sequence[tuple[Reveal, Reveal]], level: float
) -> Iterator[StepAgreement]:
    from observe.agreement.kappa import cohen_kappa
    from observe.agreement.percent import percent_agreement
    from observe.agreement.ratings import Ratings

    numbers = form.numbers_of(form.variants[0].id if form.variants else "")
    for step in form.common_steps():
        marks = [
            (one.observation.marks[step.id], other.observation.marks[step.id])
            for one, other in pairs
            if step.id in one.observation.marks and step.id in other.observation.marks
        ]
        rows = [
            (_panel(form, first), _panel(form, second))
            for first, second in marks
            if first.state.is_outcome and second.state.is_outcome
        ]
        ratings = Ratings.from_table(rows, scale="nominal", categories=(FULL, NOT_FULL))
        yield StepAgreement(
            step=step,
            number=numbers[step.id],
            counts=_counts(rows),
            one_sided=sum(
                (a.state is State.NOT_SEEN) != (b.state is State.NOT_SEEN) for a, b in marks
            ),
            applicability=sum(_disagree_on_applicability(a, b) for a, b in marks),
            percent=percent_agreement(ratings, level=level),
            kappa=cohen_kappa(ratings, level=level),
        )


def _panel(form: Form, mark: Mark) -> str:
    return FULL if credit(mark, form.credit) == 1 else NOT_FULL


def _counts(rows: Sequence[tuple[str, str]]) -> tuple[int, int, int, int]:
    kinds = ((FULL, FULL), (FULL, NOT_FULL), (NOT_FULL, FULL), (NOT_FULL, NOT_FULL))
    a, b, c, d = (rows.count(kind) for kind in kinds)
    return a, b, c, d


def _disagree_on_applicability(first: Mark, second: Mark) -> bool:
    excused = (State.NOT_APPLICABLE, State.DID_NOT_ARISE)
    if State.NOT_SEEN in (first.state, second.state):
        return False
    return (first.state in excused) is not (second.state in excused)


def _decisions(pairs: Sequence[tuple[Reveal, Reveal]], level: float) -> Estimate:
    from observe.agreement.percent import percent_agreement
    from observe.agreement.ratings import Ratings

    rows = [
        (one.decision.outcome.value, other.decision.outcome.value)
        for one, other in pairs
        if one.decision.outcome is not None and other.decision.outcome is not None
    ]
    categories = [outcome.value for outcome in Outcome]
    ratings = Ratings.from_table(rows, scale="nominal", categories=categories)
    return percent_agreement(ratings, level=level)


def as_record(found: Agreement) -> dict[str, Any]:
    """An agreement report for programs."""
    return {
        "workshop": found.workshop.title,
        "form": {"id": found.form.id, "version": found.form.version},
        "scoring": found.form.scoring_digest,
        "second_looks": {
            "planned": found.planned,
            "complete": len(found.complete),
            "handed_over": found.handed_over,
        },
        "decisions": _estimate_record(found.decisions),
        "opposite": [one.seat.number for one in found.opposite],
        "contested": [
            {"seat": one.seat.number, "items": list(one.pairing.contested) if one.pairing else []}
            for one in found.contested
        ],
        "steps": [
            {
                "step": one.step.id,
                "label": one.step.label,
                "both_full": one.counts[0],
                "first_only": one.counts[1],
                "second_only": one.counts[2],
                "neither": one.counts[3],
                "one_observer_did_not_see": one.one_sided,
                "disagree_whether_applicable": one.applicability,
                "percent_agreement": _estimate_record(one.percent),
                "cohen_kappa": _estimate_record(one.kappa),
            }
            for one in found.steps
        ],
    }


def _estimate_record(found: Estimate) -> dict[str, Any]:
    return {
        "value": found.value,
        "low": found.low,
        "high": found.high,
        "level": found.level,
        "interval": found.interval,
        "used": found.used,
        "undefined": found.undefined,
    }


def as_text(found: Agreement) -> str:
    """An agreement report to read."""
    lines = [
        f"Do the observers agree? {found.workshop.title}, {found.workshop.date}",
        f"Form {found.form.short} {found.form.version}, scoring {found.form.scoring_digest[:12]}",
        "",
        f"Second looks drawn at random before the day: {found.planned}.",
        f"Both observers sealed: {len(found.complete)}.",
        *_left_out(found),
        f"Same decision: {_share(found.decisions)}.",
        f"Opposite decisions: {len(found.opposite)}{_seats(found.opposite)}.",
        f"Contested critical items: {len(found.contested)}{_seats(found.contested)}.",
    ]
    if not found.complete:
        return "\n".join(lines) + "\n"
    lines += [
        "",
        "Full credit or not, by step (pairs in which both observers saw it):",
        f"{'':4}{'step':62}{'both':>5}{'one':>5}{'none':>5}{'  same':>7}   95 % interval   kappa",
    ]
    lines += [_row(one) for one in found.steps]
    lines += ["", _limits(found)]
    return "\n".join(lines) + "\n"


def _left_out(found: Agreement) -> list[str]:
    if not found.handed_over:
        return []
    number = counted(found.handed_over, "attempt")
    return [f"Left out, because an observer handed over on the way: {number}."]


def _seats(results: Sequence[AttemptResult]) -> str:
    if not results:
        return ""
    numbers = ", ".join(str(one.seat.number) for one in results)
    return f" (seat {numbers})" if len(results) == 1 else f" (seats {numbers})"


def _share(found: Estimate) -> str:
    if found.value is None:
        return "not estimable, no attempt has both"
    same = round(found.value * found.used)
    return f"{same} of {found.used}{_interval(found)}"


def _interval(found: Estimate) -> str:
    if found.low is None or found.high is None:
        return ""
    return f", {_whole(found.level)} interval {_whole(found.low)} to {_whole(found.high)}"


def _whole(share: float) -> str:
    return f"{share * 100:.0f} %"


def _row(one: StepAgreement) -> str:
    both, first, second, neither = one.counts
    same = "" if one.percent.value is None else _whole(one.percent.value)
    low, high = one.percent.low, one.percent.high
    span = "" if low is None or high is None else f"{_whole(low)} to {_whole(high)}"
    kappa = "not estimable" if one.kappa.value is None else f"{one.kappa.value:.2f}"
    counts = f"{both:>5}{first + second:>5}{neither:>5}"
    return f"{one.number:>3} {one.step.label:62}{counts}{same:>7}   {span:15} {kappa}"


def _limits(found: Agreement) -> str:
    """How to read the table, for so many pairs."""
    said = []
    if len(found.complete) < FEW:
        looks = counted(len(found.complete), "second look")
        said.append(f"{looks}: too few for coefficients; read the counts and the intervals.")
    silent = dict.fromkeys(one.kappa.undefined for one in found.steps if one.kappa.undefined)
    said += list(silent)
    return "\n".join(said)
