"""The face on progress: attempts over time, a learner's charts, and a cohort's mastery."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from observe.desk.asking import Answers, Choice, Field, Question
from observe.desk.blocks import Block
from observe.desk.review.face import ReviewFace, table_bytes
from observe.desk.review.progress_column import ProgressColumn
from observe.desk.running import Tick
from observe.desk.theme import Skin
from observe.domain.troubles import BadInput
from observe.domain.words import counted
from observe.work.file_progress import Asked, Progress, progress, series_of
from observe.work.logbooks import Logbook, open_logbook
from observe.work.progress_logbook import by_series, sealed_attempts
from observe.work.progress_table import Told, cohort_table, progress_table

ARROWS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Home, Qt.Key.Key_End)
NOTHING = ("No attempt is sealed by all who watched it.", "Seal attempts, or take packets in.")
POLICIES = (("last", "the last counts"), ("best", "the best counts"), ("all", "all must pass"))
RATES = {
    "acceptable": "Acceptable failures",
    "unacceptable": "Unacceptable failures",
    "alpha": "Risk of a false alarm of the CUSUM",
    "beta": "Risk of a false all-clear of the CUSUM",
    "share": "Of unacceptable learners, who may reach the limit of the LC-CUSUM",
}
"""What is asked for in per cent, by its name in `Asked`."""
RISKIEST = {"alpha": 0.5, "beta": 0.5, "share": 0.5}
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
    """What a logbook comes to.

    forms: with attempts in it; form: which was taken; told: what is told of every attempt.
    """

    forms: tuple[str, ...]
    form: str
    progress: Progress | None
    told: Told


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
                "Rates …": self.choose_rates,
                "Method note": self.show_note,
                "Save tables …": self.save_tables,
                "Save picture …": self.save_picture,
            },
            parent,
        )
        self.column.grown.connect(self.area.lay_out)
        self.column.learners.list.chosen_changed.connect(self._bring_into_sight)
        self.runner.done.connect(self._show)
        self.compute()

    # what is computed

    def compute(self) -> None:
        """Read and compute beside the window; a logbook of its own is opened to read."""
        path, asked, form = self.logbook.path, self.asked, self.form
        self.say("Reading …")

        def work(tick: Tick) -> Found:
            with open_logbook(path, read_only=True) as logbook:
                told = by_series(sealed_attempts(logbook, tick))
            forms = tuple(dict.fromkeys(form for _, form in told))
            taken = form or (forms[-1] if forms else "")
            some = [one for one in series_of(told) if one.form == taken]
            return Found(forms, taken, progress(some, asked) if some else None, told)

        self.runner.run(work)
        self.show_keys(running=True)

    def _show(self, found: Found) -> None:
        self.made = found
        made = found.progress
        self.column.show_progress(made, found.told, NOTHING)
        self.say(_state(found))
        self.show_keys(running=False)
        self.lay_out()

    def _bring_into_sight(self, place: int) -> None:
        """Where text is enlarged the whole column scrolls, the list within it."""
        rows = self.column.learners.list
        high = rows.row_height()
        at = rows.mapTo(self.column, QPoint(0, place * high + high // 2))
        self.area.ensureVisible(0, at.y(), 0, high // 2)

    def can(self) -> Mapping[str, bool]:
        """Which keys can be pressed."""
        ready = self.made is not None and self.made.progress is not None
        return {
            "Choose …": ready,
            "Rates …": ready,
            "Method note": True,
            "Save tables …": ready,
            "Save picture …": ready,
        }

    # questions

    def choose(self) -> None:
        """Ask which form, and which of several attempts counts."""
        if self.made is None:
            return
        forms = tuple((one, one) for one in self.made.forms)
        self.ask(
            Question(
                "Which attempts?",
                ("Attempts of one form are followed; the charts have all that count.",),
                "Look at it",
                self._chosen,
                (),
                (
                    Choice("form", "Form", forms, self.made.form),
                    Choice("policy", "Of several attempts", POLICIES, self.asked.policy),
                ),
            )
        )

    def _chosen(self, answers: Answers) -> None:
        self.form = answers["form"] or self.form
        self.asked = replace(self.asked, policy=answers["policy"] or self.asked.policy)
        self.back()
        self.compute()

    def choose_rates(self) -> None:
        """Ask which rates of failure the charts tell apart, and at which risks."""
        self.ask(
            Question(
                "Which rates are told apart?",
                ("The charts tell an acceptable rate of failures from an unacceptable one.",),
                "Look at it",
                self._rates_chosen,
                tuple(
                    Field(name, f"{label}, %", f"{100 * getattr(self.asked, name):g}")
                    for name, label in RATES.items()
                ),
            )
        )

    def _rates_chosen(self, answers: Answers) -> None:
        rates = {name: _rate(answers[name], RISKIEST.get(name, 1.0)) for name in RATES}
        if rates["acceptable"] >= rates["unacceptable"]:
            raise BadInput(
                "The acceptable rate is not below the unacceptable one.",
                remedy="Write the lower one first, such as 10 and 25.",
            )
        self.asked = replace(
            self.asked,
            acceptable=rates["acceptable"],
            unacceptable=rates["unacceptable"],
            alpha=rates["alpha"],
            beta=rates["beta"],
            share=rates["share"],
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

    def save_tables(self) -> None:
        """Every attempt with both charts' values, and beside it the curve of the cohort."""
        made = self.made
        chosen = self.where("Save the tables", "progress.csv") if made and made.progress else ""
        if made is None or made.progress is None or not chosen:
            return
        path = Path(chosen)
        self.write(
            (path, table_bytes(progress_table(made.progress, made.told))),
            (
                path.with_name(f"{path.stem}-cohort.csv"),
                table_bytes(cohort_table(made.progress)),
            ),
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in ARROWS and self.area.isVisible():
            self.column.learners.list.keyPressEvent(event)
            return
        super().keyPressEvent(event)


def _state(found: Found) -> str:
    made = found.progress
    if made is None:
        return NOTHING[0]
    steps = sum(len(one.steps) for one in made.learners)
    return (
        f"{found.form}: {counted(len(made.learners), 'learner')}, "
        f"{counted(steps, 'attempt')} in the charts."
    )


def _rate(typed: str, below: float) -> float:
    """A share that was typed in per cent. Raises BadInput for one that is not between 0 and it."""
    try:
        value = float(typed.strip().removesuffix("%").replace(",", ".")) / 100
    except ValueError:
        value = -1.0
    if not 0 < value < below:
        raise BadInput(
            f"This is no share between 0 and {100 * below:g} %.",
            where=typed,
            remedy="Write it as 10.",
        )
    return value
