"""The decision and the lines of the rule that made it."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.debrief.shown import LINE_LOOKS, Shown, lines_shown
from observe.desk.keys import Face, Key, Row, word_face
from observe.desk.live.seat import local_time
from observe.desk.paint import MIDDLE, TOP, Pen, Style
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.domain.decision import Line, Standing
from observe.domain.words import counted
from observe.look.marks import DecisionLook, LineLook, decision_shapes, line_shapes
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight

SAID = Style(17, least=12, leading=LINE_HEIGHT_READING)
LINE_TITLE = Style(16, Weight.BOLD, least=12, down=MIDDLE)
SENTENCE = Style(16, least=13, down=MIDDLE, leading=1.08)
STRIPES = {
    DecisionLook.PASS: Token.DONE,
    DecisionLook.REMEDIATE: Token.WRONG,
    DecisionLook.UNDECIDED: Token.INK,
    DecisionLook.VOID: Token.LINE,
}


class DecisionPanel(QWidget):
    """Mark and word, one plain sentence, two deeds; at the right the lines, each opens."""

    sign = Signal()
    sheet = Signal()
    rate = Signal()
    opened = Signal(object)

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.shown: Shown | None = None
        self.lines: tuple[Line, ...] = ()
        self.told = ""
        self.rows: list[Row] = []
        self.sign_key, self.sheet_key = Key(skin, self), Key(skin, self)
        self.sign_key.struck.connect(self._press_first)
        self.sheet_key.struck.connect(self.sheet)

    def _press_first(self) -> None:
        if self.shown is not None and self.shown.mine is None:
            self.rate.emit()
        else:
            self.sign.emit()

    def show_decision(self, shown: Shown, told: str, opened: str) -> None:
        """Show a decision. told: what a deed answered; opened: id of the line that is open."""
        self.shown, self.told = shown, told
        self.lines = lines_shown(shown)
        self._show_keys(shown)
        while len(self.rows) < len(self.lines):
            row = Row(self.skin, self)
            row.struck.connect(partial(self._open, len(self.rows)))
            self.rows.append(row)
        for place, row in enumerate(self.rows):
            row.setVisible(place < len(self.lines))
            if place < len(self.lines):
                self._face_line(row, self.lines[place], opened)
        self._lay_out()
        self.update()

    def _show_keys(self, shown: Shown) -> None:
        if shown.mine is None:
            first = word_face("Rate and seal", size=17, weight=Weight.BOLD)
        else:
            words = f"Signed {local_time(shown.signed)}" if shown.signed else "Sign decision"
            first = word_face(words, size=17, weight=Weight.BOLD)
        act = Face(
            first.name,
            first.draw,
            first.content,
            fill=Token.ACT,
            heel=Token.ACT,
            ink=Token.WELL,
            border=Token.ACT,
        )
        self.sign_key.show_face(act.allowed(can=shown.may_rate or shown.may_sign))
        sheet = word_face("See sheet", size=17)
        self.sheet_key.show_face(sheet.allowed(can=shown.may_print))

    def _face_line(self, row: Row, line: Line, opened: str) -> None:
        failed = line.standing is Standing.FAILED
        fill = Token.WRONGBG if failed else Token.KEY
        if line.id == opened:
            fill = Token.ACTBG
        content = (LINE_LOOKS[line.standing], line.title, line.sentence, self._in_numbers(line))
        name = f"{line.title}, {line.standing.value}. {line.sentence}"
        row.show_face(Face(name, paint_line, content, fill=fill))

    def _in_numbers(self, line: Line) -> str:
        """What a line rests on, with the numbers of its steps instead of their names."""
        if not line.steps or self.shown is None or self.shown.mine is None:
            return line.sentence
        numbers = self.shown.mine.observation.numbers
        said = ", ".join(str(numbers[step]) for step in line.steps)
        return f"{line.sentence.split(':', maxsplit=1)[0].rstrip('.')}: steps {said}."

    def _open(self, place: int) -> None:
        self.opened.emit(self.lines[place])

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        px = self.skin.px
        if self.skin.text > 1:
            self._lay_out_enlarged()
            return
        left = round(self.width() * 0.37)
        tall = max(px(56), self.skin.mm(12))
        y = self.height() - tall - px(10)
        first = min(px(166), round((left - px(36)) * 0.56))
        second = min(px(130), left - px(36) - first)
        self.sign_key.setGeometry(px(24), y, first, tall)
        self.sheet_key.setGeometry(px(32) + first, y, second, tall)
        count = max(1, len(self.lines))
        high = min(px(44), (self.height() - px(20)) // count)
        for place, row in enumerate(self.rows):
            row.setGeometry(
                left + px(14), px(10) + place * high, self.width() - left - px(26), high
            )

    # enlarged: the lines below the word and its sentence

    def _lay_out_enlarged(self) -> None:
        grows, px = self.skin.grows, self.skin.px
        y = px(10) + self._word_high(self.width()) + px(8) + self._said_high(self.width()) + px(10)
        first, second, tall = grows(166, 166, 0.6), grows(130, 130, 0.6), self._key_high()
        self.sign_key.setGeometry(px(24), y, first, tall)
        self.sheet_key.setGeometry(px(24) + first + px(8), y, second, tall)
        y += tall + px(10)
        for row, high in zip(self.rows, self._row_heights(self.width()), strict=False):
            row.setGeometry(px(14), y, self.width() - px(26), high)
            y += high

    def _key_high(self) -> int:
        return max(self.skin.grows(56, 56, 0.3), self.skin.mm(12))

    def _word_high(self, width: int) -> int:
        said = self.shown.word if self.shown else ""
        return max(
            self.skin.px(46), height_of(self.skin, said, width - self.skin.px(96), self._word)
        )

    @property
    def _word(self) -> Style:
        return Style(self.skin.density.decision, Weight.BLACK, least=18, down=MIDDLE)

    def _said_high(self, width: int) -> int:
        said = self._said(self.shown) if self.shown else ""
        return height_of(self.skin, said, width - self.skin.px(48), SAID) + 2

    def _row_heights(self, width: int) -> list[int]:
        wide = width - self.skin.px(26) - self.skin.px(46)
        return [
            max(self.skin.mm(12), enlarged_height(self.skin, wide, one.title, one.sentence))
            for one in self.lines
        ]

    def needed(self, width: int) -> int:
        """Px of height in a width; 0 where text is not enlarged and the page divides itself."""
        if self.skin.text == 1:
            return 0
        px = self.skin.px
        above = px(38) + self._word_high(width) + self._said_high(width) + self._key_high()
        return above + sum(self._row_heights(width)) + px(10)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        box = QRectF(self.rect())
        pen.fill(box, Token.WELL)
        pen.frame(box, Token.RULE, 1)
        if self.shown is not None:
            self._paint_word(pen, self.shown)
        painter.end()

    def _paint_word(self, pen: Pen, shown: Shown) -> None:
        px = self.skin.px
        enlarged = self.skin.text > 1
        wide = self.width() - px(48) if enlarged else round(self.width() * 0.37) - px(34)
        x = px(24)
        stripe = STRIPES[shown.look] if shown.look else Token.LINE
        pen.fill(QRectF(0, 0, px(8), self.height()), stripe)
        head = QRectF(x, px(10), wide, self._word_high(self.width()) if enlarged else px(46))
        if shown.look is not None:
            side = px(30)
            y = round(head.center().y() - side / 2)
            pen.shapes(decision_shapes(shown.look, side), x, y)
            head.setLeft(x + side + px(12))
        pen.text(head, shown.word, self._word)
        top = head.bottom() + (px(8) if enlarged else px(4))
        below = QRectF(x, top, wide, self.sign_key.y() - px(4) - top)
        pen.text(below, self._said(shown), SAID)

    def _said(self, shown: Shown) -> str:
        """The plain sentence below the word, and what a deed answered."""
        basis = None if shown.mine is None or shown.is_void else shown.basis
        unwatched = len(basis.decision.unwatched) if basis else 0
        more = f" Not watched: {counted(unwatched, 'critical item')}." if unwatched else ""
        return f"{shown.sentence}{more}" + (f" {self.told}" if self.told else "")


def enlarged_height(skin: Skin, width: float, title: str, sentence: str) -> int:
    """Px of height of a line of the rule with its sentence below its title."""
    below = height_of(skin, sentence, width, SENTENCE)
    return height_of(skin, title, width, LINE_TITLE) + below + skin.px(14)


def paint_line(
    pen: Pen, box: QRectF, ink: Token, look: LineLook, title: str, sentence: str, short: str
) -> None:
    """One line of the rule: its mark, its title, what it rests on."""
    px = pen.skin.px
    side = px(15)
    pen.shapes(line_shapes(look, side), round(box.x() + px(8)), round(box.center().y() - side / 2))
    if pen.skin.text > 1:
        inner = box.adjusted(px(34), px(4), -px(12), -px(4))
        high = height_of(pen.skin, title, inner.width(), LINE_TITLE)
        above = QRectF(inner.x(), inner.y(), inner.width(), high)
        pen.text(above, title, replace(LINE_TITLE, ink=ink))
        pen.text(inner.adjusted(0, high + 2, 0, 0), sentence, replace(SENTENCE, ink=ink, down=TOP))
        return
    name = QRectF(box.x() + px(34), box.y(), px(150), box.height())
    pen.text(name, title, replace(LINE_TITLE, ink=ink))
    rest = QRectF(name.right() + px(8), box.y(), box.right() - name.right() - px(12), box.height())
    pen.text(rest, sentence, replace(SENTENCE, ink=ink), shorter=(short,))
