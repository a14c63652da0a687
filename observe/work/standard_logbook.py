"""Scores and overall grades of a logbook's attempts, for cuts that rest on learners (A4, A6)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from observe.domain.criticals import Finding
from observe.domain.decision import Standing
from observe.domain.form import Mode
from observe.domain.troubles import BadInput
from observe.domain.words import counted
from observe.domain.workshop import Seat, Workshop
from observe.work.check_logbook import require_sound
from observe.work.debrief import Reveal, attempt_result
from observe.work.logbooks import Logbook, open_logbook
from observe.work.reviewing import Condition, conditions
from observe.work.standard_tables import Learners, Wanted
from observe.work.table_file import TableFile

PRACTICE = "in practice mode"
WAITING = "not sealed by all who watched"
VOID = "void"
LITTLE = "too little seen to decide"
UNGRADED = "without an overall grade"
VARIANT = "of another variant"
AGAIN = "by learners who came back"


@dataclass(frozen=True, slots=True)
class _Attempt:
    """One attempt that counts. grade: the first look's overall grade; score in percent."""

    learner: str
    score: float
    grade: int
    fatal: bool


def graded_in(path: Path, wanted: Wanted) -> tuple[Learners, str]:
    """Score and overall grade by the first look, of each learner's first attempt; the borderline.

    Attempts of one scoring and one profile only (rule A4): those with most attempts where
    there are several. Score in percent of what was seen, of attempts of which enough was
    seen. Raises Doubtful if the logbook is not what was written, BadInput where no such
    form or variant is in it.
    """
    require_sound(path)
    with open_logbook(path, read_only=True) as logbook:
        known = chosen(logbook, wanted, path)
        found = [_gathered(logbook, one, wanted) for one in known]
    best = max(range(len(known)), key=lambda place: len(found[place][0]))
    attempts, left = found[best]
    others = sum(len(one) for one, _ in found) - len(attempts)
    said = [f"{counted(n, 'attempt')} {why} left out." for why, n in sorted(left.items())]
    if others:
        said.append(f"{counted(others, 'attempt')} under other conditions left out (rule A4).")
    borderline = known[best].form.overall.borderline
    learners = Learners(
        TableFile(path),
        [one.score for one in attempts],
        [float(one.grade) for one in attempts],
        dropped=tuple(said),
        warnings=tuple(_warnings(attempts, borderline)),
    )
    return learners, wanted.borderline or str(borderline)


def chosen(logbook: Logbook, wanted: Wanted, path: Path) -> tuple[Condition, ...]:
    """The conditions of the form that was named, or of the only one. Raises BadInput."""
    known = conditions(logbook)
    forms = {one.form.id: {each.id for each in one.form.variants} for one in known}
    if not forms:
        raise BadInput(
            "No workshop is planned in this logbook.",
            where=str(path),
            remedy="Name a logbook in which attempts were sealed.",
        )
    name = wanted.form or (next(iter(forms)) if len(forms) == 1 else "")
    if name not in forms:
        raise BadInput(
            f"“{name}” is no form of this logbook." if name else "Several forms are in it.",
            where="--form",
            remedy=f"Name one: {', '.join(sorted(forms))}.",
        )
    variants = forms[name]
    if (wanted.variant or variants) and wanted.variant not in variants:
        raise BadInput(
            "A standard names form and variant, and the variant was not said."
            if not wanted.variant
            else f"The form has no variant “{wanted.variant}”.",
            where="--variant",
            remedy=f"Name one: {', '.join(sorted(variants)) or 'it has none'}.",
        )
    return tuple(one for one in known if one.form.id == name)


def _gathered(
    logbook: Logbook, condition: Condition, wanted: Wanted
) -> tuple[list[_Attempt], Counter[str]]:
    found: dict[str, _Attempt] = {}
    left: Counter[str] = Counter()
    for workshop, seat in seats_of(condition):
        attempt = _attempt(logbook, workshop, seat, wanted)
        if isinstance(attempt, str):
            left[attempt] += 1
        elif attempt.learner in found:
            left[AGAIN] += 1
        else:
            found[attempt.learner] = attempt
    return list(found.values()), left


def seats_of(condition: Condition) -> Iterator[tuple[Workshop, Seat]]:
    """The seats that were planned, oldest workshop first."""
    for workshop, forms in reversed(condition.workshops):
        for seat in sorted(workshop.seats, key=lambda one: one.ordinal):
            if workshop.form_of(seat) in forms and not seat.absent:
                yield workshop, seat


def first_look(logbook: Logbook, workshop: Workshop, seat: Seat, variant: str) -> Reveal | str:
    """The first look at an attempt of a variant, or why it does not count."""
    if workshop.mode is Mode.PRACTICE:
        return PRACTICE
    result = attempt_result(logbook, workshop, seat)
    if not result.reveals:
        return WAITING
    if result.is_void:
        return VOID
    shown = result.reveals[0]
    return shown if shown.observation.board.variant == variant else VARIANT


def _attempt(logbook: Logbook, workshop: Workshop, seat: Seat, wanted: Wanted) -> _Attempt | str:
    """What the first look saw, or why it does not count."""
    shown = first_look(logbook, workshop, seat, wanted.variant)
    if isinstance(shown, str):
        return shown
    return _scored(shown, dict(workshop.aliases).get(seat.learner, seat.learner))


def _scored(shown: Reveal, learner: str) -> _Attempt | str:
    lines = {line.id: line.standing for line in shown.decision.lines}
    value, grade = shown.decision.score.whole.value, shown.evidence.overall
    if value is None or lines.get("evidence") is not Standing.MET:
        return LITTLE
    if grade is None:
        return UNGRADED
    fatal = any(one.finding is Finding.FATAL for one in shown.decision.criticals)
    return _Attempt(learner, float(100 * value), grade, fatal)


def _warnings(attempts: Sequence[_Attempt], borderline: int) -> Iterator[str]:
    high = sum(one.fatal and one.grade > borderline for one in attempts)
    if high:
        yield (
            f"{counted(high, 'attempt')} with a fatal critical item had a grade above borderline;"
            " grades are kept as they were given (rule A6)."
        )
