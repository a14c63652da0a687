"""The table edge: a stretch for each seat that fills with the time since the last look."""

from __future__ import annotations

import math

from PySide6.QtCore import QRectF

from observe.desk.live.layout import Box, Edge
from observe.desk.paint import CENTRE, MIDDLE, Pen, Style, fit
from observe.desk.theme import Skin
from observe.look.tokens import Token, Weight

LAMP_WORD = "look here"
LAMP_PAD = 6
"""px beside the lamp's word."""


def edge_bars(edge: Edge, skin: Skin, *, low: bool) -> tuple[int, int, int]:
    """Thickness of the stretch at the left, top and right of a seat; 0 where it has none."""
    side, top = skin.px(10), skin.px(6 if low else 10)
    return (
        side if edge in (Edge.LEFT, Edge.LEFT_TOP) else 0,
        top if edge in (Edge.LEFT_TOP, Edge.RIGHT_TOP, Edge.TOP, Edge.TOP_FROM_RIGHT) else 0,
        side if edge in (Edge.RIGHT, Edge.RIGHT_TOP) else 0,
    )


def paint_edge(
    pen: Pen, edge: Edge, seat: Box, share: float, *, low: bool, lit: bool = False
) -> None:
    """Paint the stretch of one seat. share: 0 just looked at, 1 long ago.

    The fill runs from the open end of the horseshoe towards its back; a corner
    seat's stretch bends round the corner. lit: the lamp is here; the whole stretch
    has an ink outline and its fill is in lamp colour.
    """
    left, top, right = edge_bars(edge, pen.skin, low=low)
    wide, high = seat.width, seat.height
    upright = left or right
    across = wide - upright
    x = 0 if left else wide - right
    bars = [
        *([QRectF(x, 0, upright, high)] if upright else []),
        *([QRectF(left, 0, across, top)] if top else []),
    ]
    filled = round(((high if upright else 0) + (across if top else 0)) * share)
    up = min(filled, high) if upright else 0
    parts = [QRectF(x, high - up, upright, up)] if up else []
    if top and filled > up:
        from_right = edge in (Edge.RIGHT_TOP, Edge.TOP_FROM_RIGHT)
        begin = left + across - (filled - up) if from_right else left
        parts.append(QRectF(begin, 0, filled - up, top))
    if lit and bars:
        _paint_lit(pen, bars, parts)
        return
    for bar in bars:
        pen.fill(bar, Token.RULE)
    for part in parts:
        pen.fill(part, Token.INK2)


def _paint_lit(pen: Pen, bars: list[QRectF], parts: list[QRectF]) -> None:
    """The stretch with the lamp on it: outline, pale where there is no fill, lamp where there is.

    Bars that meet in a corner become one outline.
    """
    line = 1 if min(min(bar.width(), bar.height()) for bar in bars) <= pen.skin.px(6) else 2
    inside = [bar.adjusted(line, line, -line, -line) for bar in bars]
    if len(bars) == 2:
        upright, top = bars
        inside[1] = top.united(QRectF(upright.x(), 0, upright.width(), top.height()))
        inside[1].adjust(line, line, -line, -line)
    for bar in bars:
        pen.fill(bar, Token.INK)
    for bar in inside:
        pen.fill(bar, Token.LAMPBG)
        for part in parts:
            pen.fill(bar.intersected(part), Token.LAMP)


def paint_lamp(
    pen: Pen,
    box: QRectF,
    since: str,
    size: float,
    *,
    least: float = 12,
    shorter: tuple[str, ...] = (),
) -> float:
    """The lamp's word in one line at the right end of a box; returns the width it takes.

    since: "3:25", left out where there is no room; what it says stands in the reader's
    name too. shorter: what may stand there where even the word has no room.
    """
    px = pen.skin.px
    words = f"{LAMP_WORD} · {since}" if since else LAMP_WORD
    style = Style(size, Weight.BOLD, Token.ONLAMP, least, CENTRE, MIDDLE)
    room = box.width() - 2 * px(LAMP_PAD)
    line = 1.4 * fit(pen.skin, LAMP_WORD, math.inf, math.inf, style).line_height
    said = fit(pen.skin, words, room, min(box.height(), line), style, (LAMP_WORD, *shorter))
    wide = min(box.width(), math.ceil(said.width) + 2 * px(LAMP_PAD))
    chip = QRectF(round(box.right() - wide), round(box.y()), wide, round(box.height()))
    pen.fill(chip, Token.LAMP)
    pen.frame(chip, Token.INK, 1.5)
    high = min(chip.height(), line)
    place = QRectF(chip.x() + px(2), chip.center().y() - high / 2, wide - 2 * px(2), high)
    pen.text(place, words, style, shorter=(LAMP_WORD, *shorter))
    return wide
