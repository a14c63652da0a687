"""The face on agreement: what the second looks of a logbook come to."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.asking import Answers, Choice, Field, Question
from observe.desk.blocks import Block
from observe.desk.review.couples import CouplesPanel
from observe.desk.review.decisions import DecisionsPanel
from observe.desk.review.differences import DifferencesPanel
from observe.desk.review.face import ReviewFace, table_bytes
from observe.desk.review.steps import StepsPanel
from observe.desk.running import Tick
from observe.desk.theme import Skin
from observe.domain.troubles import BadInput
from observe.work.logbooks import Logbook, open_logbook
from observe.work.review_tables import estimates_table, ratings_table
from observe.work.reviewing import (
    Condition,
    Review,
    conditions,
    gather,
    review,
    what_would_help,
)

ALL = "all"
Panels = StepsPanel | DecisionsPanel | CouplesPanel | DifferencesPanel


class Column(QWidget):
    """The four panels: side by side, or one below the other where text is enlarged."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.steps = StepsPanel(skin, self)
        self.decisions = DecisionsPanel(skin, self)
        self.couples = CouplesPanel(skin, self)
        self.differences = DifferencesPanel(skin, self)
        self.panels: tuple[Panels, ...] = (
            self.steps,
            self.decisions,
            self.couples,
            self.differences,
        )

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
        left = round(wide * 0.485)
        right = wide - left - gap
        self.steps.setGeometry(0, 0, left, high)
        top = round(high * 0.42)
        self.decisions.setGeometry(left + gap, 0, right, top)
        half = (right - gap) // 2
        y = top + gap
        self.couples.setGeometry(left + gap, y, half, high - y)
        self.differences.setGeometry(left + 2 * gap + half, y, right - half - gap, high - y)


class AgreementFace(ReviewFace):
    """What the second looks of a logbook come to."""

    title = "Agreement"

    def __init__(self, skin: Skin, logbook: Logbook, parent: QWidget | None = None) -> None:
        self.conditions: tuple[Condition, ...] = conditions(logbook)
        self.chosen = 0
        self.workshops: frozenset[str] | None = None
        self.made: Review | None = None
        self.column = Column(skin)
        super().__init__(
            skin,
            logbook,
            self.column,
            {
                "Choose …": self.choose,
                "Method note": self.show_note,
                "Save tables …": self.save_tables,
                "Save picture …": self.save_picture,
            },
            parent,
        )
        self.runner.done.connect(self._show)
        self.compute()

    # what is computed

    @property
    def condition(self) -> Condition | None:
        """What is looked at; None where the logbook has no workshop."""
        return self.conditions[self.chosen] if self.conditions else None

    def compute(self) -> None:
        """Read and compute beside the window; a logbook of its own is opened to read."""
        condition = self.condition
        if condition is None:
            self._show(None)
            return
        path, wanted = self.logbook.path, self.workshops
        self.say("Reading …")

        def work(tick: Tick) -> Review:
            with open_logbook(path, read_only=True) as logbook:
                gathered = gather(logbook, condition, wanted, tick)
            return review(gathered, tick=tick)

        self.runner.run(work)
        self.show_keys(running=True)

    def _show(self, made: Review | None) -> None:
        self.made = made
        if made is None:
            missing, helps = "No workshop is planned in this logbook.", "Plan one, or take one in."
        else:
            missing = "No attempt has two sealed observations yet."
            helps = what_would_help(made.gathered)
        for panel in self.column.panels:
            panel.show_review(made, (missing, helps))
        self.say(self._state())
        self.show_keys(running=False)
        self.lay_out()

    def _state(self) -> str:
        if self.made is None:
            return ""
        gathered = self.made.gathered
        helps = what_would_help(gathered) if gathered.planned else ""
        return (
            f"{gathered.condition.title}: {gathered.attempts} attempts, {len(gathered.planned)} "
            f"seen by two as planned, {len(gathered.observers)} observers. {helps}"
        ).strip()

    def can(self) -> dict[str, bool]:
        """Which keys can be pressed."""
        ready = self.made is not None
        return {
            "Choose …": bool(self.conditions),
            "Method note": ready,
            "Save tables …": ready,
            "Save picture …": ready,
        }

    # questions

    def choose(self) -> None:
        """Ask which form, which workshops, and from when to when."""
        options = tuple((str(at), one.title) for at, one in enumerate(self.conditions))
        held = {w.id: f"{w.date} {w.title}" for one in self.conditions for w, _ in one.workshops}
        self.ask(
            Question(
                "What is looked at?",
                ("Attempts are put together only under one scoring and one profile.",),
                "Look at it",
                self._chosen,
                (
                    Field("since", "From the day (such as 2026-03-02; empty: from the first)"),
                    Field("until", "Until the day (empty: until the last)"),
                ),
                (
                    Choice("condition", "Form and version", options, str(self.chosen)),
                    Choice("workshop", "Workshops", ((ALL, "All of it"), *held.items()), ALL),
                ),
            )
        )

    def _chosen(self, answers: Answers) -> None:
        place = int(answers["condition"] or self.chosen)
        condition = self.conditions[place]
        since, until = (_day(answers[name]) for name in ("since", "until"))
        wanted = [
            workshop.id
            for workshop, _ in condition.workshops
            if answers["workshop"] in ("", ALL, workshop.id)
            and (not since or workshop.date >= since)
            and (not until or workshop.date <= until)
        ]
        if not wanted:
            raise BadInput(
                "No workshop with this form lies in these days.",
                remedy="Choose another form, other days, or all workshops.",
            )
        self.chosen = place
        self.workshops = None if len(wanted) == len(condition.workshops) else frozenset(wanted)
        self.back()
        self.compute()

    def show_note(self) -> None:
        """The method note in the order of the reporting guideline, or back to the panels."""
        if self.made is None:
            return
        steps = self.made.steps[:1]
        first = steps[0].advice if steps else None
        why = (f"Steps: {first.label}. {first.why} Source: {first.source}.",) if first else ()
        blocks = [Block("How the figures are made", why)] if why else []
        blocks += [
            Block(
                f"{one.number}  {one.title}", (one.text or f"To be written by you: {one.wanted}",)
            )
            for one in self.made.note
        ]
        self.show_blocks(blocks)

    # files

    def save_tables(self) -> None:
        """Every figure as a table, and beside it the ratings that `observe agreement` reads."""
        made = self.made
        chosen = self.where("Save the tables", "review.csv") if made else ""
        if made is None or not chosen:
            return
        path = Path(chosen)
        ratings = path.with_name(f"{path.stem}-ratings.csv")
        self.write(
            (path, table_bytes(estimates_table(made))),
            (ratings, table_bytes(ratings_table(made))),
        )


def _day(typed: str) -> str:
    from datetime import date

    text = typed.strip()
    if not text:
        return ""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise BadInput("This is no day.", where=text, remedy="Write it as 2026-03-02.") from error
