"""The one painter of the cells and labels of the Grid."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush

from observe.desk.live.grid.cells import OTHER_FORM, Cell, Place
from observe.desk.live.grid.rows import GridRow, Run
from observe.desk.paint import BOTTOM, CENTRE, LEFT, MIDDLE, RIGHT, Pen, Style, fit
from observe.look.marks import MarkLook, mark_shapes, rod_mark_shapes
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import FRONT_WIDTH, RING_WIDTH, Token, Weight

NARROW = 104
"""px of the density under which a cell has its mark above its time, and no word."""
CHOSEN_WIDTH = 4
"""px of the frame round the cell that is repaired."""
THIN_MARK = 38
LATE_LINE = 15
"""px of the line that says when a late mark was entered."""


@dataclass(frozen=True, slots=True)
class Dress:
    """How a cell is worn: open in the lens, under repair, with the keyboard, under the pointer.

    locked: it cannot be changed now. last: the last row of a phase.
    """

    open: bool = False
    chosen: bool = False
    focus: bool = False
    lit: bool = False
    locked: bool = False
    last: bool = False


def paint_cell(pen: Pen, box: QRectF, cell: Cell, dress: Dress) -> None:
    """One step of one learner, thin or open."""
    _paint_ground(pen, box, cell, dress)
    if cell.place is Place.MISSING:
        _paint_missing(pen, box, cell, dress)
    elif not dress.open:
        _paint_thin(pen, box, cell)
    elif box.width() < pen.skin.px(NARROW):
        _paint_narrow(pen, box, cell)
    else:
        _paint_wide(pen, box, cell)
    if dress.chosen:
        pen.frame(box, Token.INK, CHOSEN_WIDTH)
    if dress.focus:
        reach = CHOSEN_WIDTH if dress.chosen else 1
        pen.frame(box.adjusted(reach, reach, -reach, -reach), Token.ACT, RING_WIDTH)


def _paint_ground(pen: Pen, box: QRectF, cell: Cell, dress: Dress) -> None:
    usable = dress.open and not dress.locked and cell.place is not Place.MISSING
    ground = Token.WELL if usable else Token.SHEET
    pen.fill(box, Token.ACTBG if dress.lit and usable else ground)
    pen.fill(QRectF(box.right() - 1, box.y(), 1, box.height()), Token.RULE)
    if dress.open or dress.last:
        below = Token.RULE if dress.open else Token.LINE
        pen.fill(QRectF(box.x(), box.bottom() - 1, box.width(), 1), below)


def _paint_missing(pen: Pen, box: QRectF, cell: Cell, dress: Dress) -> None:
    inner = box.adjusted(0, 0, -1, -1)
    if cell.word == OTHER_FORM and not dress.open:
        pen.fill(inner, Token.GROUND)
        return
    if dress.open:
        inner.setWidth(pen.skin.px(7))
    brush = QBrush(pen.skin.colour(Token.LINE), Qt.BrushStyle.BDiagPattern)
    pen.painter.fillRect(inner, brush)
    if dress.open:
        px = pen.skin.px
        place = box.adjusted(px(10), px(3), -px(3), -px(3))
        pen.text(place, cell.word, Style(14, ink=Token.INK2, least=11, down=MIDDLE))


def _paint_thin(pen: Pen, box: QRectF, cell: Cell) -> None:
    wide = min(pen.skin.px(THIN_MARK), box.width() - 2 * pen.skin.px(7))
    between = 2 if box.height() < pen.skin.px(10) else 3
    high = max(2.0, min(box.height() - between, pen.skin.px(16)))
    x = round(box.center().x() - wide / 2)
    y = round(box.center().y() - high / 2)
    if cell.look is MarkLook.NOT_SEEN:
        side = max(high, pen.skin.px(16))
        pen.shapes(mark_shapes(cell.look, side), round(x + (wide - side) / 2), y + high - side)
    elif cell.look is not MarkLook.AHEAD:
        pen.shapes(rod_mark_shapes(cell.look, wide, high), x, y)
    if cell.place is Place.NOW and cell.look is MarkLook.AHEAD:
        pen.fill(QRectF(x - 1, y, wide + 2, high), Token.ACT)
    elif cell.place is not Place.USUAL:
        pen.frame(QRectF(x - 3, y - 1, wide + 6, high + 2), Token.ACT, 1.5)
    if cell.flags:
        side = min(high + 1, pen.skin.px(14))
        pen.shapes(sign_shapes(cell.flags[-1], side), x + wide + pen.skin.px(4), y)


def _paint_wide(pen: Pen, box: QRectF, cell: Cell) -> None:
    px = pen.skin.px
    if _paint_place(pen, box, cell):
        return
    side, left = px(22), px(14)
    area = _under_signs(pen, box, cell)
    if cell.look is MarkLook.AHEAD:
        return
    area = _above_entered(pen, area, cell, px(35), indent=left + side + px(8))
    pen.shapes(mark_shapes(cell.look, side), box.x() + left, round(area.center().y() - side / 2))
    x = box.x() + left + side + px(8)
    place = QRectF(x, area.y(), box.right() - px(4) - x, area.height())
    _paint_words(pen, place, cell)


def _paint_words(pen: Pen, place: QRectF, cell: Cell) -> None:
    px = pen.skin.px
    line = px(18) if cell.time else 0
    word_style = Style(14.5, ink=Token.INK, least=11)
    word = fit(pen.skin, cell.word, place.width(), place.height() - line, word_style)
    top = place.y() + (place.height() - word.height - line) / 2
    above = QRectF(place.x(), top, place.width(), word.height)
    pen.text(above, cell.word, word_style)
    if cell.time:
        below = QRectF(place.x(), top + word.height, place.width(), line)
        pen.text(below, cell.time, Style(14, ink=Token.INK2, least=11, down=MIDDLE))


def _above_entered(
    pen: Pen, area: QRectF, cell: Cell, needed: float, *, indent: float = 0
) -> QRectF:
    """Paint when a late mark was entered, if there is room; the part of the cell above it.

    needed: px of height of all else; indent: px to the left of its words, where it stands
    below them if it can. Where there is no room the strip says it.
    """
    px, line = pen.skin.px, pen.skin.px(LATE_LINE)
    if not cell.entered or area.height() - line < needed:
        return area
    foot = QRectF(area.x() + px(3), area.bottom() - line, area.width() - px(6), line)
    below = foot.adjusted(indent - px(3), 0, 0, 0)
    for place, across in ((below, LEFT), (foot, CENTRE)):
        style = Style(13, ink=Token.INK2, least=12, across=across, down=MIDDLE)
        if fit(pen.skin, cell.entered, place.width(), line, style).fits and (indent or across):
            pen.text(place, cell.entered, style)
            return area.adjusted(0, 0, 0, -line)
    return area


def _paint_narrow(pen: Pen, box: QRectF, cell: Cell) -> None:
    px = pen.skin.px
    if _paint_place(pen, box, cell) or cell.look is MarkLook.AHEAD:
        _paint_signs(pen, box, cell)
        return
    area = _under_signs(pen, box, cell)
    side, line = px(22), px(17) if cell.time else 0
    if cell.flags:
        side = px(18)
    area = _above_entered(pen, area, cell, side + line)
    top = area.center().y() - (side + line + (px(3) if line else 0)) / 2
    pen.shapes(mark_shapes(cell.look, side), round(box.center().x() - side / 2), round(top))
    if cell.time:
        below = QRectF(box.x() + 2, top + side + px(3), box.width() - 4, line)
        pen.text(below, cell.time, Style(14, Weight.REGULAR, Token.INK2, 11, CENTRE, MIDDLE))


def _paint_place(pen: Pen, box: QRectF, cell: Cell) -> bool:
    """The frame of the step in front; True if there is nothing else in the cell."""
    if cell.place is Place.USUAL:
        return False
    px = pen.skin.px
    inner = box.adjusted(px(3), px(3), -px(4), -px(4))
    if cell.place is Place.NOW:
        pen.rounded(inner, Token.ACTBG, 3)
    pen.frame(inner, Token.ACT, 2, corner=3)
    if cell.look is not MarkLook.AHEAD:
        return False
    _paint_signs(pen, box, cell)
    word = "now" if cell.place is Place.NOW else "waits here"
    pen.text(inner, word, Style(15, Weight.BOLD, Token.ACT, 11, CENTRE, MIDDLE))
    return True


def _under_signs(pen: Pen, box: QRectF, cell: Cell) -> QRectF:
    """Paint the signs at the top of a cell; the part of the cell that is left below them."""
    _paint_signs(pen, box, cell)
    has_signs = cell.flags or cell.claimed or cell.voiced
    return box.adjusted(0, pen.skin.px(22) if has_signs else 0, 0, -pen.skin.px(2))


def _paint_signs(pen: Pen, box: QRectF, cell: Cell) -> None:
    px = pen.skin.px
    side, y = px(17), box.y() + px(6)
    x = box.right() - px(6) - side
    if cell.flags:
        pen.shapes(sign_shapes(cell.flags[-1], side), x, y)
        if len(cell.flags) > 1:
            count = QRectF(x - px(16), y, px(14), side)
            style = Style(14, Weight.BOLD, Token.CRIT, 11, RIGHT, MIDDLE)
            pen.text(count, str(len(cell.flags)), style)
    small, left = px(13), box.x() + px(6)
    for sign, there in ((SignLook.NEEDS_EARLIER, cell.claimed), (SignLook.VOICED, cell.voiced)):
        if there:
            pen.shapes(sign_shapes(sign, small), left, y)
            left += small + px(4)


def paint_label(pen: Pen, box: QRectF, row: GridRow) -> None:
    """The label of an open row: number, what is done, and what it counts."""
    px, hand = pen.skin.px, pen.skin.is_hand
    pen.fill(box, Token.WELL)
    pen.fill(QRectF(box.x(), box.bottom() - 1, box.width(), 1), Token.RULE)
    inner = box.adjusted(px(12), px(5), -px(8), -px(4))
    number = QRectF(inner.x(), inner.y(), px(32), px(22))
    pen.text(number, row.number, Style(17, Weight.BLACK, Token.INK2, 11, down=MIDDLE))
    place = inner.adjusted(px(34), 0, 0, 0)
    size, line = (17 if hand else 16), px(17)
    style = Style(size, Weight.BOLD, least=13, leading=1.1)
    note = Style(14, ink=Token.INK2, least=12, down=BOTTOM)
    above = place.adjusted(0, 0, 0, -line)
    label_fits = fit(pen.skin, row.label, above.width(), above.height(), style).fits
    note_fits = fit(pen.skin, row.note, place.width(), line, note).fits
    if not (label_fits and note_fits):
        pen.text(place, row.label, Style(size, Weight.BOLD, least=11, leading=1.1))
        return
    said = pen.text(above, row.label, style)
    pen.text(
        QRectF(place.x(), place.y() + said.height + 1, place.width(), line),
        row.note,
        Style(14, ink=Token.INK2, least=12, down=MIDDLE),
    )


def paint_run(pen: Pen, box: QRectF, run: Run, *, lit: bool = False) -> None:
    """The label of thin rows: their numbers, and the name of the phase."""
    px = pen.skin.px
    pen.fill(box, Token.ACTBG if lit else Token.SHEET)
    pen.fill(QRectF(box.x(), box.bottom() - 1, box.width(), 1), Token.LINE)
    place = box.adjusted(px(12), 0, -px(6), -1)
    if place.height() < px(11) - 1:
        return
    least = min(13, (place.height() + 1) / (pen.skin.unit * pen.skin.text))
    bold = Style(15, Weight.BOLD, Token.INK2, least, down=MIDDLE)
    numbers = QRectF(place.x(), place.y(), px(56), place.height())
    pen.text(numbers, run.numbers, bold)
    plain = Style(15, ink=Token.INK2, least=min(11, least), down=MIDDLE)
    pen.text(place.adjusted(px(58), 0, 0, 0), run.words, plain, shorter=("",))


def paint_lens(pen: Pen, box: QRectF, *, left: bool, right: bool) -> None:
    """The frame round the open rows, or the part of it that one widget holds."""
    stroke = FRONT_WIDTH
    pen.fill(QRectF(box.x(), box.y(), box.width(), stroke), Token.INK)
    pen.fill(QRectF(box.x(), box.bottom() - stroke, box.width(), stroke), Token.INK)
    if left:
        pen.fill(QRectF(box.x(), box.y(), stroke, box.height()), Token.INK)
    if right:
        pen.fill(QRectF(box.right() - stroke, box.y(), stroke, box.height()), Token.INK)
