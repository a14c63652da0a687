"""A director's report on one form over some workshops: gathered, counted, computed (rule A4)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from observe.domain.decision import Outcome, Standing
from observe.domain.form import Form, Mode
from observe.domain.printing import percent
from observe.domain.troubles import BadInput
from observe.domain.words import OUTCOMES, listed
from observe.domain.workshop import Seat, Workshop
from observe.work.approving import is_not, standards_in
from observe.work.debrief import AttemptResult, Reveal, attempt_result
from observe.work.logbooks import Logbook
from observe.work.quality import Quality, Record, quality
from observe.work.quality_logbook import record_of, seen_often
from observe.work.report_figures import (
    CutInForce,
    FormNamed,
    FormQuality,
    Partition,
    Question,
    Report,
    StepFigures,
    figure,
)
from observe.work.report_items import cautions, items
from observe.work.reviewing import (
    Condition,
    CriticalRow,
    Gathered,
    Review,
    StepRow,
    conditions,
    gather,
    no_tick,
    review,
)

Tick = Callable[[int, int], None]
PRACTICE, VOID, WAITING, ABSENT = "practice, no decision", "void", "not sealed by all", "absent"
FATE = (*OUTCOMES.values(), PRACTICE, VOID, WAITING, ABSENT)
"""What becomes of a planned attempt."""
_NOT_ALONE = "Nothing is left to compare; choose other workshops."


@dataclass
class _Found:
    """What the attempts come to, while they are read."""

    fates: Counter[str] = field(default_factory=Counter)
    learners: set[str] = field(default_factory=set)
    lines: dict[str, tuple[str, Counter[str]]] = field(default_factory=dict)
    cuts: Counter[tuple[str, str]] = field(default_factory=Counter)
    records: dict[str, Record] = field(default_factory=dict)
    overruled: int = 0
    typed: int = 0


def report(logbook: Logbook, asked: Question, *, tick: Tick = no_tick) -> Report:
    """One form over the workshops of some days; the attempts of one scoring and one profile.

    Raises BadInput for a form that is not there or not said, days that are none, and where no
    workshop is left; whatever `tick` raises.
    """
    condition, others = _chosen(logbook, asked)
    ids = [workshop.id for workshop, _ in condition.workshops]
    found = _read(logbook, condition, tick)
    gathered = gather(logbook, condition, ids, tick)
    made = review(gathered, level=asked.level, tick=tick)
    form = condition.form
    workshops = tuple(sorted((one.date, one.title) for one, _ in condition.workshops))
    attempts = Partition.whole("Attempts", "attempt", ((one, found.fates[one]) for one in FATE))
    second = _second(condition, gathered)
    measured = _quality(form, [*found.records.values()], asked.level)
    return Report(
        question=Question(form.id, asked.since, asked.until, asked.level),
        form=_named(condition),
        workshops=workshops,
        observers=len(gathered.observers),
        learners=len(found.learners),
        attempts=attempts,
        second=second,
        joined=len(gathered.joined),
        cuts=tuple(_cuts(logbook, found.cuts)),
        lines=tuple(
            Partition.whole(
                title, "decided attempt", tuple((one.value, by[one.value]) for one in _LINES)
            )
            for title, by in found.lines.values()
        ),
        decisions=_decisions(made),
        decided=tuple(figure("decision", one) for one in (made.decided, made.chance)),
        criticals=tuple(_critical(one, gathered) for one in made.criticals),
        limits=tuple(
            figure("score on common steps, in points", one)
            for one in (made.totals.bias, made.totals.low, made.totals.high)
        ),
        scores=figure("score on common steps", made.totals.reliability),
        grades=figure("overall grade", made.grades),
        steps=tuple(_step(one, gathered) for one in sorted(made.steps, key=lambda row: row.number)),
        quality=measured,
        items=items(made, condition, attempts, second, found.typed),
        cautions=cautions(gathered, found.overruled, others),
    )


_LINES = (Standing.MET, Standing.FAILED, Standing.OPEN)


def _chosen(logbook: Logbook, asked: Question) -> tuple[Condition, int]:
    """The condition with most attempts in the days asked, and how many attempts others have."""
    since, until = (
        _day(asked.since, "--since", "0001-01-01"),
        _day(asked.until, "--until", "9999-12-31"),
    )
    known = conditions(logbook)
    forms = dict.fromkeys(one.form.id for one in known)
    name = asked.form or (next(iter(forms)) if len(forms) == 1 else "")
    if name not in forms:
        raise BadInput(
            "No workshop is planned in this logbook."
            if not forms
            else (f"“{name}” is no form of this logbook." if name else "Several forms are in it."),
            where="--form",
            remedy=f"Name one: {', '.join(sorted(forms))}." if forms else _NOT_ALONE,
        )
    kept = [
        Condition(one.form, one.scoring, one.departures, within)
        for one in known
        if one.form.id == name
        and (within := tuple(w for w in one.workshops if since <= w[0].date <= until))
    ]
    if not kept:
        raise BadInput(
            "No workshop with this form lies in these days.",
            where=f"{asked.since or 'the first'} to {asked.until or 'the last'}",
            remedy="Ask for more days.",
        )
    sizes = [sum(1 for _ in _seats(one)) for one in kept]
    best = sizes.index(max(sizes))
    return kept[best], sum(sizes) - sizes[best]


def _day(text: str, option: str, otherwise: str) -> str:
    if not text:
        return otherwise
    try:
        same = date.fromisoformat(text).isoformat() == text
    except ValueError:
        same = False
    if not same:
        raise BadInput(f"“{text}” is no day.", where=option, remedy="Write it as 2026-09-01.")
    return text


def _seats(condition: Condition) -> Iterator[tuple[Workshop, Seat]]:
    """Every planned attempt, oldest workshop first."""
    for workshop, forms in reversed(condition.workshops):
        for seat in sorted(workshop.seats, key=lambda one: one.ordinal):
            if workshop.form_of(seat) in forms:
                yield workshop, seat


def _read(logbook: Logbook, condition: Condition, tick: Tick) -> _Found:
    found, seats = _Found(), [*_seats(condition)]
    names = [step.id for step in condition.form.common_steps() if step.scored]
    for done, (workshop, seat) in enumerate(seats):
        tick(done, len(seats))
        learner = dict(workshop.aliases).get(seat.learner, seat.learner)
        if seat.absent:
            found.fates[ABSENT] += 1
            continue
        found.learners.add(learner)
        result = attempt_result(logbook, workshop, seat)
        found.fates[_fate(workshop, result)] += 1
        if not result.reveals or result.is_void:
            continue
        found.typed += any(part.transcript is not None for part in result.reveals[0].parts)
        if result.deciding is not None and result.outcome is not None:
            found.overruled += result.overruled is not None
            _decided(found, result.deciding)
        if learner not in found.records:
            found.records[learner] = record_of(f"{done}", result.reveals[0], names)
    tick(len(seats), len(seats))
    return found


def _fate(workshop: Workshop, result: AttemptResult) -> str:
    if not result.reveals:
        return WAITING
    if result.is_void:
        return VOID
    if workshop.mode is Mode.PRACTICE or result.outcome is None:
        return PRACTICE
    return OUTCOMES[result.outcome]


def _decided(found: _Found, shown: Reveal) -> None:
    cut = shown.evidence.cut
    found.cuts[cut.standard, percent(cut.value)] += 1
    for line in shown.decision.lines:
        found.lines.setdefault(line.id, (line.title, Counter()))[1][line.standing.value] += 1


def _quality(form: Form, records: Sequence[Record], level: float) -> FormQuality:
    kept, seldom = seen_often(records)
    try:
        made = quality(kept, level=level)
    except BadInput as trouble:
        return FormQuality(len(records), 0, undefined=trouble.what)
    found = _measured(form, made)
    if not seldom:
        return found
    labels = listed([form.step[one].label for one in seldom])
    return replace(found, said=(*found.said, f"Seen in fewer than half of the records: {labels}."))


def _measured(form: Form, made: Quality) -> FormQuality:
    numbers = form.numbers_of(form.variants[0].id if form.variants else "")
    grades, said = made.grades, [*made.suggestions, *made.notes]
    if grades is None or grades.undefined:
        said.append(grades.undefined if grades else "No attempt has a grade.")
    return FormQuality(
        learners=made.learners,
        scored=made.scored,
        alpha=figure("form", made.alpha),
        r_squared=grades.r_squared if grades else None,
        discrimination=grades.discrimination if grades else None,
        between=made.between,
        items=tuple(
            (
                numbers[one.item.name],
                form.step[one.item.name].label,
                one.item.difficulty,
                one.item.rest,
            )
            for one in made.items
        ),
        said=tuple(said),
    )


def _named(condition: Condition) -> FormNamed:
    form = condition.form
    held = form.review
    return FormNamed(
        id=form.id,
        title=form.title,
        version=form.version,
        scoring=condition.scoring,
        reviewed=f"clinically reviewed by {held.name}, {held.date}"
        if held
        else "not clinically reviewed",
        steps=len(form.steps),
        criticals=len(form.criticals),
    )


def _second(condition: Condition, gathered: Gathered) -> Partition:
    """Second looks planned before the day, by what became of them."""
    seats = [(w, seat) for w, seat in _seats(condition) if seat.is_second_planned]
    absent = sum(seat.absent for _, seat in seats)
    sealed = len(gathered.planned)
    left = len(seats) - absent - sealed - gathered.waiting
    cells = (
        ("sealed by both", sealed),
        ("not sealed by both", gathered.waiting),
        ("void or handed over", max(0, left)),
        ("learner absent", absent),
    )
    return Partition.whole("Second looks planned before the day", "second look", cells)


def _cuts(logbook: Logbook, by: Counter[tuple[str, str]]) -> Iterator[CutInForce]:
    known = {one.id: one for one in standards_in(logbook)}
    names = logbook.names()
    for (standard, cut), count in sorted(by.items(), key=lambda pair: (-pair[1], pair[0])):
        held = known.get(standard)
        if not standard:
            said = ["The form's own provisional cut: no standard was set for it (rule F7)."]
        elif held is None:
            said = ["What it rests on is not in this logbook."]
        else:
            one = held.standard
            error = f", standard error {one.se} points" if one.se else ", no standard error"
            said = [
                f"By {one.method.replace('_', ' ')}, from {one.n} {one.of}{error}.",
                f"Approved by {names.get(held.by, held.by)}, in effect from {one.effective}.",
                *filter(None, [is_not(one)]),
            ]
        yield CutInForce(standard, cut, count, tuple(said))


def _decisions(made: Review) -> Partition:
    """Both observers' decisions, each alone, over second looks sealed by both."""
    kinds: Counter[str] = Counter()
    for (first, second), count in made.decisions.items():
        kinds[_together(first, second)] += count
    return Partition.whole(
        "Decisions of both observers", "second look", tuple((one, kinds[one]) for one in _BOTH)
    )


