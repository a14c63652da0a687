"""The face on progress: attempts over time, a learner's charts, and a cohort's mastery."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.asking import Answers, Choice, Field, Question
from observe.desk.blocks import Block
from observe.desk.review.charts import Course, CoursePanel, Limit, MasteryPanel
from observe.desk.review.face import ReviewFace, table_bytes
from observe.desk.review.learners import LearnersPanel, Row
from observe.desk.running import Tick
from observe.desk.theme import Skin
from observe.domain.troubles import BadInput
from observe.domain.words import counted
from observe.work.file_progress import Asked, Progress, attempts_in, decay_line, progress
from observe.work.logbooks import Logbook, open_logbook
from observe.work.progress_table import progress_table

if TYPE_CHECKING:
    from observe.work.file_progress import LearnerProgress

NOTHING = ("No attempt is sealed by all who watched it.", "Seal attempts, or take packets in.")
POLICIES = (("last", "the last counts"), ("best", "the best counts"), ("all", "all must pass"))
METHOD = (
    "CUSUM adds 1 - s for a failure and takes s away for a success (Bolsin and Colson 2000).",
    "At its upper line there are too many failures; at the lower one they are acceptable.",
    "LC-CUSUM begins at not competent, until its limit is reached (Biau and others 2008).",
    "That limit is chosen by simulation.",
    "Attempts of one form, mode and scoring; void ones and those without a decision are no step.",
    "Passed by attempt: Kaplan and Meier's estimate over learners.",
    "Its interval is by Greenwood's error on the log-log scale.",
)


@dataclass(frozen=True)
class Found:
    """What a logbook comes to. forms: with attempts in it; form: which was taken."""

    forms: tuple[str, ...]
    form: str
    progress: Progress | None


class ProgressColumn(QWidget):
    """Learners at the left, charts at the right; one below the other where text is enlarged."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.learners = LearnersPanel(skin, self)
        self.cusum = CoursePanel(skin, self, "CUSUM")
        self.learning = CoursePanel(skin, self, "LC-CUSUM")
        self.mastery = MasteryPanel(skin, self)
        self.panels = (self.learners, self.cusum, self.learning, self.mastery)

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the panels give."""
        if self.skin.text == 1:
            return 0
        gap = self.skin.px(8)
        return sum(panel.needed(width) + gap for panel in self.panels) - gap

    def resizeEvent(self, event: QResizeEvent) -> None:
        gap, wide, high = self.skin.px(8), self.width(), self.height()
        if self.skin.text > 1:
            y = 0
            for panel in self.panels:
                panel.setGeometry(0, y, wide, panel.needed(wide))
                y += panel.height() + gap
            return
        left = round(wide * 0.36)
        right, top = wide - left - gap, round(high * 0.55)
        half = (right - gap) // 2
        self.learners.setGeometry(0, 0, left, high)
        self.cusum.setGeometry(left + gap, 0, half, top)
        self.learning.setGeometry(left + 2 * gap + half, 0, right - half - gap, top)
        self.mastery.setGeometry(left + gap, top + gap, right, high - top - gap)


class ProgressFace(ReviewFace):
    """Attempts of the learners of one form."""

    title = "Progress"

    def __init__(self, skin: Skin, logbook: Logbook, parent: QWidget | None = None) -> None:
        self.asked = Asked()
        self.form = ""
        self.made: Found | None = None
        self.column = ProgressColumn(skin)
        super().__init__(
            skin,
            logbook,
            self.column,
            {
                "Choose …": self.choose,
                "Method note": self.show_note,
                "Save table …": self.save_table,
                "Save picture …": self.save_picture,
            },
            parent,
        )
        self.column.learners.list.chosen_changed.connect(self._show_learner)
        self.runner.done.connect(self._show)
        self.compute()

    # what is computed

    def compute(self) -> None:
        """Read and compute beside the window; a logbook of its own is opened to read."""
        path, asked, form = self.logbook.path, self.asked, self.form
        self.say("Reading …")

        def work(_: Tick) -> Found:
            with open_logbook(path, read_only=True) as logbook:
                series = attempts_in(logbook)
            forms = tuple(dict.fromkeys(one.form for one in series))
            taken = form or (forms[-1] if forms else "")
            some = [one for one in series if one.form == taken]
            return Found(forms, taken, progress(some, asked) if some else None)

        self.runner.run(work)
        self.show_keys(running=True)

    def _show(self, found: Found) -> None:
        self.made = found
        made = found.progress
        rows = [_row(one) for one in made.learners] if made else []
        self.column.learners.show_rows(rows, 0, NOTHING)
        lasts = decay_line(made.decay) if made else ""
        self.column.mastery.show_cohort(made.mastery if made else (), lasts, NOTHING)
        self._show_learner(0)
        self.say(_state(found))
        self.show_keys(running=False)
        self.lay_out()

    def _show_learner(self, place: int) -> None:
        made = self.made.progress if self.made else None
        if made is None:
            self.column.cusum.show_course(None, NOTHING)
            self.column.learning.show_course(None, NOTHING)
            return
        one = made.learners[place]
        passed = tuple(bool(step.passed) for step in one.steps)
        design, known = made.design, made.learning
        none = (f"{one.series.learner} has no attempt that counts.", one.result.sentence)
        self.column.cusum.show_course(
            Course(
                one.chart.values,
                passed,
                (
                    Limit(design.h1, "unacceptable"),
                    Limit(-design.h0, "acceptable"),
                ),
                f"{one.series.learner}: {one.chart.sentence}",
                f"Failures of {100 * design.acceptable:g} % against {100 * design.unacceptable:g} "
                f"%, α {design.alpha:g}, β {design.beta:g}, s {design.s:.3f}.",
            ),
            none,
        )
        chance = "" if known.share is None else f"; {100 * known.share:.1f} % reach it by chance"
        self.column.learning.show_course(
            Course(
                one.shown.values,
                passed,
                (Limit(known.limit, "competence shown"),),
                f"{one.series.learner}: {one.shown.sentence}",
                f"Limit {known.limit:.2f}{chance}.",
            ),
            none,
        )

    def can(self) -> Mapping[str, bool]:
        """Which keys can be pressed."""
        ready = self.made is not None and self.made.progress is not None
        return {
            "Choose …": ready,
            "Method note": True,
            "Save table …": ready,
            "Save picture …": ready,
        }

    # questions

    def choose(self) -> None:
        """Ask which form, which attempt counts, and which rates of failure are told apart."""
        if self.made is None:
            return
        forms = tuple((one, one) for one in self.made.forms)
        self.ask(
            Question(
                "Which attempts, and against which rates?",
                ("The charts tell an acceptable rate of failures from an unacceptable one.",),
                "Look at it",
                self._chosen,
                (
                    Field("acceptable", "Acceptable, % fail", f"{100 * self.asked.acceptable:g}"),
                    Field(
                        "unacceptable", "Unacceptable, % fail", f"{100 * self.asked.unacceptable:g}"
                    ),
                ),
                (
                    Choice("form", "Form", forms, self.made.form),
                    Choice("policy", "Of several attempts", POLICIES, self.asked.policy),
                ),
            )
        )

    def _chosen(self, answers: Answers) -> None:
        acceptable, unacceptable = (_rate(answers[one]) for one in ("acceptable", "unacceptable"))
        if acceptable >= unacceptable:
            raise BadInput(
                "The acceptable rate is not below the unacceptable one.",
                remedy="Write the lower one first, such as 10 and 25.",
            )
        self.form = answers["form"] or self.form
        self.asked = replace(
            self.asked,
            acceptable=acceptable,
            unacceptable=unacceptable,
            policy=answers["policy"] or self.asked.policy,
        )
        self.back()
        self.compute()

    def show_note(self) -> None:
        """How the charts are made, or back to them."""
        made = self.made.progress if self.made else None
        self.show_blocks(
            [Block("How the charts are made", (*METHOD, *(made.notes if made else ())))]
        )

    # files

    def save_table(self) -> None:
        """Every attempt that counts, with both charts' values."""
        made = self.made.progress if self.made else None
        chosen = self.where("Save the table", "progress.csv") if made else ""
        if made is not None and chosen:
            self.write((Path(chosen), table_bytes(progress_table(made))))


def _row(one: LearnerProgress) -> Row:
    marks = tuple(
        attempt.passed if place in one.result.counted else None
        for place, attempt in enumerate(one.series.attempts)
    )
    state = {True: "pass", False: "remediate", None: "no decision"}[one.result.passed]
    return Row(one.series.learner, marks, state)


def _state(found: Found) -> str:
    made = found.progress
    if made is None:
        return NOTHING[0]
    steps = sum(len(one.steps) for one in made.learners)
    return (
        f"{found.form}: {counted(len(made.learners), 'learner')}, "
        f"{counted(steps, 'attempt')} in the charts."
    )


def _rate(typed: str) -> float:
    try:
        value = float(typed.strip().removesuffix("%").replace(",", ".")) / 100
    except ValueError:
        value = -1.0
    if not 0 < value < 1:
        raise BadInput("This is no rate of failures.", where=typed, remedy="Write it as 10.")
    return value
