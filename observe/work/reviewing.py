"""Do our observers agree? Second looks over workshops: gathered, computed, told (rules A2-A5, T4).

Two parts: `gather` reads a logbook, `review` computes from what was gathered; both may be long,
tell how far they are, and can be stopped. Planned random second looks are the basis; those that
were joined on the day are counted apart. Marks of an observer who handed over feed nothing (T3).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from observe.domain.decision import Outcome
from observe.domain.form import Form, Step
from observe.domain.marks import Mark, State, credit
from observe.domain.profile import Departure
from observe.domain.words import counted
from observe.domain.workshop import Seat, Workshop
from observe.work.agree import FULL, NOT_FULL
from observe.work.debrief import AttemptResult, Reveal, attempt_result
from observe.work.logbooks import Logbook

if TYPE_CHECKING:
    from observe.agreement.estimate import Estimate
    from observe.agreement.method_note import NoteItem
    from observe.agreement.ratings import Ratings
    from observe.agreement.recommend import Advice

Tick = Callable[[int, int], None]
FIRST, SECOND = "first observer", "second observer"
ENOUGH_FIRST, ENOUGH_TO_ACT = 10, 40
"""Attempts seen by two that give a first, wide interval, and one to act on (semantics A2)."""


def no_tick(_done: int, _total: int) -> None:
    """Nobody waits."""


@dataclass(frozen=True)
class Condition:
    """Attempts that may be put together: one scoring, one profile (rule A4).

    workshops: those that used it, newest first, each with the digests of its forms that score so.
    """

    form: Form
    scoring: str
    departures: tuple[Departure, ...]
    workshops: tuple[tuple[Workshop, frozenset[str]], ...]

    @property
    def title(self) -> str:
        """The form and its version."""
        return f"{self.form.title}, form {self.form.short or self.form.id} {self.form.version}"


def conditions(logbook: Logbook) -> tuple[Condition, ...]:
    """What can be reviewed, used last first."""
    found: dict[object, dict[str, tuple[Workshop, set[str]]]] = {}
    forms_of: dict[object, tuple[str, str, tuple[Departure, ...]]] = {}
    for workshop in logbook.workshops().values():
        for one in workshop.forms:
            key = (one.scoring, one.profile.departures)
            forms_of[key] = (one.form, one.scoring, one.profile.departures)
            used = found.setdefault(key, {}).setdefault(workshop.id, (workshop, set()))
            used[1].add(one.form)
    listed = []
    for alike, used_in in found.items():
        form, scoring, departures = forms_of[alike]
        newest = sorted(used_in.values(), key=lambda pair: pair[0].date, reverse=True)
        workshops = tuple((workshop, frozenset(forms)) for workshop, forms in newest)
        listed.append(Condition(logbook.form(form), scoring, departures, workshops))
    return tuple(sorted(listed, key=lambda one: one.workshops[0][0].date, reverse=True))


@dataclass(frozen=True)
class Pair:
    """One attempt that two observers watched whole and sealed. unit: its name in tables."""

    unit: str
    seat: Seat
    learner: str
    observers: tuple[str, str]
    result: AttemptResult

    @property
    def reveals(self) -> tuple[Reveal, Reveal]:
        """What the first and the second observer saw."""
        return self.result.reveals[0], self.result.reveals[1]


@dataclass(frozen=True)
class Gathered:
    """Second looks of one condition. attempts: sealed by all who watched, void ones left out.

    planned: drawn before the day. joined: second looks that came about on the day, counted
    apart (rule T4). waiting: planned ones that are not sealed by both. left: why others are
    left out, in sentences. observers: names of all who watched, in order of appearance.
    """

    condition: Condition
    workshops: tuple[Workshop, ...]
    attempts: int
    planned: tuple[Pair, ...]
    joined: tuple[Pair, ...]
    waiting: int
    left: tuple[str, ...]
    observers: tuple[str, ...]


def gather(
    logbook: Logbook,
    condition: Condition,
    workshops: Iterable[str] | None = None,
    tick: Tick = no_tick,
) -> Gathered:
    """Read the second looks of some workshops; all of the condition's where none are named."""
    wanted = None if workshops is None else set(workshops)
    chosen = [one for one in condition.workshops if wanted is None or one[0].id in wanted]
    names = logbook.names()
    seats = [
        (workshop, seat)
        for workshop, forms in chosen
        for seat in workshop.seats
        if workshop.form_of(seat) in forms and not seat.absent
    ]
    planned: list[Pair] = []
    joined: list[Pair] = []
    seen: dict[str, None] = {}
    attempts = waiting = handed = void = 0
    for done, (workshop, seat) in enumerate(seats):
        tick(done, len(seats))
        result = attempt_result(logbook, workshop, seat)
        if not result.reveals:
            waiting += seat.is_second_planned
            continue
        if result.is_void:
            void += 1
            continue
        attempts += 1
        seen |= dict.fromkeys(names.get(one, one) for one in seat.observers)
        if len(result.reveals) < 2:
            continue
        if any(len(one.parts) > 1 for one in result.reveals):
            handed += 1
            continue
        first, second = (one.parts[0].observer for one in result.reveals)
        pair = Pair(
            unit=seat.attempt,
            seat=seat,
            learner=seat.learner,
            observers=(names.get(first, first), names.get(second, second)),
            result=result,
        )
        (planned if seat.is_second_planned else joined).append(pair)
    tick(len(seats), len(seats))
    return Gathered(
        condition=condition,
        workshops=tuple(workshop for workshop, _ in chosen),
        attempts=attempts,
        planned=tuple(planned),
        joined=tuple(joined),
        waiting=waiting,
        left=tuple(_left(handed, void)),
        observers=tuple(seen),
    )


