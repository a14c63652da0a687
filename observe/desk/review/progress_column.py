"""What the face on progress shows: learners at the left, at the right the charts of one of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.review.attempts import AttemptsPanel, Line
from observe.desk.review.charts import Course, CoursePanel, Limit, MasteryPanel
from observe.desk.review.learners import LearnersPanel, Row
from observe.desk.review.panel import MINUS
from observe.desk.theme import Skin
from observe.work.file_progress import LearnerProgress, Progress, decay_line
from observe.work.progress_logbook import SealedAttempt, again_sentence
from observe.work.progress_table import Told

if TYPE_CHECKING:
    from observe.standards.cusum import Design
    from observe.standards.lc_cusum import Learning

NO_CHART = ("", "")


class ProgressColumn(QWidget):
    """Five panels, side by side; one below the other where text is enlarged."""

    grown = Signal()
    """It needs another height now."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.made: Progress | None = None
        self.told: Told = {}
        self.learners = LearnersPanel(skin, self)
        self.cusum = CoursePanel(skin, self, "CUSUM", "Too many failures?")
        self.learning = CoursePanel(skin, self, "LC-CUSUM", "Competent yet?")
        self.attempts = AttemptsPanel(skin, self)
        self.mastery = MasteryPanel(skin, self)
        self.panels = (
            self.learners,
            self.cusum,
            self.learning,
            self.attempts,
            self.mastery,
        )
        self.learners.list.chosen_changed.connect(self.show_learner)

    def show_progress(self, made: Progress | None, told: Told, empty: tuple[str, str]) -> None:
        """Show learners; who was chosen before stays so. told: what is told of each attempt."""
        before = self.learners.list.name
        self.made, self.told = made, told
        rows = [row_of(one) for one in made.learners] if made else []
        place = next((at for at, row in enumerate(rows) if row.name == before), 0)
        self.learners.show_rows(rows, place, decay_line(made.decay) if made else "", empty)
        self.mastery.show_cohort(made.mastery if made else (), empty)
        self.show_learner(place)

    def show_learner(self, place: int) -> None:
        """Show the charts and attempts of one learner."""
        if self.made is None:
            for chart in (self.cusum, self.learning):
                chart.show_course(None, NO_CHART)
            self.attempts.show_attempts("", (), "", NO_CHART)
            return
        one = self.made.learners[place]
        name = one.series.learner
        none = (f"{name} has no attempt that counts.", one.result.sentence)
        self.cusum.show_course(cusum_course(one, self.made.design), none)
        self.learning.show_course(learning_course(one, self.made.learning), none)
        told = in_order_of_date(one, self.told.get((name, one.series.form), ()))
        foot = f"{one.result.sentence} {again_sentence([each for _, each in told])}".strip()
        lines = [line_of(one, at, each) for at, each in told]
        self.attempts.show_attempts(name, lines, foot, none)
        self.grown.emit()

    # geometry

    def needed(self, width: int) -> int:
        """Px of height in a width: the least where text is not enlarged, as the panels give."""
        gap = self.skin.px(8)
        if self.skin.text == 1:
            return self._least_top(width) + gap + self._least_below(width)
        return sum(panel.needed(width) + gap for panel in self.panels) - gap

    def _sides(self, width: int) -> tuple[int, int]:
        """Px of width of the learners, and of each panel beside them."""
        left = round(width * 0.36)
        return left, (width - left - 2 * self.skin.px(8)) // 2

    def _least_top(self, width: int) -> int:
        half = self._sides(width)[1]
        return max(self.cusum.least(half), self.learning.least(half))

    def _least_below(self, width: int) -> int:
        return self.mastery.least(self._sides(width)[1])

    def resizeEvent(self, event: QResizeEvent) -> None:
        gap, wide, high = self.skin.px(8), self.width(), self.height()
        if self.skin.text > 1:
            y = 0
            for panel in self.panels:
                panel.setGeometry(0, y, wide, panel.needed(wide))
                y += panel.height() + gap
            return
        left, half = self._sides(wide)
        spare = high - gap - self._least_below(wide)
        top = max(self._least_top(wide), min(round(high * 0.55), spare))
        self.learners.setGeometry(0, 0, left, high)
        for x, wider, upper, lower in (
            (left + gap, half, self.cusum, self.attempts),
            (left + 2 * gap + half, wide - left - 2 * gap - half, self.learning, self.mastery),
        ):
            upper.setGeometry(x, 0, wider, top)
            lower.setGeometry(x, top + gap, wider, high - top - gap)


def row_of(one: LearnerProgress) -> Row:
    """A learner of the list: what counts in order of date, and where they stand."""
    from observe.standards.cusum import Verdict
    from observe.standards.retest import in_order

    marks = tuple(
        one.series.attempts[place].passed if place in one.result.counted else None
        for place in in_order(one.series.attempts)
    )
    state = [{True: "pass", False: "remediate", None: "no decision"}[one.result.passed]]
    if one.shown.at is not None:
        state.append("competence shown")
    if one.chart.verdict is Verdict.UNACCEPTABLE:
        state.append("too many failures")
    return Row(one.series.learner, marks, ", ".join(state))


def in_order_of_date(
    one: LearnerProgress, told: Sequence[SealedAttempt]
) -> list[tuple[int, SealedAttempt]]:
    """What is told of each attempt of a learner, by date, with its place in the series."""
    from observe.standards.retest import in_order

    return [(place, told[place]) for place in in_order(one.series.attempts)] if told else []


def line_of(one: LearnerProgress, place: int, told: SealedAttempt) -> Line:
    """An attempt of a learner as it stands among the others."""
    counts = place in one.result.counted
    return Line(
        told.attempt.date,
        told.score,
        told.decision,
        told.attempt.passed if counts else None,
        one.result.reasons.get(place, ""),
    )


def cusum_course(one: LearnerProgress, design: Design) -> Course:
    """The CUSUM of a learner, with what it was drawn with."""
    return Course(
        one.chart.values,
        tuple(bool(step.passed) for step in one.steps),
        (Limit(design.h1, "unacceptable"), Limit(-design.h0, "acceptable")),
        f"{one.series.learner}: {one.chart.sentence}",
        f"Failures of {100 * design.acceptable:g} % against {100 * design.unacceptable:g} %, "
        f"α {design.alpha:g}, β {design.beta:g}, s {design.s:.3f}, "
        f"lines at +{design.h1:.2f} and {MINUS}{design.h0:.2f}.",
    )


def learning_course(one: LearnerProgress, known: Learning) -> Course:
    """The LC-CUSUM of a learner, with what it was drawn with."""
    chance = (
        "as it was given"
        if known.share is None
        else f"reached by {100 * known.share:.1f} % of those who fail "
        f"{100 * known.unacceptable:g} % within {known.attempts} attempts"
    )
    return Course(
        one.shown.values,
        tuple(bool(step.passed) for step in one.steps),
        (Limit(known.limit, "competence shown"),),
        f"{one.series.learner}: {one.shown.sentence}",
        f"Limit {known.limit:.2f}, {chance}.",
    )
