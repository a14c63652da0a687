"""The pages of a report: sections in their order, poured down as many pages as they take."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from observe.look.boxes import Axis, Bounds, bounds_shapes
from observe.look.tokens import Token, Weight
from observe.sheets.blocks import (
    NOTHING,
    Block,
    Item,
    Place,
    beside,
    drawn,
    levelled,
    one_line,
    padded,
    paragraph,
    parted,
    ruled,
    seen_of,
    shifted,
    stacked,
    tagged,
)
from observe.sheets.closing import FOOT_MARGIN
from observe.sheets.compose import Page
from observe.sheets.record import code_of
from observe.sheets.report_content import FIELD, Bar, ReportContent, Section, Table
from observe.sheets.setting import MARGIN, SETTINGS, Paper
from observe.sheets.tags import Close, Open, Role, Tag
from observe.sheets.typeset import Style

SETTING = SETTINGS[1]
_TITLE = Style(21, Weight.BOLD, leading=1.15)
_KIND = Style(10, Weight.BOLD, Token.INK2)
_HEAD = Style(8, ink=Token.INK2, leading=1.15)
_CELL = Style(8.6, leading=1.17)
_CODE = Style(6.4, ink=Token.INK2, leading=1.3, code=True)
_TYPED = Style(9, leading=1.15, code=True)
_GAP, _TEXT_GAP, _COLUMN_GAP, _ROW_PAD = 10.0, 4.0, 9.0, 1.6
_LOOSE = 30.0
"""How much wider than its words a column may be, in points."""

_MUCH = 3
"""What is longer than this share of a page may be parted."""

_BAR_WIDE, _BAR_HIGH = 110.0, 9.0
_FIELD_SIDE = 26.0


def compose(content: ReportContent, paper: Paper, digest: str) -> tuple[Page, ...]:
    """The pages of a report. digest: of its record, printed at the foot of each."""
    width, height = paper.size
    room = width - 2 * MARGIN
    foot_high = _foot(content, digest, 9, 9, room).height
    high = height - MARGIN - foot_high - FOOT_MARGIN - _GAP
    bodies = list(_poured(_units(content, room), high))
    pages = []
    for number, body in enumerate(bodies, start=1):
        foot = _foot(content, digest, number, len(bodies), room)
        is_last = number == len(bodies)
        items = (
            *shifted(body.items, MARGIN, MARGIN),
            *shifted(
                _foot_items(foot, is_last=is_last), MARGIN, height - FOOT_MARGIN - foot.height
            ),
        )
        pages.append(Page(width, height, items))
    return tuple(pages)


@dataclass(frozen=True, slots=True)
class _Unit:
    """What comes down a page as one. gap: over it. again: heads to stand over it on a new page."""

    block: Block
    gap: float = _GAP
    again: Block = NOTHING


def _poured(units: Iterable[_Unit], high: float) -> Iterator[Block]:
    """Units down the pages; only what is longer than much of a page is parted."""
    page: list[Block] = []
    for unit in units:
        rest: Block | None = unit.block
        while rest is not None:
            above = (Block(0, unit.gap),) if page else ()
            left = high - stacked((*page, *above)).height
            if rest.height <= left:
                page += [*above, rest]
                break
            upper, lower = parted(rest, left) if rest.height > high / _MUCH else (None, rest)
            if upper is not None:
                page += [*above, upper]
            elif not page:  # Nothing of it fits on a page of its own: it goes on as it is.
                page, lower = [rest], None
            yield stacked(page)
            page, rest = [unit.again] if unit.again.height else [], lower
    if page:
        yield stacked(page)


def _units(content: ReportContent, room: float) -> Iterator[_Unit]:
    yield _Unit(_heading(content, room))
    for section in content.sections:
        yield from _section(section, room)
    yield _Unit(_signature(content, room), 2 * _GAP)


def _heading(content: ReportContent, room: float) -> Block:
    return stacked(
        (
            paragraph("Director's report", _KIND, room, role=Role.P),
            paragraph(content.title, _TITLE, room, role=Role.H1),
            *(paragraph(one, SETTING.body(Token.INK2), room, role=Role.P) for one in content.facts),
            Block(0, 3),
            ruled(room, 1.4, Token.INK),
            paragraph(content.caution, SETTING.entry(), room, role=Role.P),
        ),
        gap=3,
    )


def _section(section: Section, room: float) -> Iterator[_Unit]:
    title = paragraph(section.title, SETTING.heading(), room, role=Role.H2)
    texts = [paragraph(one, SETTING.body(), room, role=Role.P) for one in section.texts]
    first, *rest = texts or [NOTHING]
    yield _Unit(stacked((title, first), gap=3))
    for text in rest:
        yield _Unit(text, _TEXT_GAP)
    for table in section.tables:
        yield from _table(table, room)


# tables


def _table(table: Table, room: float) -> Iterator[_Unit]:
    """The title with heads and first row, then each row; heads stand again on a new page."""
    wides = _wides(table, room)
    wide = sum(wides) + _COLUMN_GAP * (len(wides) - 1)
    wide += _BAR_WIDE + 2 * _COLUMN_GAP if table.bars else 0
    tag = Tag(Role.TABLE)
    heads = _heads(table, wides, wide)
    line = ruled(wide, 0.6, Token.LINE)
    again = stacked((_decoration(heads), line), gap=_ROW_PAD)
    rows = []
    for place, row in enumerate(table.rows):
        bar = table.bars[place] if table.bars else None
        cells = tagged(_row(table, row, bar, wides, wide), tag, Role.ROW)
        rows.append(stacked((cells, ruled(wide, 0.3)), gap=_ROW_PAD))
    title = paragraph(table.title, Style(SETTING.list, Weight.BOLD), room, role=Role.H3)
    top = stacked((title, tagged(heads, tag, Role.ROW), line, *rows[:1]), gap=_ROW_PAD)
    yield _Unit(top)
    for one in rows[1:]:
        yield _Unit(one, _ROW_PAD, again)


def _decoration(block: Block) -> Block:
    """A block that a listener was told before."""
    furniture = Tag(Role.ARTIFACT)
    items = (Open(furniture), *seen_of(block.items), Close(furniture))
    return Block(block.width, block.height, items)


def _wides(table: Table, room: float) -> list[float]:
    """Points of each column; the last one with words gives. Bars have their own behind it."""
    found = []
    for column, head in enumerate(table.heads):
        cells = [one_line(row[column], _CELL).width for row in table.rows]
        found.append(max([one_line(head, _HEAD).width, *cells]))
    last = table.words - 1
    rest = room - sum(found) + found[last] - _COLUMN_GAP * (len(found) - 1)
    if table.bars:
        rest -= _BAR_WIDE + 2 * _COLUMN_GAP
    found[last] = max(70.0, min(rest, found[last] + _LOOSE))
    return found


def _places(table: Table, wides: Sequence[float]) -> Iterator[float]:
    x = 0.0
    for column, wide in enumerate(wides):
        if table.bars and column == table.words:
            x += _BAR_WIDE + 2 * _COLUMN_GAP
        yield x
        x += wide + _COLUMN_GAP


def _bar_at(table: Table, wides: Sequence[float]) -> float:
    return sum(wides[: table.words]) + _COLUMN_GAP * (table.words + 1)


def _heads(table: Table, wides: Sequence[float], room: float) -> Block:
    cells = []
    for column, (x, wide) in enumerate(zip(_places(table, wides), wides, strict=True)):
        right = column >= table.words
        cells.append((x, paragraph(table.heads[column], _HEAD, wide, right=right, role=Role.HEAD)))
    if table.bars:
        cells.append((_bar_at(table, wides), _axis_words(table)))
    return levelled(cells, room)


def _axis_words(table: Table) -> Block:
    axis = _axis(table)
    placed = []
    for tick in table.ticks:
        said = one_line(_thousandths(tick), _HEAD)
        x = axis.place(tick / 1000, _BAR_WIDE) - said.width / 2
        placed.append((min(max(x, 0.0), _BAR_WIDE - said.width), said))
    return tagged(beside(placed, _BAR_WIDE), Role.HEAD)


def _axis(table: Table) -> Axis:
    ticks = tuple(one / 1000 for one in table.ticks)
    return Axis(ticks[0], ticks[-1], ticks)


def _row(
    table: Table, row: Sequence[str], bar: Bar | None, wides: Sequence[float], room: float
) -> Block:
    cells = []
    for column, (x, wide) in enumerate(zip(_places(table, wides), wides, strict=True)):
        right = column >= table.words
        role = Role.HEAD if column == 0 else Role.CELL
        cells.append((x, paragraph(row[column], _CELL, wide, right=right, role=role)))
    if bar is not None and bar.value is not None:
        low, value, high = (one / 1000 for one in (bar.low, bar.value, bar.high))
        shapes = bounds_shapes(
            Bounds(low, high, value), _axis(table), _BAR_WIDE, _BAR_HIGH, head=False
        )
        cells.append((_bar_at(table, wides), drawn(shapes, _BAR_WIDE, _BAR_HIGH)))
    return levelled(cells, room)


def _thousandths(value: int) -> str:
    text = f"{value / 1000:.1f}"
    return (
        text.replace("-0.", "−.").replace("0.", ".")
        if abs(value) < 1000 and value
        else f"{value // 1000}"
    )


# signature and foot


def _signature(content: ReportContent, room: float) -> Block:
    signer = content.signer
    key = (
        f"Signed inside this file with {signer.key} (key {signer.fingerprint[:16]})."
        if signer.fingerprint
        else "Not signed."
    )
    inner = room - _FIELD_SIDE - 14 - 22
    body = stacked(
        (
            paragraph("Made and signed", Style(10.5, Weight.BOLD), inner, role=Role.H2),
            paragraph(f"{signer.name}, {signer.at}", SETTING.entry(), inner, role=Role.P),
            paragraph(key, SETTING.note(), inner, role=Role.P),
        ),
        gap=2,
    )
    form = Tag(Role.FORM, "Report made and signed")
    high = max(body.height, _FIELD_SIDE)
    place: tuple[Item, ...] = (
        Open(form),
        Place(FIELD, 0, (high - _FIELD_SIDE) / 2, _FIELD_SIDE, _FIELD_SIDE),
        Close(form),
    )
    items = (*shifted(body.items, _FIELD_SIDE + 14, (high - body.height) / 2), *place)
    whole = Block(room - 22, high, items)
    return padded(whole, left=11, top=7, right=11, bottom=7, fill=Token.PANEL)


def _foot(content: ReportContent, digest: str, page: int, pages: int, room: float) -> Block:
    style = Style(7.6, ink=Token.INK2, leading=1.22)
    number = one_line(f"{page} of {pages}", style.bold().in_ink(Token.INK), role=Role.P)
    code = one_line(code_of(digest), _TYPED, role=Role.P)
    record = paragraph(f"record {digest}", _CODE, room - 150, role=Role.P)
    right = levelled(((0, code), (code.width + 12, number)), code.width + 12 + number.width)
    said = (
        "Seen on trainers. It says nothing about care of patients, and names no learner and no "
        f"observer. Made with Observe {content.engine}."
    )
    last = beside(((0, record), (room - right.width, right)), room)
    return stacked((ruled(room), paragraph(said, style, room, role=Role.P), last), gap=1.5)


def _foot_items(foot: Block, *, is_last: bool) -> tuple[Item, ...]:
    """A listener is told the foot once, at the end; elsewhere it is page furniture."""
    return foot.items if is_last else _decoration(foot).items