def _left(handed: int, void: int) -> Iterator[str]:
    if handed:
        attempts = counted(handed, "attempt")
        yield f"Left out, because an observer handed over on the way: {attempts}."
    if void:
        yield f"Left out, because they are void: {counted(void, 'attempt')}."


@dataclass(frozen=True)
class StepRow:
    """One step over all pairs that both saw it in.

    found: the recommended coefficient with its interval, or why there is none. percent: percent
    agreement. one_sided, applicability: pairs in which only one saw it, or in which one called
    it not applicable and the other did not.
    """

    step: Step
    number: int
    ratings: Ratings
    advice: Advice | None
    found: Estimate
    percent: Estimate
    one_sided: int
    applicability: int

    @property
    def pairs(self) -> int:
        """Attempts in which two observers saw it."""
        return self.ratings.shared

    @property
    def worry(self) -> tuple[int, float, int]:
        """Sorts the most worrying first: by the lower end of the interval, then by the value."""
        if self.found.low is not None:
            return (0, self.found.low, self.number)
        if self.percent.low is not None and (self.percent.value or 0) < 1:
            return (1, self.percent.low, self.number)
        return (2, 0.0 if self.percent.value is None else self.percent.value, self.number)


@dataclass(frozen=True)
class Couple:
    """Two observers. shared: attempts that both saw; found: their agreement over all steps."""

    observers: tuple[str, str]
    shared: int
    found: Estimate | None


@dataclass(frozen=True)
class Totals:
    """Scores on the steps that both saw, in points of a hundred.

    points: mean and difference, first minus second observer, of each pair. bias, low, high:
    limits of agreement. reliability: the recommended coefficient of total scores.
    """

    points: tuple[tuple[float, float], ...]
    bias: Estimate
    low: Estimate
    high: Estimate
    reliability: Estimate


@dataclass(frozen=True)
class CriticalRow:
    """One critical item, in pairs in which both watched: who recorded it."""

    label: str
    both: int
    first_only: int
    second_only: int
    neither: int

    @property
    def contested(self) -> int:
        """Recorded by one of the two alone."""
        return self.first_only + self.second_only


