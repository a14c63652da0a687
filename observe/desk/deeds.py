"""Icons of deeds: strokes, where signs of `observe.look` are solid states.

Drawn in a square with strokes of 12 % of its side, square ends, right angles; the
hook of taking back is the one curve.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import cos, radians, sin
from types import MappingProxyType

from PySide6.QtCore import QRectF

from observe.desk.keys import Face
from observe.desk.paint import CENTRE, MIDDLE, Pen, Style
from observe.look.shapes import Disc, Polygon, Rect, Shapes, band, extent
from observe.look.tokens import Token, Weight


def deed_shapes(deed: str, side: float) -> Shapes:
    """The icon of a deed in (0, 0, side, side)."""
    return _DEEDS[deed](side)


def icon_face(deed: str, word: str, name: str = "") -> Face:
    """A key with an icon over its word. name: for the reader, if it is not the word."""
    return Face(name or word, paint_icon, (deed, word))


def paint_icon(pen: Pen, box: QRectF, ink: Token, deed: str, word: str) -> None:
    """An icon over its word; the word alone where there is no height for both."""
    px = pen.skin.px
    side, tall = pen.skin.sign(24, 17), pen.skin.pick(20, 17)
    if box.height() < side + tall:
        pen.text(
            box, word, Style(pen.skin.density.key_word, Weight.MEDIUM, ink, 12, CENTRE, MIDDLE)
        )
        return
    top = box.center().y() - (side + px(4) + tall) / 2
    centred(pen, deed_shapes(deed, side), box.center().x(), top + side / 2, ink)
    place = QRectF(box.x() + px(2), top + side + px(4), box.width() - px(4), tall)
    pen.text(place, word, Style(pen.skin.density.key_word, Weight.MEDIUM, ink, 12, CENTRE, MIDDLE))


def centred(pen: Pen, shapes: Shapes, x: float, y: float, ink: Token | None = None) -> None:
    """Shapes with the middle of their extent at (x, y)."""
    left, top, right, bottom = extent(shapes)
    pen.shapes(shapes, round(x - (left + right) / 2), round(y - (top + bottom) / 2), ink)


def _hook(side: float, *, back: bool) -> Shapes:
    """An arrow that bends back to where it came from; mirrored for putting back."""
    stroke = side * 0.12
    radius = side * 0.25
    x, y = side * 0.55, side * 0.55
    arc = [(x + radius * cos(radians(a)), y + radius * sin(radians(a))) for a in range(-90, 91, 15)]
    line = [(side * 0.18, y - radius), *arc, (side * 0.3, y + radius)]
    tip = [
        (side * 0.36, y - radius - side * 0.2),
        (side * 0.14, y - radius),
        (side * 0.36, y - radius + side * 0.2),
    ]
    if not back:
        line = [(side - px, py) for px, py in line]
        tip = [(side - px, py) for px, py in tip]
    return (band(line, stroke, Token.INK), band(tip, stroke, Token.INK))


def _take_back(side: float) -> Shapes:
    return _hook(side, back=True)


def _put_back(side: float) -> Shapes:
    return _hook(side, back=False)


def _go_on(side: float) -> Shapes:
    """Past the dots of what was not seen."""
    stroke = side * 0.12
    points = ((side * 0.14, side * 0.14), (side * 0.5, side * 0.5), (side * 0.14, side * 0.86))
    dots = tuple(Disc(side * 0.8, side * y, side * 0.07, Token.INK) for y in (0.25, 0.5, 0.75))
    return (band(points, stroke, Token.INK), *dots)


def _leave(side: float) -> Shapes:
    """An open frame with the way out to the left."""
    s = side * 0.12
    return (
        Rect(side * 0.5, side * 0.1, side * 0.42, s, Token.INK),
        Rect(side * 0.92 - s, side * 0.1, s, side * 0.8, Token.INK),
        Rect(side * 0.5, side * 0.9 - s, side * 0.42, s, Token.INK),
        Rect(side * 0.1, side * 0.5 - s / 2, side * 0.55, s, Token.INK),
        band(
            ((side * 0.32, side * 0.28), (side * 0.1, side * 0.5), (side * 0.32, side * 0.72)),
            s,
            Token.INK,
        ),
    )


def _rate(side: float) -> Shapes:
    """A scale with ticks, and a block that stands on it."""
    s = side * 0.12
    ticks = tuple(
        Rect(side * x - s / 2, side * 0.7, s, side * 0.2, Token.INK)
        for x in (0.1, 0.366, 0.633, 0.9)
    )
    return (
        Rect(side * 0.04, side * 0.7 - s, side * 0.92, s, Token.INK),
        *ticks,
        Rect(side * 0.5, side * 0.16, side * 0.28, side * 0.42, Token.INK),
    )


def _keyboard(side: float) -> Shapes:
    """A key cap with a letter's stroke."""
    s = side * 0.1
    outer = ((side * 0.08, side * 0.14), (side * 0.92, side * 0.14), (side * 0.92, side * 0.86))
    corners = (*outer, (side * 0.08, side * 0.86))
    hole = (
        (side * 0.08 + s, side * 0.14 + s),
        (side * 0.92 - s, side * 0.14 + s),
        (side * 0.92 - s, side * 0.86 - s),
        (side * 0.08 + s, side * 0.86 - s),
    )
    return (
        Polygon(corners, Token.INK, hole=hole),
        Rect(side * 0.3, side * 0.6, side * 0.4, s, Token.INK),
    )


