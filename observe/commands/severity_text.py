"""Severity as text for people."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from typing import TYPE_CHECKING

from observe.work.severity_reports import contrast_line, drift_line, habits_line

if TYPE_CHECKING:
    from observe.work.file_severity import SeverityStudy
    from observe.work.severity_logbook import Habits

WIDTH = 88
HEAD = (
    f"{'observer':<24}{'effect':>9}{'SE':>8}{'fixed':>9}{'SE':>8}{'chance':>10}{'scores':>8}"
    f"{'shared':>8}"
)


def severity_text(study: SeverityStudy, habits: Mapping[str, Habits]) -> str:
    """A line for each observer, the most severe first; tendencies; the verdict; notes."""
    model = study.model
    learner, observer, error = model.variances
    lines = [
        f"{model.scores} scores, mean {model.mean:.2f}",
        f"Variance of learners {learner:.3f}, of observers {observer:.3f}, of error {error:.3f}",
        "",
        HEAD,
    ]
    ordered = sorted(study.observers, key=lambda one: one.effect.effect)
    for one in ordered:
        effect = one.effect
        fixed_se = "" if effect.fixed_se is None else f"{effect.fixed_se:.2f}"
        lines.append(
            f"{effect.observer[:23]:<24}{effect.effect:>+9.2f}{effect.se:>8.2f}"
            f"{effect.fixed:>+9.2f}{fixed_se:>8}{100 * effect.shrinkage:>8.0f} %"
            f"{effect.scores:>8}{effect.shared:>8}"
        )
    lines.append("effect: points above the others for the same learners, below 0 severe; chance:")
    lines.append(
        "share of the spread of observers that is uncertain; fixed: nothing allowed for it"
    )
    if study.ordered:
        for one in ordered:
            habit = habits.get(one.effect.observer)
            sentences = [drift_line(one), contrast_line(one)]
            sentences += [habits_line(habit)] if habit else []
            lines += ["", one.effect.observer]
            for sentence in sentences:
                lines += textwrap.wrap(
                    sentence, WIDTH, initial_indent="  ", subsequent_indent="    "
                )
    lines.append("")
    said = [study.adjusting.sentence] if study.adjusting else []
    for note in (*said, *study.notes):
        lines += textwrap.wrap(note, WIDTH)
    return "\n".join(lines)
