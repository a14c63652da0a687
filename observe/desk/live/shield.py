"""The shield: one press covers every reading of marks, one press uncovers them (rule P2).

For learners who crowd the tablet. Seats, names, clocks and the keys stay; what was
marked is covered. Whatever shows marks asks `is_up` and listens to `changed`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import cast

from PySide6.QtCore import QObject, Qt, Signal

from observe.desk.deeds import icon_face
from observe.desk.keys import Face
from observe.desk.live.rod_strip import RodReading
from observe.look.marks import MarkLook

COVERED = "covered"
"""What stands in the place of a covered reading."""


class Shield(QObject):
    """Up: readings of marks are covered. One for each model, see `shield_of`."""

    changed = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.up = False

    def turn(self) -> None:
        """Put it up, or let it down."""
        self.up = not self.up
        self.changed.emit()


def shield_of(model: QObject) -> Shield:
    """The shield of a room's model; it belongs to the model and is made when first asked for."""
    found = cast(
        "Shield | None",
        model.findChild(Shield, "", Qt.FindChildOption.FindDirectChildrenOnly),
    )
    return found or Shield(model)


def is_up(model: QObject) -> bool:
    """Whether the readings of marks of a model are covered now."""
    return shield_of(model).up


def heed(model: QObject, refresh: Callable[[], None]) -> None:
    """Call a widget's own `refresh` whenever the shield goes up or down."""
    shield_of(model).changed.connect(refresh)


def covered_rod(shown: RodReading) -> RodReading:
    """A rod as it is before anything was seen: it keeps its steps, and shows none of the marks."""
    steps = tuple(replace(step, look=MarkLook.AHEAD) for step in shown.steps)
    return RodReading(steps, (), None)


def shield_face(*, up: bool) -> Face:
    """The face of the key that turns the shield, for the bar."""
    said = "Shield is up: show marks again" if up else "Shield: cover all marks"
    return replace(icon_face("shield", "Shield", said), chosen=up)