@dataclass(frozen=True)
class Review:
    """What second looks come to. steps: the most worrying first.

    decisions: counts by first and second observer's outcome. decided: percent agreement on it,
    chance: the recommended coefficient beside it. grades: on the overall grade.
    """

    gathered: Gathered
    steps: tuple[StepRow, ...]
    couples: tuple[Couple, ...]
    totals: Totals
    decisions: Mapping[tuple[str, str], int]
    decided: Estimate
    chance: Estimate
    grades: Estimate
    criticals: tuple[CriticalRow, ...]
    note: tuple[NoteItem, ...]

    @property
    def opposite(self) -> int:
        """Attempts with a pass and a remediate."""
        both = (Outcome.PASS.value, Outcome.REMEDIATE.value)
        return self.decisions.get(both, 0) + self.decisions.get((both[1], both[0]), 0)


def review(gathered: Gathered, *, level: float = 0.95, tick: Tick = no_tick) -> Review:
    """Compute everything from what was gathered; the same figures as the command line's.

    level: of the intervals. tick: may raise Stopped.
    """
    from observe.agreement.method_note import method_note

    pairs, form = gathered.planned, gathered.condition.form
    steps = form.common_steps()
    total = len(steps) + len(gathered.observers) + 4
    numbers = form.numbers_of(form.variants[0].id if form.variants else "")
    rows = []
    for done, step in enumerate(steps):
        tick(done, total)
        rows.append(_step(step, numbers[step.id], form, pairs, level))
    tick(len(steps), total)
    couples = tuple(_couples(gathered, level))
    tick(total - 4, total)
    totals = _totals(pairs, level)
    tick(total - 3, total)
    outcomes = [(_outcome(one), _outcome(other)) for one, other in (pair.reveals for pair in pairs)]
    counts: dict[tuple[str, str], int] = {}
    for both in outcomes:
        counts[both] = counts.get(both, 0) + 1
    decided = decisions_ratings(pairs)
    grades = grades_ratings(pairs, form)
    tick(total - 2, total)
    made = Review(
        gathered=gathered,
        steps=tuple(sorted(rows, key=lambda one: one.worry)),
        couples=couples,
        totals=totals,
        decisions=counts,
        decided=_percent(decided, level),
        chance=_recommended(decided, level),
        grades=_recommended(grades, level),
        criticals=tuple(_criticals(form, pairs)),
        note=method_note(
            decided,
            (_percent(decided, level), _recommended(decided, level)),
            title=f"decisions with {gathered.condition.title}",
        ),
    )
    tick(total, total)
    return made


def _outcome(shown: Reveal) -> str:
    outcome = shown.decision.outcome
    return "none" if outcome is None else outcome.value


def _step(step: Step, number: int, form: Form, pairs: Sequence[Pair], level: float) -> StepRow:
    from observe.agreement.recommend import recommend

    marks = [
        tuple(one.observation.marks.get(step.id, Mark(State.NOT_SEEN)) for one in pair.reveals)
        for pair in pairs
    ]
    ratings = step_ratings(step, form, pairs)
    return StepRow(
        step=step,
        number=number,
        ratings=ratings,
        advice=recommend(ratings).first,
        found=_recommended(ratings, level),
        percent=_percent(ratings, level),
        one_sided=sum((a.state is State.NOT_SEEN) != (b.state is State.NOT_SEEN) for a, b in marks),
        applicability=sum(_one_called_it_out(a, b) for a, b in marks),
    )


def _one_called_it_out(first: Mark, second: Mark) -> bool:
    excused = (State.NOT_APPLICABLE, State.DID_NOT_ARISE)
    if State.NOT_SEEN in (first.state, second.state):
        return False
    return (first.state in excused) is not (second.state in excused)


Row = tuple[str, str, Any]


