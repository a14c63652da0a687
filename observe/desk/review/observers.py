"""The face on observers: who is severe, who drifts, and whether adjusting would help."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from observe.desk.asking import Answers, Choice, Field, Question
from observe.desk.blocks import Block
from observe.desk.review.face import ReviewFace, table_bytes
from observe.desk.review.observer_rows import ObserverRows
from observe.desk.running import Tick
from observe.desk.theme import Skin
from observe.domain.troubles import BadInput, Refused
from observe.domain.words import counted, listed
from observe.work.file_severity import Asked, SeverityStudy, linked
from observe.work.logbooks import Logbook, open_logbook
from observe.work.severity_logbook import Habits, gather, study
from observe.work.severity_reports import write_reports
from observe.work.severity_table import severity_table


@dataclass(frozen=True)
class Found:
    """What a logbook comes to.

    parts: observers linked by learners. empty: why there is no study, and what would help.
    """

    study: SeverityStudy | None
    habits: Mapping[str, Habits]
    parts: tuple[tuple[str, ...], ...]
    empty: tuple[str, str] = ("", "")


PARTED = "Choose which of them are compared; or let observers of two groups see one learner."
METHOD = (
    "Score = mean + learner + observer + error: an additive mixed model by REML.",
    "It is fitted to each observer's own sealed record (Searle and others 1992, chapter 7).",
    "Only observers who are linked by learners whom both saw are compared.",
    "Allowing for chance, a figure is drawn towards 0 as far as it is uncertain.",
    "Whether adjusting would help is simulated from the fitted spread, 1,000 times.",
    "Nothing here changes a score.",
    "Each observer is told of themselves alone, in a file of their own.",
)


class ObserversFace(ReviewFace):
    """Severity of the observers of one logbook."""

    title = "Observers"

    def __init__(self, skin: Skin, logbook: Logbook, parent: QWidget | None = None) -> None:
        self.asked = Asked(seed=1)
        self.made: Found | None = None
        self.rows = ObserverRows(skin)
        super().__init__(
            skin,
            logbook,
            self.rows,
            {
                "Choose …": self.choose,
                "Method note": self.show_note,
                "Write files …": self.write_files,
                "Save table …": self.save_table,
                "Save picture …": self.save_picture,
            },
            parent,
        )
        self.runner.done.connect(self._show)
        self.compute()

    # what is computed

    def compute(self) -> None:
        """Read and compute beside the window; a logbook of its own is opened to read."""
        path, asked = self.logbook.path, self.asked
        self.say("Reading …")

        def work(tick: Tick) -> Found:
            with open_logbook(path, read_only=True) as logbook:
                gathered = gather(logbook)
            parts = linked(gathered.scores) if gathered.scores else ()
            try:
                return Found(study(gathered, asked, tick), gathered.habits, parts)
            except Refused as refused:
                helps = refused.remedy if len(parts) < 2 else PARTED
                return Found(None, {}, parts, (refused.what, helps))

        self.runner.run(work)
        self.show_keys(running=True)

    def _show(self, found: Found) -> None:
        self.made = found
        self.rows.show_study(found.study, found.habits, found.empty)
        self.say(_state(found))
        self.show_keys(running=False)
        self.lay_out()

    def can(self) -> Mapping[str, bool]:
        """Which keys can be pressed."""
        ready = self.made is not None and self.made.study is not None
        return {
            "Choose …": self.made is not None and bool(self.made.parts),
            "Method note": True,
            "Write files …": ready,
            "Save table …": ready,
            "Save picture …": ready,
        }

    # questions

    def choose(self) -> None:
        """Ask which linked observers, and at which pass mark adjusting is tried."""
        parts = self.made.parts if self.made else ()
        options = tuple((str(at), listed(list(one))) for at, one in enumerate(parts, 1))
        choices = (
            (Choice("part", "Which observers", options, str(self.asked.part or 1)),)
            if len(parts) > 1
            else ()
        )
        cut = "" if self.asked.cut is None else f"{self.asked.cut:g}"
        self.ask(
            Question(
                "Who is compared, and would adjusting help?",
                ("Only observers who are linked by learners whom both saw can be compared.",),
                "Look at it",
                self._chosen,
                (Field("cut", "Pass mark in percent (empty: do not ask)", cut),),
                choices,
            )
        )

    def _chosen(self, answers: Answers) -> None:
        cut = _percent(answers["cut"])
        self.asked = replace(self.asked, cut=cut, part=int(answers.get("part") or 0))
        self.back()
        self.compute()

    def show_note(self) -> None:
        """How the figures are made, or back to them."""
        self.show_blocks([Block("How the figures are made", METHOD)])

    # files

    def write_files(self) -> None:
        """One file for each observer, into a folder."""
        made = self.made
        if made is None or made.study is None:
            return
        folder = QFileDialog.getExistingDirectory(self, "Folder for the observers' files")
        if not folder:
            return
        found, habits = made.study, dict(made.habits)

        def deed() -> None:
            written = write_reports(found, Path(folder), habits)
            self.say(f"Saved: {counted(len(written), 'file')} in {folder}")

        self.attempt(deed)

    def save_table(self) -> None:
        """Every figure of every observer."""
        made = self.made
        chosen = self.where("Save the table", "observers.csv") if made and made.study else ""
        if made is not None and made.study is not None and chosen:
            rows = severity_table(made.study, made.habits)
            self.write((Path(chosen), table_bytes(rows)))


def _state(found: Found) -> str:
    if found.study is None:
        return found.empty[0]
    model = found.study.model
    return (
        f"{counted(model.scores, 'score')}, mean {model.mean:.1f}. "
        f"{counted(len(found.study.observers), 'observer')}."
    )


def _percent(typed: str) -> float | None:
    text = typed.strip().removesuffix("%").replace(",", ".")
    if not text:
        return None
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0 <= value <= 100:
        raise BadInput("This is no pass mark.", where=typed, remedy="Write it as 80.")
    return value
