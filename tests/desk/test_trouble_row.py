"""A trouble in the frame: what happened, what can be done."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.desk.trouble_row import TroubleRow
from observe.domain.troubles import Surroundings
from tests.desk.people import painted

FULL = Surroundings("This disk is full.", where="logbook.observe", remedy="Free some space.")


def test_it_says_what_where_and_what_to_do(
    skin: Skin, parent: QWidget, misfits: list[Misfit]
) -> None:
    done: list[str] = []
    row = TroubleRow(skin, parent)
    row.resize(1200, 82)
    row.tell(FULL, [("Try again", lambda: done.append("again"))])
    painted(parent, 1200, 82)
    assert row.accessibleName() == "logbook.observe: This disk is full. Free some space."
    assert [key.isVisible() for key in row.keys] == [True, False, False]
    row.keys[0].click()
    assert done == ["again"]
    assert misfits == []


def test_it_goes(skin: Skin, parent: QWidget) -> None:
    row = TroubleRow(skin, parent)
    row.tell(FULL)
    row.clear()
    assert row.trouble is None
    assert row.isHidden()
