"""The rod on the screen: what was done, with how much help, and what nobody saw."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key
from observe.desk.live import reading
from observe.desk.paint import Pen
from observe.desk.theme import Skin
from observe.domain.observation import Observation
from observe.look.rod import Rod, RodStep, now_shapes, pennants, rod
from observe.look.signs import SignLook
from observe.look.tokens import Token


@dataclass(frozen=True, slots=True)
class RodReading:
    """All that a rod shows. at: the step in front, None when past the last one."""

    steps: tuple[RodStep, ...]
    flags: tuple[tuple[int, SignLook], ...]
    at: int | None


def rod_reading(observation: Observation) -> RodReading:
    """What the rod of an observation shows."""
    ids = [step.id for step in observation.steps]
    at = observation.board.at
    return RodReading(
        reading.rod_of(observation),
        reading.flags_of(observation),
        ids.index(at) if at in ids else None,
    )


@lru_cache(maxsize=256)
def laid_out(steps: tuple[RodStep, ...], width: int, height: int) -> Rod:
    """A rod on whole px; the same steps are laid out once."""
    return rod(steps, width, height, phase_gap=max(2, height / 4), whole=True)


def paint_rod(pen: Pen, shown: RodReading, x: float, y: float, width: int, height: int) -> None:
    """Paint a rod with its sill at y + height, pennants above and the now triangle below."""
    if not shown.steps:
        return
    drawn = laid_out(shown.steps, width, height)
    pen.shapes(drawn.shapes, x, y)
    if shown.flags:
        pen.shapes(pennants(drawn, shown.flags, pen.skin.sign(13, 13)), x, y - pen.skin.px(1))
    if shown.at is not None:
        pen.shapes(now_shapes(drawn, shown.at, pen.skin.px(7)), x, y)


class RodKey(Key):
    """The rod of the well: press a block to say that the learner is there now."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(skin, parent)
        self._shown = RodReading((), (), None)
        self._rod_height = 1
        self._above = 0
        self._side = 0

    def lay_out(self, above: int, rod_height: int, side: int) -> None:
        """Room above the rod for pennants, its height, and the margin at both sides."""
        self._above, self._rod_height, self._side = above, rod_height, side

    def show_rod(self, shown: RodReading, name: str, *, can: bool) -> None:
        """Show a rod; repaints only if it differs."""
        if shown != self._shown:
            self._shown = shown
            self.update()
        self.show_face(Face(name, can=can))

    def pressed_place(self) -> int | None:
        """Index of the step that was pressed last."""
        drawn = laid_out(self._shown.steps, self.width() - 2 * self._side, self._rod_height)
        return drawn.at(self.at.x() - self._side)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        if self.isDown() or (self.underMouse() and self.isEnabled()):
            pen.fill(QRectF(self.rect()), Token.ACTBG)
        wide = self.width() - 2 * self._side
        paint_rod(pen, self._shown, self._side, self._above, wide, self._rod_height)
        painter.end()
