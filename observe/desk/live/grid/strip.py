"""The strip of repair: what a cell is, and every mark it could have. Never in the way for good."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, word_face
from observe.desk.live import faces
from observe.desk.live.grid.repair import MarkOffer, SeenTime
from observe.desk.live.layout import Box, split_row
from observe.desk.live.well_words import MOST_REASONS
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.domain.marks import Mark
from observe.look.signs import SignLook
from observe.look.tokens import FRONT_WIDTH, ROUTINE_TARGET_MM, Token, Weight

MOST_MARKS, MOST_TIMES = 10, 3
HERE_WORDS = "Is now here"
MOVE_WORDS = "Wrong learner? Move this mark"
MOVING_WORDS = "Press the learner whose mark it is. Esc: it stays."
TITLE = 34
KEY_SHARE = 0.75
"""How much of the growth of the text the height of a key takes part in."""


@dataclass(frozen=True, slots=True)
class StripReading:
    """All that the strip shows.

    title: what the cell is; told: a sentence beside it, a refusal if refused. times:
    at least two, else none are shown. move: empty where there is no mark to move. asked:
    reasons or the question of order, which stand in the place of the marks.
    """

    title: str
    told: str = ""
    refused: bool = False
    marks: tuple[MarkOffer, ...] = ()
    times: tuple[SeenTime, ...] = ()
    time: int = 0
    here: bool = False
    move: str = ""
    asked: tuple[str, ...] = ()
    name: str = ""


class RepairStrip(QWidget):
    """Opens below or above its cell, with an arrow to it. It only says what was pressed."""

    marked = Signal(Mark)
    timed = Signal(int)
    here = Signal()
    moving = Signal()
    answered = Signal(int)

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.shown = StripReading("")
        self.arrow_x, self.above = 0, False
        self.marks = [Key(skin, self) for _ in range(MOST_MARKS)]
        self.times = [Key(skin, self) for _ in range(MOST_TIMES)]
        self.here_key = Key(skin, self)
        self.move_key = Key(skin, self)
        self.answers = [Key(skin, self) for _ in range(MOST_REASONS)]
        for place, key in enumerate(self.marks):
            key.struck.connect(partial(self._mark, place))
        for place, key in enumerate(self.times):
            key.struck.connect(partial(self.timed.emit, place))
        for place, key in enumerate(self.answers):
            key.struck.connect(partial(self.answered.emit, place))
        self.here_key.struck.connect(self.here)
        self.move_key.struck.connect(self.moving)
        self.hide()

    def _mark(self, place: int) -> None:
        self.marked.emit(self.shown.marks[place].mark)

    # showing

    def show_reading(self, shown: StripReading) -> None:
        """Show what can be done with a cell."""
        self.shown = shown
        self.setAccessibleName(f"{shown.name or shown.title} {shown.told}".strip())
        self._face_marks(shown)
        self._face_times(shown)
        self._face_others(shown)
        self.lay_out()
        self.update()

    def _face_marks(self, shown: StripReading) -> None:
        for key, offer in zip(self.marks, shown.marks, strict=False):
            key.show_face(_mark_face(offer))
        for place, key in enumerate(self.marks):
            key.setVisible(place < len(shown.marks))

    def _face_times(self, shown: StripReading) -> None:
        several = len(shown.times) > 1
        for place, key in enumerate(self.times):
            key.setVisible(several and place < len(shown.times))
            if several and place < len(shown.times):
                chosen = place == shown.time
                weight = Weight.BOLD if chosen else Weight.MEDIUM
                face = word_face(shown.times[place].words, weight=weight)
                state = ", chosen" if chosen else ""
                key.show_face(replace(face, chosen=chosen, name=f"{face.name}{state}"))

    def _face_others(self, shown: StripReading) -> None:
        self.here_key.setVisible(shown.here)
        face = word_face(HERE_WORDS, weight=Weight.BOLD)
        self.here_key.show_face(replace(face, heel=Token.ACT))
        self.move_key.setVisible(bool(shown.move))
        self.move_key.show_face(word_face(shown.move))
        for place, key in enumerate(self.answers):
            key.setVisible(place < len(shown.asked))
            if place < len(shown.asked):
                key.show_face(word_face(shown.asked[place]))

    def focus_first(self) -> None:
        """Give the keyboard to the first key that can be pressed."""
        for key in self.offered():
            if key.isEnabled():
                key.setFocus(Qt.FocusReason.TabFocusReason)
                return

    def offered(self) -> Sequence[Key]:
        """Every key that is offered now, in the order of Tab."""
        all_keys = (
            *self.marks,
            *self.answers,
            *self.times,
            self.here_key,
            self.move_key,
        )
        return [key for key in all_keys if not key.isHidden()]

    # geometry

    def height_for(self, width: int) -> int:
        """The height that the keys need at a width."""
        rows = len(self._rows(width))
        px = self.skin.px
        return self._title_height() + rows * (self._high() + px(6)) + (px(7) if rows else px(4))

    def _title_height(self) -> int:
        return self.skin.px(TITLE)

    def _high(self) -> int:
        return max(self.skin.mm(ROUTINE_TARGET_MM), self.skin.grows(66, 48, KEY_SHARE))

    def _rows(self, width: int) -> list[list[tuple[Key, int]]]:
        """Keys and their least widths, in one row if they fit, else in two."""
        px, skin = self.skin.px, self.skin
        routine = skin.mm(ROUTINE_TARGET_MM)
        wide = max(routine, skin.pick(72, 66))
        marks = [(key, wide) for key in self.marks if not key.isHidden()]
        marks += [(key, px(220)) for key in self.answers if not key.isHidden()]
        others = [(key, max(routine, px(92))) for key in self.times if not key.isHidden()]
        others += [(self.here_key, px(100))] if not self.here_key.isHidden() else []
        others += [(self.move_key, px(132))] if not self.move_key.isHidden() else []
        both = marks + others
        needed = sum(one for _, one in both) + len(both) * px(6) + px(20)
        rows = [both] if needed <= width else [marks, others]
        return [row for row in rows if row]

    def lay_out(self) -> None:
        """Place the keys."""
        px = self.skin.px
        y = self._title_height() + px(6)
        for row in self._rows(self.width()):
            area = Box(px(9), y, self.width() - 2 * px(9), self._high())
            boxes = split_row(area, tuple(one for _, one in row), px(6))
            for (key, _), box in zip(row, boxes, strict=True):
                key.setGeometry(box.x, box.y, box.width, box.height)
            y += self._high() + px(6)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.WELL)
        band = QRectF(0, 0, box.width(), self._title_height())
        pen.fill(band, Token.BAND)
        pen.frame(box, Token.BAND, FRONT_WIDTH)
        place = band.adjusted(px(13), 0, -px(10), 0)
        said = pen.text(
            place, self.shown.title, Style(16, Weight.BOLD, Token.ONBAND, 12, down=MIDDLE)
        )
        rest = place.adjusted(said.width + px(10), 0, 0, 0)
        if self.shown.told:
            if self.shown.refused:
                self._paint_refusal(pen, rest)
            else:
                style = Style(15, Weight.REGULAR, Token.ONBAND2, 11, down=MIDDLE)
                pen.text(rest, self.shown.told, style, shorter=("",))
        painter.end()

    def _paint_refusal(self, pen: Pen, rest: QRectF) -> None:
        place = rest.adjusted(0, 3, 0, -3)
        pen.fill(place, Token.WRONGBG)
        inner = place.adjusted(pen.skin.px(8), 0, -pen.skin.px(4), 0)
        pen.text(inner, self.shown.told, Style(15, Weight.BOLD, Token.WRONG, 11, down=MIDDLE))


class Arrow(QWidget):
    """Points from the strip to its cell; presses go through it."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.down = skin, False
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        wide, high = self.width(), self.height()
        tip, base = (high, 0) if self.down else (0, high)
        painter.setBrush(pen.skin.colour(Token.BAND))
        points = [QPointF(0, base), QPointF(wide / 2, tip), QPointF(wide, base)]
        painter.drawPolygon(QPolygonF(points))
        painter.end()


def _mark_face(offer: MarkOffer) -> Face:
    state = "stands now" if offer.chosen else ""
    if offer.mark.voiced:
        face = faces.sign_face(SignLook.VOICED, offer.word, can=offer.can, name=state)
    else:
        face = faces.mark_face(offer.look, offer.word, can=offer.can, name=state)
    said = (
        f"Done after prompt {offer.mark.prompt}, {offer.word}" if offer.mark.prompt else offer.word
    )
    return replace(face, chosen=offer.chosen, name=f"{said}, {state}" if state else said)
