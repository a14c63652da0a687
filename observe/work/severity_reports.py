"""What is told of one observer, in a file of their own (rule P1)."""

from __future__ import annotations

from pathlib import Path

from observe.work.file_severity import OneObserver, SeverityStudy
from observe.work.severity_logbook import Habits
from observe.work.whole_file import slug, write_whole

CAUTION = (
    "For a talk with this observer, and for nobody else. A severe observer and a group of weaker",
    "learners look alike where few learners are shared. Nothing here changes a score.",
)


def write_reports(
    study: SeverityStudy, folder: Path, habits: dict[str, Habits] | None = None
) -> list[Path]:
    """Write a text file for each observer into a folder; the files. None is written over."""
    folder.mkdir(parents=True, exist_ok=True)
    found = []
    for one in study.observers:
        stem = f"observer-{slug(one.effect.observer, 'observer')[:60]}"
        path, count = folder / f"{stem}.txt", 1
        while path.exists():
            count += 1
            path = folder / f"{stem}.{count}.txt"
        text = "\n".join(report(one, study, (habits or {}).get(one.effect.observer)))
        write_whole(path, f"{text}\n".encode())
        found.append(path)
    return found


def report(one: OneObserver, study: SeverityStudy, habits: Habits | None = None) -> list[str]:
    """The lines of one observer's file; no other observer is named in it."""
    effect = one.effect
    word = "above" if effect.fixed >= 0 else "below"
    seen = (
        f"Scores: {effect.scores} of {effect.learners} learners; {effect.shared} of these were "
        "scored by others too."
    )
    span = "no interval: too few scores"
    if effect.low is not None and effect.high is not None:
        span = f"95 % interval {effect.low:+.2f} to {effect.high:+.2f}"
    where = (
        f"Your scores lie {abs(effect.fixed):.2f} points {word} those of other observers for the "
        f"same learners ({span}); {abs(effect.effect):.2f} once chance is allowed for."
    )
    lines = [
        f"Observer: {effect.observer}",
        seen,
        "",
        where,
        drift_line(one),
        contrast_line(one),
    ]
    if habits is not None:
        lines.append(habits_line(habits))
    lines += [
        "",
        *CAUTION,
        f"Method: additive mixed model by REML over {study.model.scores} scores.",
    ]
    return lines


def habits_line(habits: Habits) -> str:
    """How an observer's records were entered, in a sentence."""
    return (
        f"Of {habits.records} records, {habits.straight} had all dimensions rated alike, and "
        f"{habits.late} had many marks entered at once after a long silence."
    )


def drift_line(one: OneObserver) -> str:
    """The drift of an observer in a sentence."""
    slope = one.drift
    if slope.value is None:
        return f"Drift: {slope.undefined}"
    p = "" if slope.p is None else f", p {slope.p:.3f}"
    return f"Drift: {_signed(slope.value)} points with each further learner (SE {slope.se:.3f}{p})."


def contrast_line(one: OneObserver) -> str:
    """The contrast of an observer in a sentence."""
    slope = one.contrast
    if slope.value is None:
        return f"Contrast: {slope.undefined}"
    p = "" if slope.p is None else f", p {slope.p:.3f}"
    return (
        f"Contrast: {_signed(slope.value)} points for each point by which the learner before was "
        f"better (SE {slope.se:.3f}{p})."
    )


def _signed(value: float) -> str:
    return f"{value:+.3f}".replace("-", "−")