def step_rows(step: Step, form: Form, pairs: Sequence[Pair]) -> list[Row]:
    """Unit, observer, and full credit or not, for each observer who saw the step."""
    rows: list[Row] = []
    for pair in pairs:
        for observer, shown in zip(pair.observers, pair.reveals, strict=True):
            mark = shown.observation.marks.get(step.id)
            if mark is not None and mark.state.is_outcome:
                full = credit(mark, form.credit) == 1
                rows.append((pair.unit, observer, FULL if full else NOT_FULL))
    return rows


def step_ratings(step: Step, form: Form, pairs: Sequence[Pair]) -> Ratings:
    """Ratings of one step, full credit or not."""
    return _ratings(step_rows(step, form, pairs), pairs, "nominal", (NOT_FULL, FULL))


def decision_rows(pairs: Sequence[Pair]) -> list[Row]:
    """Unit, observer and outcome, where both came to one."""
    return [
        (pair.unit, observer, _outcome(shown))
        for pair in pairs
        if all(one.decision.outcome is not None for one in pair.reveals)
        for observer, shown in zip(pair.observers, pair.reveals, strict=True)
    ]


def decisions_ratings(pairs: Sequence[Pair]) -> Ratings:
    """Ratings of the decision of each observer alone."""
    return _ratings(decision_rows(pairs), pairs, "nominal", tuple(one.value for one in Outcome))


def grade_rows(pairs: Sequence[Pair]) -> list[Row]:
    """Unit, observer and overall grade, where one was given."""
    return [
        (pair.unit, observer, shown.observation.overall)
        for pair in pairs
        for observer, shown in zip(pair.observers, pair.reveals, strict=True)
        if shown.observation.overall is not None
    ]


def grades_ratings(pairs: Sequence[Pair], form: Form) -> Ratings:
    """Ratings of the overall grade, in the form's order."""
    grades = tuple(sorted(one.value for one in form.overall.grades))
    return _ratings(grade_rows(pairs), pairs, "ordinal", grades)


def score_rows(pairs: Sequence[Pair]) -> list[Row]:
    """Unit, observer and score on the steps that both saw, in points of a hundred (rule A5)."""
    rows: list[Row] = []
    for pair in pairs:
        shares = common_scores(pair)
        if shares is not None:
            rows += [
                (pair.unit, observer, float(100 * share))
                for observer, share in zip(pair.observers, shares, strict=True)
            ]
    return rows


def common_scores(pair: Pair) -> tuple[Fraction, Fraction] | None:
    """Both observers' shares of the weight of the steps that both saw; None if there are none."""
    one, other = pair.reveals
    form = one.evidence.form
    both = [
        step
        for step in one.evidence.steps
        if step.scored
        and all(
            step.id in each.evidence.marks and each.evidence.marks[step.id].state.is_outcome
            for each in (one, other)
        )
    ]
    weight = sum((step.weight for step in both), Fraction(0))
    if not weight:
        return None

    def share(shown: Reveal) -> Fraction:
        marks = shown.evidence.marks
        earned = (step.weight * credit(marks[step.id], form.credit) for step in both)
        return sum(earned, Fraction(0)) / weight

    return share(one), share(other)


def _ratings(
    rows: Sequence[Row], pairs: Sequence[Pair], scale: str, categories: Sequence[Any] | None
) -> Ratings:
    """A table of attempts by observers; learners as clusters where any was seen twice."""
    from observe.agreement.ratings import Ratings

    ratings = Ratings.from_long(rows, scale=scale, categories=categories)
    learners = {pair.unit: pair.learner for pair in pairs}
    held = [learners[unit] for unit in ratings.unit_names]
    return ratings if len(set(held)) == len(held) else ratings.clustered_by(learners)


def _recommended(ratings: Ratings, level: float) -> Estimate:
    """The coefficient that is recommended for these ratings; percent agreement for none."""
    from observe.agreement.panel import estimates
    from observe.agreement.recommend import recommend

    first = recommend(ratings).first
    if first is None:
        return _percent(ratings, level)
    weights = first.form if first.form in ("linear", "quadratic") else None
    found = estimates(ratings, [first.coefficient], level=level, weights=weights)
    return next((one for one in found if one.form == first.form), found[0])