def _half(side: float) -> Shapes:
    """Half dark, half light."""
    s = side * 0.1
    return (
        Rect(side * 0.1, side * 0.1, side * 0.8, s, Token.INK),
        Rect(side * 0.1, side * 0.9 - s, side * 0.8, s, Token.INK),
        Rect(side * 0.9 - s, side * 0.1, s, side * 0.8, Token.INK),
        Rect(side * 0.1, side * 0.1, side * 0.4, side * 0.8, Token.INK),
    )


def _go(side: float) -> Shapes:
    points = ((side * 0.2, side * 0.1), (side * 0.9, side * 0.5), (side * 0.2, side * 0.9))
    return (Polygon(points, Token.INK),)


def _pause(side: float) -> Shapes:
    return (
        Rect(side * 0.2, side * 0.1, side * 0.22, side * 0.8, Token.INK),
        Rect(side * 0.58, side * 0.1, side * 0.22, side * 0.8, Token.INK),
    )


def _seats(side: float) -> Shapes:
    """Seats round the open end of a horseshoe."""
    z = side * 0.22
    places = ((0.04, 0.74), (0.04, 0.39), (0.04, 0.04), (0.39, 0.04))
    right = ((0.74, 0.04), (0.74, 0.39), (0.74, 0.74))
    return tuple(Rect(side * x, side * y, z, z, Token.INK) for x, y in (*places, *right))


def _grid(side: float) -> Shapes:
    """Rows of which one is open."""
    s = side * 0.12
    thin = tuple(Rect(side * 0.04, side * y, side * 0.92, s, Token.INK) for y in (0.06, 0.82))
    cells = tuple(
        Rect(side * x, side * 0.32, side * 0.26, side * 0.36, Token.INK) for x in (0.04, 0.37, 0.7)
    )
    return (*thin, *cells)


def _together(side: float) -> Shapes:
    """Several blocks on one sill."""
    sill = Rect(side * 0.04, side * 0.8, side * 0.92, side * 0.12, Token.INK)
    blocks = tuple(
        Rect(side * x, side * 0.34, side * 0.22, side * 0.36, Token.INK) for x in (0.06, 0.39, 0.72)
    )
    return (sill, *blocks)


def _shield(side: float) -> Shapes:
    """A wall in front of what was written."""
    s = side * 0.12
    lines = tuple(Rect(side * 0.1, side * y, side * 0.3, s, Token.INK) for y in (0.16, 0.44, 0.72))
    return (*lines, Rect(side * 0.52, side * 0.04, side * 0.36, side * 0.92, Token.INK))


def _room(side: float) -> Shapes:
    """Four walls with a door left open."""
    s = side * 0.12
    return (
        Rect(side * 0.06, side * 0.06, side * 0.88, s, Token.INK),
        Rect(side * 0.06, side * 0.06, s, side * 0.88, Token.INK),
        Rect(side * 0.94 - s, side * 0.06, s, side * 0.88, Token.INK),
        Rect(side * 0.06, side * 0.94 - s, side * 0.32, s, Token.INK),
        Rect(side * 0.66, side * 0.94 - s, side * 0.28, s, Token.INK),
    )


def _settings(side: float) -> Shapes:
    """Three rules, each with its own stop."""
    s = side * 0.12
    wide = side * 0.88
    rules = tuple(Rect(side * 0.06, side * y, wide, s, Token.INK) for y in (0.14, 0.44, 0.74))
    stops = tuple(
        Rect(side * x, side * y - s * 0.7, s * 1.6, s * 2.4, Token.INK)
        for x, y in ((0.58, 0.14), (0.2, 0.44), (0.66, 0.74))
    )
    return (*rules, *stops)


def _more(side: float) -> Shapes:
    """A row of three blocks: there is more of this learner."""
    z = side * 0.2
    return tuple(Rect(side * x, side * 0.4, z, z, Token.INK) for x in (0.06, 0.4, 0.74))


def _wipe(side: float) -> Shapes:
    """A path to and fro over a surface."""
    s = side * 0.12
    rows = tuple(Rect(side * 0.1, side * y, side * 0.8, s, Token.INK) for y in (0.1, 0.44, 0.78))
    turns = (
        Rect(side * 0.9 - s, side * 0.1, s, side * 0.46, Token.INK),
        Rect(side * 0.1, side * 0.44, s, side * 0.46, Token.INK),
    )
    return (*rows, *turns)


def _switch(side: float) -> Shapes:
    """Two ways past each other."""
    s = side * 0.12
    there = ((side * 0.64, side * 0.12), (side * 0.86, side * 0.32), (side * 0.64, side * 0.52))
    back = ((side * 0.36, side * 0.48), (side * 0.14, side * 0.68), (side * 0.36, side * 0.88))
    return (
        Rect(side * 0.14, side * 0.32 - s / 2, side * 0.7, s, Token.INK),
        band(there, s, Token.INK),
        Rect(side * 0.16, side * 0.68 - s / 2, side * 0.7, s, Token.INK),
        band(back, s, Token.INK),
    )


_DEEDS: Mapping[str, Callable[[float], Shapes]] = MappingProxyType(
    {
        "take back": _take_back,
        "put back": _put_back,
        "go on": _go_on,
        "leave": _leave,
        "rate": _rate,
        "keys": _keyboard,
        "theme": _half,
        "go": _go,
        "pause": _pause,
        "seats": _seats,
        "grid": _grid,
        "together": _together,
        "shield": _shield,
        "room": _room,
        "more": _more,
        "settings": _settings,
        "wipe": _wipe,
        "switch": _switch,
    }
)
