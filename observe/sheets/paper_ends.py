"""The top and the end of a paper scoring sheet: whose it is, how to tick, who signs."""

from __future__ import annotations

from observe.look.tokens import Token, Weight
from observe.sheets.blocks import (
    NOTHING,
    Block,
    beside,
    levelled,
    one_line,
    paragraph,
    ruled,
    stacked,
)
from observe.sheets.paper_content import PaperSheet
from observe.sheets.paper_rows import (
    BOX,
    LABEL,
    NOTE,
    TITLE,
    anchored_scale,
    choice,
    line_to_write,
)
from observe.sheets.typeset import Style, largest

_NAME_SIZES = (20.0, 18.0, 16.0, 14.0, 12.0)
_FIELD = Style(7.2, Weight.MEDIUM, Token.INK2, leading=1.15)

HOW = (
    "Not seen: leave the row blank. Otherwise one tick for the outcome and, with a prompt, one for "
    "its highest level: 1 open question, 2 verbal cue, 3 shown or hand guided, 4 taken over; "
    "beside it A or P if the assistant or a peer prompted. Out of order: write “order” at the time."
)
TYPED = "Typed in later, step by step in this order; the paper is kept."


def heading(sheet: PaperSheet, room: float) -> Block:
    """Learner, occasion and form in the head, then the caution and how to tick."""
    left = room * 0.5
    what = ": ".join(part for part in (sheet.procedure, sheet.variant) if part)
    name = Style(20, Weight.BLACK, leading=1.1)
    if sheet.learner:
        style = largest(sheet.learner, name, _NAME_SIZES, left, lines=2)
        whose = paragraph(sheet.learner, style, left)
    else:
        whose = stacked((paragraph("Learner", _FIELD, left), line_to_write(left, 20)))
    title = stacked((whose, paragraph(what, Style(10, leading=1.2), left)), gap=3)
    fields = _fields(sheet.occasion, room - left - 14)
    top = beside(((0, title), (left + 14, fields)), room)
    return stacked(
        (
            top,
            ruled(room, 1.4, Token.INK),
            paragraph(sheet.caution, NOTE, room),
            paragraph(HOW, NOTE.in_ink(Token.INK), room),
            _left_out(sheet, room),
        ),
        gap=4,
    )


def _fields(fields: tuple[tuple[str, str], ...], room: float) -> Block:
    """Label and value in two columns; a line to write on where the value is not known."""
    half = (room - 10) / 2
    cells = [_field(label, value, half) for label, value in fields]
    rows = [
        beside([(place * (half + 10), cell) for place, cell in enumerate(pair)], room)
        for pair in (cells[at : at + 2] for at in range(0, len(cells), 2))
    ]
    return stacked(rows, gap=3)


def _field(label: str, value: str, room: float) -> Block:
    shown = paragraph(value, LABEL, room) if value else line_to_write(room, 14)
    return stacked((paragraph(label, _FIELD, room), shown))


def _left_out(sheet: PaperSheet, room: float) -> Block:
    if not sheet.left_out:
        return NOTHING
    text = f"Not today, so not on this sheet: {'; '.join(sheet.left_out)}."
    return paragraph(text, NOTE.in_ink(Token.INK), room)


def running(sheet: PaperSheet, room: float) -> Block:
    """The head of further pages: whose they are."""
    name = sheet.learner or "Learner:"
    left = one_line(name, Style(10, Weight.BOLD))
    what = ": ".join(part for part in (sheet.procedure, sheet.variant) if part)
    if left.width > room * 0.5:
        return stacked((paragraph(name, Style(10, Weight.BOLD), room), paragraph(what, NOTE, room)))
    said = paragraph(what, NOTE, room * 0.46, right=True)
    parts: list[tuple[float, Block]] = [(0, left), (room * 0.54, said)]
    if not sheet.learner:
        parts.append((left.width + 6, line_to_write(room * 0.5 - left.width - 6, left.height)))
    return stacked((levelled(parts, room), ruled(room, 1.2, Token.INK)), gap=3)


def foot(sheet: PaperSheet, page: int, pages: int, room: float) -> Block:
    """Form, how it is typed in, and the page."""
    number = one_line(f"page {page} of {pages}", NOTE)
    text = paragraph(f"Form {sheet.form}. {TYPED}", NOTE, room - number.width - 12)
    return beside(((0, text), (room - number.width, number)), room)


def clock_and_stop(room: float) -> Block:
    """Start, end, time-out and the safety stop (rules M4, M6)."""
    start = _written("Start", 64)
    end = _written("End", 64)
    out = choice("time-out: steps not reached count as not done", 240)
    first = levelled(((0, start), (106, end), (206, out)), room)
    stop = _written("Safety stop at", 64)
    act = choice("learner’s act (tick the critical item too)", 132)
    other = choice("trainer, illness or alarm: attempt is void", 136)
    countersigned = _written("countersigned", 60)
    second = levelled(
        ((0, stop), (148, act), (286, other), (room - countersigned.width, countersigned)), room
    )
    return stacked((first, second), gap=4)


def _written(word: str, wide: float) -> Block:
    label = one_line(word, LABEL)
    return levelled(
        ((0, label), (label.width + 6, line_to_write(wide, BOX))), label.width + 6 + wide
    )


def overall(sheet: PaperSheet, room: float) -> Block:
    """The overall grade with its anchors; it comes before anything is reckoned."""
    return anchored_scale(sheet.overall, room)


def words(room: float) -> Block:
    """One strength and one change."""
    half = (room - 14) / 2
    parts = [
        (place * (half + 14), _to_write(title, half))
        for place, title in enumerate(("One strength", "One change"))
    ]
    return beside(parts, room)


def _to_write(title: str, room: float) -> Block:
    lines = (line_to_write(room, 17), line_to_write(room, 18))
    return stacked((paragraph(title, TITLE, room), *lines))


def signatures(room: float) -> Block:
    """Who watched, and who typed it in later, each with date and time."""
    half = (room - 14) / 2
    parts = [
        (place * (half + 14), _signature(title, half))
        for place, title in enumerate(("Watched by", "Typed in by"))
    ]
    return beside(parts, room)


def _signature(title: str, room: float) -> Block:
    gap = 8.0
    thirds = (room * 0.34, room * 0.34, room * 0.32 - 2 * gap)
    labels = ("name", "signature", "date, time")
    x = 0.0
    cells: list[tuple[float, Block]] = []
    for wide, label in zip(thirds, labels, strict=True):
        cells.append((x, stacked((line_to_write(wide, 20), paragraph(label, _FIELD, wide)))))
        x += wide + gap
    return stacked((paragraph(title, LABEL.bold(), room), beside(cells, room)))


def notes(room: float, high: float) -> Block:
    """Lines for notes in what is left of a page; nothing where that is little."""
    apart = 22.0
    count = int((high - 20) // apart)
    if count < 2:
        return NOTHING
    lines = [line_to_write(room, apart) for _ in range(count)]
    return stacked((paragraph("Notes", TITLE, room), *lines))
