"""A face of the review: what it shows, notes and questions in its place, keys at the foot."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Protocol, cast

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QCloseEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFileDialog, QWidget

from observe.desk.asking import AskPanel, Question
from observe.desk.blocks import Block, BlockList
from observe.desk.keys import Key, word_face
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.running import Runner
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.domain.troubles import BadInput, Trouble
from observe.look.tokens import ROUTINE_TARGET_MM, Token
from observe.work.logbooks import Logbook
from observe.work.whole_file import write_whole

ELSEWHERE = "Choose another place."
STATE = Style(15, ink=Token.INK2, least=11.5, down=MIDDLE)
STOP = "Stop"
KEY_PX = 150
"""Width of a key at the foot."""


class Content(Protocol):
    """What a face shows, as a widget."""

    def needed(self, width: int) -> int:
        """Px of height in a width; 0 where it takes what there is."""


class ReviewFace(QWidget):
    """One question about a logbook, computed beside the window.

    content: a widget that is a `Content`. deeds: the words of the keys at the foot, and what
    each does; *Stop* is added.
    """

    told = Signal(object)
    """A trouble that no question asked for."""

    title = ""

    def __init__(
        self,
        skin: Skin,
        logbook: Logbook,
        content: QWidget,
        deeds: Mapping[str, Callable[[], None]],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.skin, self.logbook = skin, logbook
        self.said = ""
        self._said_box = self._sheet = QRectF()
        self.runner = Runner(self)
        self.runner.progressed.connect(lambda done, total: self.say(f"{done} of {total} …"))
        self.runner.failed.connect(self._failed)
        self.content = content
        self.area = Tall(skin, self, content, cast("Content", content).needed)
        self.notes = BlockList(skin)
        self.notes_area = Tall(skin, self, self.notes, self.notes.needed)
        self.panel = AskPanel(skin)
        self.panel_area = Tall(skin, self, self.panel, self.panel.needed)
        self.panel.left.connect(self.back)
        self.panel.grown.connect(self.panel_area.lay_out)
        self.keys = {word: Key(skin, self, word_face(word, size=16)) for word in (*deeds, STOP)}
        for key, deed in zip(self.keys.values(), (*deeds.values(), self.stop), strict=True):
            key.struck.connect(deed)
        self.notes_area.hide()
        self.panel_area.hide()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        skin.changed.connect(self.lay_out)

    # what is computed

    def stop(self) -> None:
        """Stop what is computed; what was shown stays."""
        self.runner.stop()
        self.say("Stopped. Choose again to go on.")
        self.show_keys(running=False)

    def _failed(self, trouble: Trouble) -> None:
        self.say("It could not be computed.")
        self.show_keys(running=False)
        self.told.emit(trouble)

    def can(self) -> Mapping[str, bool]:
        """Which keys can be pressed, but for *Stop*."""
        return {}

    def show_keys(self, *, running: bool) -> None:
        """Show which keys can be pressed now."""
        can = {**self.can(), STOP: running}
        for word, key in self.keys.items():
            key.show_face(word_face(word, size=16).allowed(can=can[word]))

    def say(self, words: str) -> None:
        """Say at the foot what is shown, or what happened."""
        self.said = words
        self.setAccessibleName(f"{self.title}. {words}")
        if self.skin.text > 1:
            self.lay_out()
        self.update()

    # what stands in the place of the content

    def ask(self, question: Question) -> None:
        """Ask in the place of the content."""
        self.panel.ask(question)
        self.area.hide()
        self.notes_area.hide()
        self.panel_area.show()
        self.lay_out()

    def show_blocks(self, blocks: Sequence[Block]) -> None:
        """Show notes in the place of the content, or the content again where they stand."""
        if self.notes_area.isVisible():
            self.back()
            return
        self.notes.show_blocks(list(blocks))
        self.area.hide()
        self.panel_area.hide()
        self.notes_area.show()
        self.lay_out()

    def back(self) -> None:
        """Back to the content."""
        self.panel.asked = None
        self.panel_area.hide()
        self.notes_area.hide()
        self.area.show()
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.lay_out()

    # files

    def save_picture(self) -> None:
        """The content as it is, as a picture."""
        chosen = self.where("Save the picture", f"{self.title.lower()}.png")
        if not chosen:
            return
        if self.content.grab().save(chosen):
            self.say(f"Saved: {chosen}")
        else:
            self.told.emit(
                BadInput("The picture could not be written.", where=chosen, remedy=ELSEWHERE)
            )

    def where(self, title: str, name: str) -> str:
        """Ask for a place to save at; "" where none was chosen."""
        chosen, _ = QFileDialog.getSaveFileName(self, title, name)
        return chosen

    def write(self, *files: tuple[Path, bytes]) -> None:
        """Write files whole, and say so; what cannot be written is told."""

        def deed() -> None:
            for path, data in files:
                write_whole(path, data)
            self.say(f"Saved: {', '.join(str(path) for path, _ in files)}")

        self.attempt(deed)

    def attempt(self, deed: Callable[[], None]) -> None:
        """Do what may be refused by the disk; a trouble is told."""
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
        """Place the content and the keys below it."""
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
        wide = (self.width() - 2 * pad + px(8)) // len(self.keys) if enlarged else px(KEY_PX)
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
            self.back()
            return
        super().keyPressEvent(event)


def table_bytes(rows: Sequence[Sequence[str]]) -> bytes:
    """A table as it is written for other programs: RFC 4180, UTF-8.

    Cells that a spreadsheet would take for a formula get a mark before them.
    """
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows([_guarded(row) for row in rows])
    return out.getvalue().encode("utf-8")


def _guarded(row: Sequence[str]) -> list[str]:
    return [f"'{cell}" if cell[:1] in "=+@\t" and cell else cell for cell in row]
