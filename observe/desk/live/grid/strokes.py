"""What a key of the keyboard does in the Grid, before the page is asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QKeyEvent

from observe.desk.live.grid.repair import PROMPTED, VOICED, step_of
from observe.desk.live.keyboard import Deed, Stroke, stroke_of
from observe.desk.live.model import aside_state
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, NOT_SEEN, Mark

if TYPE_CHECKING:
    from observe.desk.live.grid.view import GridView

_MARK_OF = {
    Deed.DONE: DONE,
    Deed.INCORRECT: INCORRECT,
    Deed.NOT_DONE: NOT_DONE,
    Deed.VOICED: VOICED,
    Deed.UNSEEN: NOT_SEEN,
}


class GridStrokes:
    """Carries out key presses that mean what is open in the Grid.

    While a cell is under repair mark keys mean it, never the step in front. Critical
    always means the learner in front: what is repaired is past, that is now.
    """

    def __init__(self, view: GridView) -> None:
        self.view = view

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key press means; False if it means the page."""
        stroke = stroke_of(event)
        if stroke is None:
            return False
        if stroke.deed is Deed.CRITICAL:
            if not event.isAutoRepeat():
                self.view.keep_critical(self.view.model.front)
            return True
        if self.view.naming.is_open and stroke.deed in (Deed.SEAT, Deed.CLOSE):
            if not event.isAutoRepeat():
                self._name(stroke)
            return True
        return self.view.mender.cell is not None and self._repair(event, stroke)

    def _name(self, stroke: Stroke) -> None:
        if stroke.deed is Deed.CLOSE:
            self.view.naming.leave()
        else:
            self.view.naming.answer(stroke.number)

    def _repair(self, event: QKeyEvent, stroke: Stroke) -> bool:
        """A key while the strip is open."""
        mender = self.view.mender
        if stroke.deed is Deed.CLOSE:
            return mender.leave()
        if event.isAutoRepeat():
            return True
        if stroke.deed is Deed.SEAT and mender.moving:
            model, seats = self.view.model, self.view.grid.seats
            numbers = [model.number(seat) for seat in seats]
            if stroke.number + 1 in numbers:
                mender.move_to(numbers.index(stroke.number + 1))
            return True
        mark = self._mark_of(stroke)
        if mark is not None:
            mender.mark(mark)
        return mark is not None

    def _mark_of(self, stroke: Stroke) -> Mark | None:
        cell = self.view.mender.cell
        if stroke.deed is Deed.PROMPT:
            return PROMPTED[stroke.number - 1]
        if stroke.deed is Deed.ASIDE and cell is not None:
            row, column = cell
            state = self.view.model.state(self.view.grid.seats[column])
            step = step_of(state, self.view.grid.rows[row].step)
            return Mark(aside_state(step)) if step else None
        return _MARK_OF.get(stroke.deed)
