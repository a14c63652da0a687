"""Review: second looks over workshops; what to look at is chosen, computed beside the window."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QCloseEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFileDialog, QWidget

from observe.desk.asking import Answers, AskPanel, Choice, Field, Question
from observe.desk.blocks import Block, BlockList
from observe.desk.keys import Key, word_face
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.review.couples import CouplesPanel
from observe.desk.review.decisions import DecisionsPanel
from observe.desk.review.differences import DifferencesPanel
from observe.desk.review.steps import StepsPanel
from observe.desk.running import Runner, Tick
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.domain.troubles import BadInput, Trouble
from observe.look.tokens import ROUTINE_TARGET_MM, Token
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
from observe.work.whole_file import write_whole

ALL = "all"
ELSEWHERE = "Choose another place."
STATE = Style(15, ink=Token.INK2, least=11.5, down=MIDDLE)
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


class ReviewPage(QWidget):
    """What the second looks of a logbook come to."""

    told = Signal(object)
    """A trouble that no question asked for."""

    def __init__(self, skin: Skin, logbook: Logbook, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.skin, self.logbook = skin, logbook
        self.conditions: tuple[Condition, ...] = conditions(logbook)
        self.chosen = 0
        self.workshops: frozenset[str] | None = None
        self.made: Review | None = None
        self.said = ""
        self._said_box = self._sheet = QRectF()
        self.runner = Runner(self)
        self.runner.progressed.connect(self._progress)
        self.runner.done.connect(self._show_made)
        self.runner.failed.connect(self._failed)
        column = Column(skin)
        self.column, self.area = column, Tall(skin, self, column, column.needed)
        self.notes = BlockList(skin)
        self.notes_area = Tall(skin, self, self.notes, self.notes.needed)
        self.panel = AskPanel(skin)
        self.panel_area = Tall(skin, self, self.panel, self.panel.needed)
        self.panel.left.connect(self._back)
        self.panel.grown.connect(self.panel_area.lay_out)
        self.keys = {
            word: Key(skin, self, word_face(word, size=16))
            for word in ("Choose …", "Method note", "Save tables …", "Save picture …", "Stop")
        }
        deeds = (self.choose, self.show_note, self.save_tables, self.save_picture, self.stop)
        for key, deed in zip(self.keys.values(), deeds, strict=True):
            key.struck.connect(deed)
        self.notes_area.hide()
        self.panel_area.hide()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        skin.changed.connect(self.lay_out)
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
        self._say("Reading …")

        def work(tick: Tick) -> Review:
            with open_logbook(path, read_only=True) as logbook:
                gathered = gather(logbook, condition, wanted, tick)
            return review(gathered, tick=tick)

        self.runner.run(work)
        self._show_keys()

    def stop(self) -> None:
        """Stop what is computed; what was shown stays."""
        self.runner.stop()
        self._say("Stopped. Choose again to go on.")
        self._show_keys(running=False)

    def _progress(self, done: int, total: int) -> None:
        self._say(f"{done} of {total} …")

    def _failed(self, trouble: Trouble) -> None:
        self._say("It could not be computed.")
        self._show_keys(running=False)
        self.told.emit(trouble)

    def _show_made(self, made: Review) -> None:
        self._show(made)

    def _show(self, made: Review | None) -> None:
        self.made = made
        if made is None:
            missing, helps = "No workshop is planned in this logbook.", "Plan one, or take one in."
        else:
            missing = "No attempt has two sealed observations yet."
            helps = what_would_help(made.gathered)
        for panel in self.column.panels:
            panel.show_review(made, (missing, helps))
        self._say(self._state())
        self._show_keys(running=False)
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

    def _say(self, words: str) -> None:
        self.said = words
        self.setAccessibleName(f"Review. {words}")
        if self.skin.text > 1:
            self.lay_out()
        self.update()

    def _show_keys(self, *, running: bool = True) -> None:
        ready = self.made is not None
        can = {
            "Choose …": bool(self.conditions),
            "Method note": ready,
            "Save tables …": ready,
            "Save picture …": ready,
            "Stop": running,
        }
        for word, key in self.keys.items():
            key.show_face(word_face(word, size=16).allowed(can=can[word]))

    # questions

    def choose(self) -> None:
        """Ask which form, which workshops, and from when to when."""
        options = tuple((str(at), one.title) for at, one in enumerate(self.conditions))
        held = {w.id: f"{w.date} {w.title}" for one in self.conditions for w, _ in one.workshops}
        self._ask(
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
        self._back()
        self.compute()

    def _ask(self, question: Question) -> None:
        self.panel.ask(question)
        self.area.hide()
        self.notes_area.hide()
        self.panel_area.show()
        self.lay_out()

    def show_note(self) -> None:
        """The method note in the order of the reporting guideline, or back to the panels."""
        if self.made is None:
            return
        if self.notes_area.isVisible():
            self._back()
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
        self.notes.show_blocks(blocks)
        self.area.hide()
        self.panel_area.hide()
        self.notes_area.show()
        self.lay_out()

    def _back(self) -> None:
        self.panel.asked = None
        self.panel_area.hide()
        self.notes_area.hide()
        self.area.show()
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.lay_out()

    # files

    def save_tables(self) -> None:
        """Every figure as a table, and beside it the ratings that `observe agreement` reads."""
        made = self.made
        chosen = self._where("Save the tables", "review.csv") if made else ""
        if made is None or not chosen:
            return
        path = Path(chosen)
        ratings = path.with_name(f"{path.stem}-ratings.csv")
        self._try(
            lambda: self._write(
                (path, _csv(estimates_table(made))), (ratings, _csv(ratings_table(made)))
            )
        )

    def save_picture(self) -> None:
        """The panels as they are, as a picture."""
        chosen = self._where("Save the picture", "review.png") if self.made else ""
        if not chosen:
            return
        picture = self.column.grab()
        if picture.save(chosen):
            self._say(f"Saved: {chosen}")
        else:
            self.told.emit(
                BadInput(
                    "The picture could not be written.",
                    where=chosen,
                    remedy="Choose another place.",
                )
            )

    def _where(self, title: str, name: str) -> str:
        chosen, _ = QFileDialog.getSaveFileName(self, title, name)
        return chosen

    def _write(self, *files: tuple[Path, bytes]) -> None:
        for path, data in files:
            write_whole(path, data)
        self._say(f"Saved: {', '.join(str(path) for path, _ in files)}")

    def _try(self, deed: Callable[[], None]) -> None:
        from observe.work import disk

        try:
            deed()
        except Trouble as trouble:
            self.told.emit(trouble)
        except OSError as error:
            reason, remedy = disk.refusal(error)
            self.told.emit(BadInput(f"The file could not be written: {reason}.", remedy=remedy))

    # geometry

    def closeEvent(self, event: QCloseEvent) -> None:
        self.runner.stop()
        super().closeEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """Place the panels and the keys below them."""
        px, pad = self.skin.px, self.skin.px(6)
        foot = self.height() - pad - self._place_keys()
        box = QRectF(pad, pad, max(1, self.width() - 2 * pad), max(1, foot - 2 * pad))
        self._sheet = box
        inner = box.adjusted(px(20), px(12), -px(14), -px(10))
        for area, place in ((self.area, box), (self.notes_area, inner), (self.panel_area, inner)):
            area.setGeometry(place.toRect())
            area.lay_out()
        self.update()

    def _place_keys(self) -> int:
        """Keys at the foot, what is said beside them, or above where text is enlarged; px high."""
        px, pad = self.skin.px, self.skin.px(6)
        high = max(self.skin.mm(ROUTINE_TARGET_MM), px(44))
        enlarged = self.skin.text > 1
        if enlarged:
            high = max(high, self.skin.text_px(16) * 2 + px(14))
        wide = (self.width() - 2 * pad + px(8)) // len(self.keys) if enlarged else px(158)
        x, y = self.width() - pad, self.height() - pad - high
        for key in reversed(self.keys.values()):
            x -= wide
            key.setGeometry(x + px(8), y, wide - px(8), high)
        if not enlarged:
            self._said_box = QRectF(px(18), y, max(1, x - px(24)), high)
            return high
        above = height_of(self.skin, self.said, self.width() - px(36), STATE) + px(4)
        self._said_box = QRectF(px(18), y - above, self.width() - px(36), above)
        return high + above

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        pen.fill(QRectF(self.rect()), Token.GROUND)
        if not self.area.isVisible():
            pen.fill(self._sheet, Token.SHEET)
            pen.frame(self._sheet, Token.RULE, 1)
        short = self.said.split(". ")[0]
        pen.text(self._said_box, self.said, STATE, shorter=(short, short.split(": ")[-1]))
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not self.area.isVisible():
            self._back()
            return
        super().keyPressEvent(event)


def _day(typed: str) -> str:
    from datetime import date

    text = typed.strip()
    if not text:
        return ""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise BadInput("This is no day.", where=text, remedy="Write it as 2026-03-02.") from error


def _csv(rows: Sequence[Sequence[str]]) -> bytes:
    """A table as it is written for other programs: RFC 4180, UTF-8."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows([_guarded(row) for row in rows])
    return out.getvalue().encode("utf-8")


def _guarded(row: Sequence[str]) -> list[str]:
    """Cells that a spreadsheet would take for a formula get a mark before them."""
    return [f"'{cell}" if cell[:1] in "=+@\t" and cell else cell for cell in row]