_UNDECIDED = Outcome.UNDECIDED.value
_OPPOSITE, _ONE_OPEN, _NONE = "one pass, one remediate", "one undecided", "practice, no decision"
_BOTH = (
    *(f"both {one.value}" for one in Outcome),
    _OPPOSITE,
    _ONE_OPEN,
    _NONE,
)


def _together(first: str, second: str) -> str:
    if "none" in (first, second):
        return _NONE
    if first == second:
        return f"both {first}"
    return _ONE_OPEN if _UNDECIDED in (first, second) else _OPPOSITE


def _critical(row: CriticalRow, gathered: Gathered) -> Partition:
    watched = row.both + row.contested + row.neither
    return Partition.whole(
        row.label,
        "second look",
        (
            ("recorded by both", row.both),
            ("recorded by one alone", row.contested),
            ("recorded by neither", row.neither),
            ("not watched by both", len(gathered.planned) - watched),
        ),
    )


def _step(row: StepRow, gathered: Gathered) -> StepFigures:
    same, ratings = Counter[str](), row.ratings
    for unit in range(ratings.units):
        seen = [int(code) for code in ratings.code[ratings.unit == unit]]
        if len(seen) == 2:
            same[("neither", "differ", "both")[sum(seen)]] += 1
    cells = (
        ("full credit by both", same["both"]),
        ("full credit by one alone", same["differ"]),
        ("full credit by neither", same["neither"]),
        ("not seen by both", len(gathered.planned) - sum(same.values())),
    )
    return StepFigures(
        row.number,
        row.step.label,
        Partition.whole(row.step.label, "second look", cells),
        figure(row.step.id, row.percent),
        figure(row.step.id, row.found),
    )
