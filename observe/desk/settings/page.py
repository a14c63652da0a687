"""The page of the settings: each with a sentence of what it changes, and a seat to see it on.

It shows itself in any size, so it can stand as a page or over the well in Live, where
the seats keep their keys. Nothing waits for it; Esc leaves it.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from observe.desk.keys import Key, word_face
from observe.desk.paint import MIDDLE, Pen, Style, fit
from observe.desk.settings.choices import CHOICES, Choice
from observe.desk.settings.keeper import SettingsKeeper
from observe.desk.settings.sample import SeatSample
from observe.desk.theme import Skin
from observe.domain.troubles import Trouble
from observe.look import tokens
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight

TITLE = "Settings of this machine"
KEPT = "Each holds at once and at the next start."
SLIDER_MM = 9
"""Width of the scroll bar: a finger moves it."""
SAMPLE_MM, LIST_MM = 62, 110
"""Widths that the sample and the list beside it need; else there is no sample."""


class ChoiceGroup(QWidget):
    """One setting: title, sentence, and a key for each option; the chosen one is framed."""

    def __init__(self, skin: Skin, keeper: SettingsKeeper, choice: Choice, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.keeper, self.choice = skin, keeper, choice
        self.keys = [Key(skin, self) for _ in choice.options]
        for key, option in zip(self.keys, choice.options, strict=True):
            key.struck.connect(partial(keeper.choose, **{choice.name: option.value}))
        self.setAccessibleName(f"{choice.title}. {choice.says}")
        self.refresh()

    def refresh(self) -> None:
        """Show which option holds."""
        now = self.choice.chosen(self.keeper.settings)
        for key, option in zip(self.keys, self.choice.options, strict=True):
            chosen = option is now
            weight = Weight.BOLD if chosen else Weight.MEDIUM
            name = f"{self.choice.title}: {option.word}{', chosen' if chosen else ''}"
            face = word_face(option.word, size=16, weight=weight)
            key.show_face(replace(face, name=name, chosen=chosen))
        self.update()

    # geometry

    def _style(self) -> Style:
        return Style(15, ink=Token.INK2, least=14, leading=LINE_HEIGHT_READING)

    def _head(self) -> int:
        """Px of title and sentence."""
        said = fit(self.skin, self.choice.says, self.width(), 10_000, self._style())
        return self.skin.px(28) + round(said.height) + self.skin.px(8)

    def lay_out(self, width: int) -> int:
        """Place the keys in a width; the px of height it needs."""
        self.resize(width, self.height())
        high = max(self.skin.mm(tokens.ROUTINE_TARGET_MM), self.skin.px(34))
        gap, y, x = self.skin.px(8), self._head(), 0
        for key, option in zip(self.keys, self.choice.options, strict=True):
            words = fit(self.skin, option.word, 10_000, high, Style(16, Weight.BOLD))
            wide = min(width, max(self.skin.mm(20), round(words.width) + 4 * gap))
            if x and x + wide > width:
                x, y = 0, y + high + gap
            key.setGeometry(x, y, wide, high)
            x += wide + gap
        return y + high + self.skin.px(12)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        title = QRectF(0, 0, self.width(), px(28))
        pen.text(title, self.choice.title, Style(18, Weight.BOLD, least=15, down=MIDDLE))
        place = QRectF(0, px(28), self.width(), self._head() - px(34))
        pen.text(place, self.choice.says, self._style())
        painter.end()


class SettingsPage(QWidget):
    """All settings in one list, and a seat in them where there is room beside it."""

    left = Signal()

    def __init__(self, skin: Skin, keeper: SettingsKeeper, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.skin, self.keeper = skin, keeper
        self.trouble: Trouble | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.back_key = Key(skin, self, replace(word_face("Back", size=16), heel=Token.ACT))
        self.back_key.struck.connect(self.left)
        self.area = QScrollArea(self)
        self.area.setFrameShape(QScrollArea.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.viewport().setAutoFillBackground(False)
        self.list = QWidget()
        self.area.setWidget(self.list)
        self.list.setAutoFillBackground(False)
        self.groups = [ChoiceGroup(skin, keeper, choice, self.list) for choice in CHOICES]
        self.sample = SeatSample(skin, self)
        for group in self.groups:
            for key in group.keys:
                key.focused.connect(partial(self._show_key, key))
        self.setAccessibleName(f"{TITLE}. {KEPT}")
        keeper.changed.connect(self.refresh)
        keeper.told.connect(self._tell)
        skin.changed.connect(self.lay_out)

    def refresh(self) -> None:
        """Show what holds now."""
        for group in self.groups:
            group.refresh()
        self.lay_out()

    def _tell(self, trouble: Trouble | None) -> None:
        self.trouble = trouble
        self.lay_out()

    def _show_key(self, key: Key) -> None:
        self.area.ensureWidgetVisible(key, 0, self.skin.px(20))

    # geometry

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def _top(self) -> int:
        return max(self.skin.px(56), self.skin.mm(tokens.ROUTINE_TARGET_MM) + self.skin.px(12))

    def _said(self) -> str:
        return f"{self.trouble.what} {self.trouble.remedy}" if self.trouble else KEPT

    def _style(self) -> Style:
        if self.trouble is not None:
            return Style(15, Weight.BOLD, Token.WRONG, 13)
        return Style(15, ink=Token.INK2, least=13)

    def _note(self) -> int:
        """Px of the sentence below the title."""
        wide = max(1, self.width() - 2 * self.skin.px(12))
        said = fit(self.skin, self._said(), wide, 10_000, self._style())
        return round(said.height) + self.skin.px(8)

    def lay_out(self) -> None:
        """Place everything for the size and the settings."""
        px, top = self.skin.px, self._top()
        pad = px(12)
        wide = max(self.skin.mm(22), self.skin.px(80))
        self.back_key.setGeometry(self.width() - wide - px(6), px(6), wide, top - px(12))
        head = top + self._note()
        sample = max(self.skin.mm(SAMPLE_MM), self.skin.px(300))
        shown = self.width() >= sample + max(self.skin.mm(LIST_MM), px(420))
        listed = self.width() - 2 * pad - (sample + 2 * pad if shown else 0)
        self.sample.setVisible(shown)
        self.sample.resize(sample, 1)
        self.sample.setGeometry(
            self.width() - pad - sample, head, sample, min(self.sample.high(), self.height() - head)
        )
        self.area.setGeometry(pad, head, listed, max(1, self.height() - head))
        slider = self.area.verticalScrollBar()
        slider.setFixedWidth(self.skin.mm(SLIDER_MM))
        bar = slider.width() + px(8)
        y = 0
        for group in self.groups:
            high = group.lay_out(max(1, listed - bar))
            group.setGeometry(0, y, max(1, listed - bar), high)
            y += high + px(12)
        self.list.resize(max(1, listed - bar), y)
        self.update()

    # painting and keyboard

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.LINE, 1)
        title = QRectF(px(12), 0, self.back_key.x() - px(24), self._top())
        pen.text(title, TITLE, Style(22, Weight.BOLD, least=16, down=MIDDLE))
        note = QRectF(px(12), self._top(), self.width() - 2 * px(12), self._note() - px(8))
        pen.text(note, self._said(), self._style())
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
            return
        super().keyPressEvent(event)
