"""The table edge: a stretch for each seat that fills with the time since the last look."""

from __future__ import annotations

from PySide6.QtCore import QRectF

from observe.desk.live.layout import Box, Edge
from observe.desk.paint import Pen
from observe.desk.theme import Skin
from observe.look.tokens import Token


def edge_bars(edge: Edge, skin: Skin, *, low: bool) -> tuple[int, int, int]:
    """Thickness of the stretch at the left, top and right of a seat; 0 where it has none."""
    side, top = skin.px(10), skin.px(6 if low else 10)
    return (
        side if edge in (Edge.LEFT, Edge.LEFT_TOP) else 0,
        top if edge in (Edge.LEFT_TOP, Edge.RIGHT_TOP, Edge.TOP, Edge.TOP_FROM_RIGHT) else 0,
        side if edge in (Edge.RIGHT, Edge.RIGHT_TOP) else 0,
    )


def paint_edge(pen: Pen, edge: Edge, seat: Box, share: float, *, low: bool) -> None:
    """Paint the stretch of one seat. share: 0 just looked at, 1 long ago.

    The fill runs from the open end of the horseshoe towards its back; a corner
    seat's stretch bends round the corner.
    """
    left, top, right = edge_bars(edge, pen.skin, low=low)
    wide, high = seat.width, seat.height
    upright = left or right
    x = 0 if left else wide - right
    length = (high if upright else 0) + (wide - upright if top else 0)
    filled = round(length * share)
    if upright:
        pen.fill(QRectF(x, 0, upright, high), Token.RULE)
        up = min(filled, high)
        pen.fill(QRectF(x, high - up, upright, up), Token.INK2)
        filled -= up
    if top:
        start = left
        across = wide - upright
        pen.fill(QRectF(start, 0, across, top), Token.RULE)
        from_right = edge in (Edge.RIGHT_TOP, Edge.TOP_FROM_RIGHT)
        begin = start + across - filled if from_right else start
        pen.fill(QRectF(begin, 0, filled, top), Token.INK2)
