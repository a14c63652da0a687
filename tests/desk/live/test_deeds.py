"""Icons of deeds: inside their square, each one its own."""

from __future__ import annotations

import pytest

from observe.desk.live.deeds import _DEEDS, deed_shapes
from observe.look.shapes import extent


@pytest.mark.parametrize("deed", _DEEDS)
def test_an_icon_stays_inside_its_square(deed: str) -> None:
    left, top, right, bottom = extent(deed_shapes(deed, 100))
    assert min(left, top) >= -1
    assert max(right, bottom) <= 101


def test_no_two_deeds_look_the_same() -> None:
    drawn = [deed_shapes(deed, 24) for deed in _DEEDS]
    assert len(set(drawn)) == len(drawn)
