"""The table edge fills from the open end of the horseshoe towards its back."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QImage, QPainter

from observe.desk.live.edge import edge_bars, paint_edge
from observe.desk.live.layout import Box, Edge
from observe.desk.paint import Pen
from observe.desk.theme import Skin
from observe.look.tokens import LIGHT, Token

SEAT = Box(0, 0, 200, 100)


def painted(skin: Skin, edge: Edge, share: float) -> QImage:
    image = QImage(SEAT.width, SEAT.height, QImage.Format.Format_RGB32)
    image.fill(skin.colour(Token.SHEET))
    painter = QPainter(image)
    paint_edge(Pen(painter, skin), edge, SEAT, share, low=False)
    painter.end()
    return image


def filled(image: QImage, x: int, y: int) -> bool:
    return image.pixelColor(x, y).name() == LIGHT.ink2.lower()


def test_a_side_fills_from_below(skin: Skin) -> None:
    image = painted(skin, Edge.LEFT, 0.5)
    assert filled(image, 2, 98)
    assert not filled(image, 2, 2)


def test_a_corner_bends_round(skin: Skin) -> None:
    half = painted(skin, Edge.LEFT_TOP, 0.5)
    assert filled(half, 2, 2)
    assert filled(half, 30, 2)
    assert not filled(half, 195, 2)
    right = painted(skin, Edge.RIGHT_TOP, 0.5)
    assert filled(right, 197, 2)
    assert filled(right, 170, 2)
    assert not filled(right, 5, 2)


def test_the_right_half_of_the_back_fills_from_the_right(skin: Skin) -> None:
    image = painted(skin, Edge.TOP_FROM_RIGHT, 0.3)
    assert filled(image, 195, 2)
    assert not filled(image, 5, 2)


@pytest.mark.parametrize("edge", [edge for edge in Edge if edge is not Edge.NONE])
def test_just_looked_at_is_empty_and_long_ago_is_full(skin: Skin, edge: Edge) -> None:
    empty, full = painted(skin, edge, 0), painted(skin, edge, 1)
    points = [(x, y) for x in range(0, 200, 7) for y in range(0, 100, 7)]
    assert not any(filled(empty, *point) for point in points)
    assert any(filled(full, *point) for point in points)
    assert any(edge_bars(edge, skin, low=False))


def test_a_seat_without_an_edge_has_none(skin: Skin) -> None:
    assert edge_bars(Edge.NONE, skin, low=False) == (0, 0, 0)
