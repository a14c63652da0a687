"""Cuts of one form and variant side by side, from a logbook and from judges' tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.form import Form
from observe.domain.standard import Approved, in_force
from observe.domain.troubles import BadInput, Refused
from observe.domain.words import counted
from observe.work.approving import standards_in
from observe.work.file_standard import FileStandard, file_standard
from observe.work.logbooks import Logbook
from observe.work.reviewing import conditions
from observe.work.standard_tables import Wanted

if TYPE_CHECKING:
    from observe.standards import Cut, Impact

OF_JUDGES = ("angoff", "essential", "hofstee")


@dataclass(frozen=True, slots=True)
class Target:
    """What a standard is for: a form and one of its variants; variant: "" where it has none."""

    form: Form
    variant: str

    @property
    def title(self) -> str:
        """The form, its version and the variant."""
        name = f"{self.form.short or self.form.id} {self.form.version}"
        label = next((one.label for one in self.form.variants if one.id == self.variant), "")
        return f"{name}, {label}" if label else name


@dataclass(frozen=True, slots=True)
class Judges:
    """A judges' table to set beside learners. percent: judgements are from 0 to 100, not to 1."""

    method: str
    path: Path
    percent: bool = False


@dataclass(frozen=True)
class StandardReview:
    """Cuts side by side, in percent. present: the cut in force today, and what it is.

    cuts: with a value first as they were computed. scores: of the candidates. approved: the
    standards of this form and variant. empty: why there is no cut; what would help.
    """

    target: Target
    present: float
    present_is: str
    cuts: tuple[Cut, ...]
    impact: Impact | None
    scores: tuple[float, ...]
    approved: tuple[Approved, ...]
    essential: tuple[str, ...] = ()
    empty: tuple[str, str] = ("", "")


def targets(logbook: Logbook) -> tuple[Target, ...]:
    """The forms and variants that a logbook's workshops use, used last first."""
    found: dict[tuple[str, str], Target] = {}
    for one in conditions(logbook):
        for variant in [each.id for each in one.form.variants] or [""]:
            found.setdefault((one.scoring, variant), Target(one.form, variant))
    return tuple(found.values())


def review_standards(
    logbook: Logbook, target: Target, judges: Sequence[Judges] = (), *, today: str
) -> StandardReview:
    """Set side by side what learners and judges say of a cut.

    today: ISO day, for the cut in force. Raises BadInput for a judges' table with faults.
    """
    known = tuple(
        one
        for one in standards_in(logbook)
        if (one.standard.scoring, one.standard.variant)
        == (target.form.scoring_digest, target.variant)
    )
    now = in_force(known, target.form.scoring_digest, target.variant, today)
    share = target.form.rule.cut if now is None else now.standard.share
    made = StandardReview(
        target,
        float(100 * Fraction(share)),
        "provisional, of the form" if now is None else f"in force since {now.standard.effective}",
        (),
        None,
        (),
        known,
    )
    return _with_judges(_with_learners(made, logbook.path), judges)


def _with_learners(made: StandardReview, path: Path) -> StandardReview:
    wanted = Wanted(form=made.target.form.id, variant=made.target.variant, present=made.present)
    try:
        found = file_standard("compare", path, wanted)
    except Refused as refused:
        return replace(made, empty=(refused.what, refused.remedy))
    if not found.scores:
        helps = "Grade and seal attempts of which enough was seen; or add a judges' table."
        said = " ".join(found.cuts[0].dropped) if found.cuts else ""
        return replace(made, empty=("No attempt has a score and a grade yet.", f"{said} {helps}"))
    return replace(made, cuts=found.cuts, impact=found.impact, scores=found.scores)


def _with_judges(made: StandardReview, judges: Sequence[Judges]) -> StandardReview:
    from observe.standards import impact

    cuts, essential = [*made.cuts], made.essential
    for one in judges:
        found = _judged(one, made.scores)
        cuts += [cut if cut.scale.unit == "percent" else cut.in_percent() for cut in found.cuts]
        essential = found.safety.essential if found.safety else essential
    if not made.scores:
        return replace(made, cuts=tuple(cuts), essential=essential)
    named = {one.label: (one.value, one.se) for one in cuts if one.value is not None}
    effect = impact(made.scores, named, present=made.present)
    return replace(made, cuts=tuple(cuts), impact=effect, essential=essential)


def _judged(one: Judges, scores: Sequence[float]) -> FileStandard:
    if one.method == "hofstee":
        return _of_limits(one, scores)
    found = file_standard(one.method, one.path, Wanted(percent=one.percent))
    _require_sound(found)
    return found


def _of_limits(one: Judges, scores: Sequence[float]) -> FileStandard:
    from observe.standards import Box, hofstee
    from observe.standards.cut import PERCENT, Asking
    from observe.work.standard_tables import limits

    rows, file = limits(one.path, Wanted(percent=True))
    found = FileStandard("hofstee", (file,))
    _require_sound(found)
    if not scores:
        raise Refused(
            "Hofstee's method needs scores of learners beside the judges.",
            where=str(one.path),
            remedy="Add the table once attempts are graded and sealed.",
        )
    return replace(
        found, cuts=(hofstee(scores, [Box(*row) for row in rows], asking=Asking(PERCENT)),)
    )


def _require_sound(found: FileStandard) -> None:
    for file in found.faulty:
        first, *more = sorted(file.faults)
        rest = f" {counted(len(more), 'fault')} more." if more else ""
        raise BadInput(
            f"{first.sentence}{rest}",
            where=f"{file.path}, line {first.line}",
            remedy=first.remedy,
        )