def _percent(ratings: Ratings, level: float) -> Estimate:
    from observe.agreement.percent import percent_agreement

    return percent_agreement(ratings, level=level)


def _couples(gathered: Gathered, level: float) -> Iterator[Couple]:
    """Every two observers, in order of their names."""
    names = gathered.observers
    for place, one in enumerate(names):
        for other in names[place + 1 :]:
            shared = [pair for pair in gathered.planned if set(pair.observers) == {one, other}]
            yield Couple((one, other), len(shared), _of_couple(gathered, shared, level))


def _of_couple(gathered: Gathered, pairs: Sequence[Pair], level: float) -> Estimate | None:
    """Agreement over all steps, those of one attempt taken together; None under ten attempts."""
    from observe.agreement.gwet import gwet_ac1
    from observe.agreement.ratings import Ratings

    if len(pairs) < ENOUGH_FIRST:
        return None
    form = gathered.condition.form
    rows: list[Row] = []
    owner: dict[str, str] = {}
    for step in form.common_steps():
        for unit, observer, value in step_rows(step, form, pairs):
            name = f"{unit} {step.id}"
            owner[name] = unit
            rows.append((name, observer, value))
    ratings = Ratings.from_long(rows, categories=(NOT_FULL, FULL))
    return gwet_ac1(ratings.clustered_by(owner), level=level)


def _totals(pairs: Sequence[Pair], level: float) -> Totals:
    from observe.agreement.limits import bland_altman
    from observe.agreement.ratings import Ratings

    shares = [found for pair in pairs if (found := common_scores(pair)) is not None]
    rows = [tuple(float(100 * one) for one in both) for both in shares]
    ratings = Ratings.from_table(rows, scale="interval", observers=(FIRST, SECOND) if rows else ())
    bias, low, high = bland_altman(ratings, level=level)
    return Totals(
        points=tuple(((a + b) / 2, a - b) for a, b in rows),
        bias=bias,
        low=low,
        high=high,
        reliability=_recommended(_ratings(score_rows(pairs), pairs, "interval", None), level),
    )


def _criticals(form: Form, pairs: Sequence[Pair]) -> Iterator[CriticalRow]:
    """Each critical item over the pairs in which both watched it."""
    for item in form.criticals:
        counts = {(True, True): 0, (True, False): 0, (False, True): 0, (False, False): 0}
        for pair in pairs:
            if all(item.id not in one.decision.unwatched for one in pair.reveals):
                first, second = (item.id in one.evidence.verdicts for one in pair.reveals)
                counts[first, second] += 1
        yield CriticalRow(
            item.label,
            counts[True, True],
            counts[True, False],
            counts[False, True],
            counts[False, False],
        )


def what_would_help(gathered: Gathered) -> str:
    """Why there is little or nothing to compare, and what would help; empty where there is enough.

    One sentence or two for a person.
    """
    count = len(gathered.planned)
    if count >= ENOUGH_TO_ACT:
        return ""
    wait = ""
    if gathered.waiting:
        wait = f" Not sealed by both yet: {counted(gathered.waiting, 'planned second look')}."
    if not count:
        return (
            f"No attempt has two sealed observations that were planned.{wait} Two observers on "
            f"{ENOUGH_FIRST} attempts give a first, wide interval; {ENOUGH_TO_ACT} give one you "
            "can act on."
        )
    pairs = counted(count, "attempt")
    if count < ENOUGH_FIRST:
        return (
            f"{pairs} seen by two: counts and percent agreement only.{wait} {ENOUGH_FIRST} give a "
            "first interval."
        )
    return f"{pairs} seen by two: the intervals are wide.{wait} {ENOUGH_TO_ACT} narrow them."
