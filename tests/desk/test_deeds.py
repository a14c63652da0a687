"""Icons of deeds: inside their square, each one its own, always with a word beneath."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.deeds import _DEEDS, deed_shapes, icon_face
from observe.desk.keys import Key
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.look.shapes import extent
from tests.desk.people import painted


@pytest.mark.parametrize("deed", _DEEDS)
def test_an_icon_stays_inside_its_square(deed: str) -> None:
    left, top, right, bottom = extent(deed_shapes(deed, 100))
    assert min(left, top) >= -1
    assert max(right, bottom) <= 101


def test_no_two_deeds_look_the_same() -> None:
    drawn = [deed_shapes(deed, 24) for deed in _DEEDS]
    assert len(set(drawn)) == len(drawn)


@pytest.mark.parametrize("height", [30, 70])
def test_the_word_stands_under_its_icon_or_alone(
    skin: Skin, parent: QWidget, misfits: list[Misfit], height: int
) -> None:
    key = Key(skin, parent, icon_face("take back", "Take back"))
    key.place(0, 0, 100, height)
    painted(parent, 100, height)
    assert key.accessibleName() == "Take back"
    assert misfits == []
