"""The table edge fills from the open end of the horseshoe towards its back."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from observe.desk.live.edge import edge_bars, paint_edge, paint_lamp
from observe.desk.live.layout import Box, Edge
from observe.desk.paint import Misfit, Pen
from observe.desk.theme import Skin
from observe.look.tokens import CONTRAST, CONTRAST_DARK, DARK, LIGHT, Theme, Token

SEAT = Box(0, 0, 200, 100)


def painted(
    skin: Skin, edge: Edge, share: float, *, low: bool = False, lit: bool = False
) -> QImage:
    image = QImage(SEAT.width, SEAT.height, QImage.Format.Format_RGB32)
    image.fill(skin.colour(Token.SHEET))
    painter = QPainter(image)
    paint_edge(Pen(painter, skin), edge, SEAT, share, low=low, lit=lit)
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


def ink_at(image: QImage, x: int, y: int) -> str:
    return image.pixelColor(x, y).name()


@pytest.mark.parametrize("low", [False, True])
@pytest.mark.parametrize("edge", [edge for edge in Edge if edge is not Edge.NONE])
def test_the_lit_stretch_is_in_lamp_colour_with_an_outline_of_ink(
    skin: Skin, edge: Edge, low: bool
) -> None:
    """Look: the lamp is faint on a light sheet, so it always has an outline."""
    image = painted(skin, edge, 1, low=low, lit=True)
    left, top, right = edge_bars(edge, skin, low=low)
    x, y = (
        {
            True: (left // 2, 60),
            False: (199 - right // 2, 60),
        }[bool(left)]
        if left or right
        else (60, top // 2)
    )
    assert ink_at(image, x, y) == LIGHT.lamp.lower()
    colours = {ink_at(image, x, y) for x in range(200) for y in range(100)}
    assert LIGHT.ink.lower() in colours
    assert LIGHT.ink2.lower() not in colours


def test_a_stretch_lit_soon_after_a_look_is_outlined_all_the_same(skin: Skin) -> None:
    fresh = painted(skin, Edge.LEFT_TOP, 0, lit=True)
    assert ink_at(fresh, 0, 50) == LIGHT.ink.lower()
    assert ink_at(fresh, 5, 50) == LIGHT.lampbg.lower()
    half = painted(skin, Edge.LEFT_TOP, 0.5, lit=True)
    assert ink_at(half, 5, 50) == LIGHT.lamp.lower()
    assert ink_at(half, 190, 5) == LIGHT.lampbg.lower()


def test_the_corner_of_a_lit_stretch_is_open(skin: Skin) -> None:
    """Two bars that meet are one stretch: no line between them."""
    for edge, x in ((Edge.LEFT_TOP, 10), (Edge.RIGHT_TOP, 189)):
        image = painted(skin, edge, 1, lit=True)
        assert ink_at(image, x, 5) == LIGHT.lamp.lower()


@pytest.mark.parametrize("theme", [LIGHT, DARK, CONTRAST, CONTRAST_DARK])
def test_the_lamps_word_fits_and_gives_up_its_time_where_it_is_narrow(
    skin: Skin, theme: Theme, misfits: list[Misfit]
) -> None:
    skin.theme = theme
    image = QImage(200, 24, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    full = paint_lamp(Pen(painter, skin), QRectF(0, 0, 200, 22), "12:25", 15)
    short = paint_lamp(Pen(painter, skin), QRectF(0, 0, 92, 22), "12:25", 15)
    painter.end()
    assert short < full < 200
    assert misfits == []


def test_one_learner_has_no_stretch_of_the_edge_to_be_lit(skin: Skin) -> None:
    """Look §4: with one seat there is no table edge; the lamp has nothing to light there."""
    assert painted(skin, Edge.NONE, 0.5, lit=True) == painted(skin, Edge.NONE, 0.5)
