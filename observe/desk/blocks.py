"""A list of blocks: a title, sentences, and keys for what can be done about it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.paint import Pen, Style, fit
from observe.desk.tall import ENDLESS, height_of
from observe.desk.theme import Skin
from observe.look.tokens import LINE_HEIGHT_READING, ROUTINE_TARGET_MM, Token, Weight

TITLE = Style(18, Weight.BOLD, least=15)
SAID = Style(16, ink=Token.INK2, least=14, leading=LINE_HEIGHT_READING)
Act = Callable[[], None]


@dataclass(frozen=True)
class Block:
    """What stands in the list. deeds: a word for each key, and what it does."""

    title: str
    sentences: tuple[str, ...] = ()
    deeds: tuple[tuple[str, Act], ...] = ()


class BlockList(QWidget):
    """Blocks below each other, parted by a line; it needs as much height as they have."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.blocks: Sequence[Block] = ()
        self.keys: list[Key] = []
        self._acts: list[Act] = []

    def show_blocks(self, blocks: Sequence[Block]) -> None:
        """Show some blocks; keys of other ones go."""
        self.blocks = tuple(blocks)
        deeds = [(block.title, word, act) for block in self.blocks for word, act in block.deeds]
        while len(self.keys) < len(deeds):
            key = Key(self.skin, self)
            key.struck.connect(partial(self._do, len(self.keys)))
            self.keys.append(key)
        self._acts = [act for _, _, act in deeds]
        for place, key in enumerate(self.keys):
            key.let_go()
            key.setVisible(place < len(deeds))
            if place < len(deeds):
                title, word, _ = deeds[place]
                key.show_face(word_face(word, size=16))
                key.setAccessibleName(f"{word}: {title}")
        self.setAccessibleName(
            " ".join(f"{block.title}. {' '.join(block.sentences)}" for block in self.blocks)
        )
        self.lay_out()
        self.update()

    def _do(self, place: int) -> None:
        if place < len(self._acts):
            self._acts[place]()

    # geometry

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        return self._placed(width, set_keys=False)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """Place the keys."""
        self._placed(self.width(), set_keys=True)

    def _placed(self, width: int, *, set_keys: bool) -> int:
        px, y = self.skin.px, 0
        keys = iter(self.keys)
        for block in self.blocks:
            y += self._text_height(block, width)
            if block.deeds:
                y = self._place_keys(block, keys, y, width, set_keys=set_keys) + px(6)
            y += px(18)
        return y

    def _text_height(self, block: Block, width: int) -> int:
        px = self.skin.px
        title = height_of(self.skin, block.title, width, TITLE)
        said = sum(height_of(self.skin, one, width, SAID) + px(4) for one in block.sentences)
        return px(10) + title + px(4) + said

    def _place_keys(
        self, block: Block, keys: Iterator[Key], y: int, width: int, *, set_keys: bool
    ) -> int:
        px = self.skin.px
        high, gap, x = max(self.skin.mm(ROUTINE_TARGET_MM), px(40)), px(8), 0
        y += px(8)
        for word, _ in block.deeds:
            words = fit(self.skin, word, ENDLESS, high, Style(16, Weight.MEDIUM))
            wide = min(width, max(self.skin.mm(22), round(words.width) + px(32)))
            if x and x + wide > width:
                x, y = 0, y + high + gap
            key = next(keys)
            if set_keys:
                key.setGeometry(x, y, wide, high)
            x += wide + gap
        return y + high

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        keys, y, width = iter(self.keys), 0, self.width()
        for place, block in enumerate(self.blocks):
            if place:
                pen.fill(QRectF(0, y, width, 1), Token.RULE)
            top = y + px(10)
            high = height_of(self.skin, block.title, width, TITLE)
            pen.text(QRectF(0, top, width, high), block.title, TITLE)
            top += high + px(4)
            for one in block.sentences:
                high = height_of(self.skin, one, width, SAID)
                pen.text(QRectF(0, top, width, high), one, SAID)
                top += high + px(4)
            y += self._text_height(block, width)
            if block.deeds:
                y = self._place_keys(block, keys, y, width, set_keys=False) + px(6)
            y += px(18)
        painter.end()
