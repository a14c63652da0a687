"""Rows of a paper scoring sheet: boxes for a pen in a gloved hand, and lines to write on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from observe.look.shapes import Rect, Shapes
from observe.look.tokens import Token, Weight
from observe.sheets.blocks import (
    Block,
    beside,
    drawn,
    levelled,
    one_line,
    padded,
    paragraph,
    ruled,
    stacked,
)
from observe.sheets.paper_content import PaperCritical, PaperScale, PaperSheet, PaperStep
from observe.sheets.setting import MM
from observe.sheets.typeset import Style, broken, width

BOX = 5.2 * MM
NUMBER_ROOM = 20.0
TIME_ROOM = 44.0
LABEL = Style(8.6, leading=1.15)
NOTE = Style(7.2, ink=Token.INK2, leading=1.18)
HEAD = Style(7, Weight.MEDIUM, Token.INK, leading=1.08)
TITLE = Style(10.6, Weight.BOLD, leading=1.2)

_STROKE = 0.9


@dataclass(frozen=True, slots=True)
class Column:
    """A column of boxes. word: over it; before: room that parts it from the one before."""

    id: str
    word: str
    wide: float
    before: float = 0.0


@dataclass(frozen=True, slots=True)
class Table:
    """Columns of boxes at the right of a page, and after them room for one time or more.

    group: a word over several columns: the word, and the ids of the first and the last.
    """

    columns: tuple[Column, ...]
    room: float
    times: int = 1
    group: tuple[str, str, str] | None = None

    @property
    def places(self) -> tuple[float, ...]:
        """The left edge of each column."""
        x = self.time_places[0] - 6 - sum(one.before + one.wide for one in self.columns)
        found = []
        for one in self.columns:
            x += one.before
            found.append(x)
            x += one.wide
        return tuple(found)

    @property
    def time_places(self) -> tuple[float, ...]:
        """The left edge of each line for a time."""
        return tuple(
            self.room - TIME_ROOM - place * (TIME_ROOM + 5) for place in range(self.times)
        )[::-1]

    def heads(self) -> Block:
        """What a tick in each column means."""
        high = max(len(broken(one.word, HEAD, one.wide)) for one in self.columns) * HEAD.line
        parts = [
            (x, _centred(one.word, one.wide, high))
            for x, one in zip(self.places, self.columns, strict=True)
        ]
        word = "time" if self.times == 1 else "times"
        parts.append((self.time_places[0], padded(one_line(word, HEAD), top=high - HEAD.line)))
        if self.group is not None:
            parts.append(self._over(*self.group))
        words = beside(parts, self.room)
        return stacked((padded(words, top=2), ruled(self.room, 1.2, Token.INK)), gap=2)

    def _over(self, word: str, first: str, last: str) -> tuple[float, Block]:
        ids = [one.id for one in self.columns]
        left = self.places[ids.index(first)]
        right = self.places[ids.index(last)] + self.columns[ids.index(last)].wide
        block = one_line(word, HEAD)
        return ((left + right - block.width) / 2, block)

    def row(self, ids: Sequence[str], words: Sequence[tuple[float, Block]], pad: float) -> Block:
        """A row with words at its left, a box in the columns named, and lines for times."""
        parts = list(words)
        for x, one in zip(self.places, self.columns, strict=True):
            if one.id in ids:
                parts.append((x + (one.wide - BOX) / 2, box()))
        parts.extend((x, line_to_write(TIME_ROOM)) for x in self.time_places)
        row = padded(levelled(parts, self.room), top=pad, bottom=pad)
        return stacked((row, ruled(self.room)))


_OUTCOMES = (
    Column("done", "done", 22),
    Column("incorrect", "incorrect", 34),
    Column("not done", "not done", 24),
)
_PROMPTS = tuple(Column(f"{level}", f"{level}", 19.5, 7.0 * (level == 1)) for level in range(1, 5))
_VOICED = Column("voiced", "said only", 22, 7)
_NOT_APPLICABLE = Column("not applicable", "n/a", 20, 3)
_NOT_ARISEN = Column("did not arise", "did not arise", 25, 3)


def box() -> Block:
    """An empty box for a tick."""
    return drawn(_frame(BOX, BOX), BOX, BOX)


def _frame(wide: float, high: float) -> Shapes:
    """Four strokes round the bare paper, on which any pen is seen."""
    ink = Token.INK2
    return (
        Rect(0, 0, wide, _STROKE, ink),
        Rect(0, high - _STROKE, wide, _STROKE, ink),
        Rect(0, _STROKE, _STROKE, high - 2 * _STROKE, ink),
        Rect(wide - _STROKE, _STROKE, _STROKE, high - 2 * _STROKE, ink),
    )


def line_to_write(wide: float, high: float = BOX) -> Block:
    """A line at the foot of room for a pen."""
    return Block(wide, high, (Rect(0, high - 0.7, wide, 0.7, Token.LINE),))


def step_table(sheet: PaperSheet, room: float) -> Table:
    """The columns that some step of the sheet has a box in."""
    found = [*_OUTCOMES, *_PROMPTS]
    if any(step.voiced for step in sheet.steps):
        found.append(_VOICED)
    if any(step.not_applicable for step in sheet.steps):
        found.append(_NOT_APPLICABLE)
    if any(step.may_not_arise for step in sheet.steps):
        found.append(_NOT_ARISEN)
    return Table(tuple(found), room, group=("prompt", "1", "4"))


def critical_table(sheet: PaperSheet, room: float) -> Table:
    """Watched, then each verdict that some critical item of the sheet can have."""
    words = dict.fromkeys(word for item in sheet.criticals for word in item.verdicts)
    longest = sorted(words, key=lambda word: _VERDICT_ORDER.get(word, len(_VERDICT_ORDER)))
    columns = [Column("watched", "watched", 34), *(Column(one, one, 46, 4) for one in longest)]
    return Table(tuple(columns), room, times=3)


_VERDICT_ORDER = {"fatal": 0, "counted": 1, "noticed and put right": 2, "stopped by a hand": 3}


def _centred(word: str, wide: float, high: float) -> Block:
    """Words in the middle of a column, standing on the foot of the heads."""
    lines = [one_line(line, HEAD) for line in broken(word, HEAD, wide)]
    drop = high - len(lines) * HEAD.line
    return padded(stacked([_middled(line, wide) for line in lines]), top=drop)


def _middled(block: Block, wide: float) -> Block:
    return padded(block, left=(wide - block.width) / 2, right=(wide - block.width) / 2)


def phase_title(label: str, room: float) -> Block:
    """The name of a phase, over its steps."""
    title = paragraph(label, Style(8, Weight.BOLD, leading=1.15), room - 8)
    return padded(title, left=3, right=5, top=0.6, bottom=0.6, fill=Token.PANEL)


def step_row(step: PaperStep, table: Table, pad: float) -> Block:
    """Number, sentence, a box for each mark the step may get, and a line for the time."""
    given = {
        "voiced": step.voiced,
        "not applicable": step.not_applicable,
        "did not arise": step.may_not_arise,
    }
    ids = [one.id for one in table.columns if given.get(one.id, True)]
    label_room = table.places[0] - NUMBER_ROOM - 6
    number = one_line(f"{step.number}", Style(9.4, Weight.BOLD, leading=1.15))
    words = labelled(step.label, step.note, LABEL, label_room)
    return table.row(ids, ((2.0, number), (NUMBER_ROOM, words)), pad)


def labelled(label: str, note: str, style: Style, room: float) -> Block:
    """A label with its note behind it where both fit one line, else below."""
    beyond = width(label, style) + 7
    if note and beyond + width(note, NOTE) <= room:
        drop = (style.line - NOTE.line) / 2 + 0.4
        after = padded(one_line(note, NOTE), top=drop)
        return beside(((0, one_line(label, style)), (beyond, after)), room)
    return stacked((paragraph(label, style, room), paragraph(note, NOTE, room)))


def critical_row(item: PaperCritical, table: Table, pad: float) -> Block:
    """A critical item: whether it was watched for, what happened, and when, up to three times."""
    words = labelled(item.label, item.note, LABEL.bold(), table.places[0] - 8)
    return table.row(("watched", *item.verdicts), ((2.0, words),), pad)


def choice(word: str, room: float, anchor: str = "", style: Style = LABEL) -> Block:
    """A box with its word, and an anchor below the word."""
    words = stacked(
        (
            paragraph(word, style, room - BOX - 4),
            paragraph(anchor, NOTE, room - BOX - 4),
        )
    )
    if not anchor:
        return levelled(((0, box()), (BOX + 4, words)), room)
    return beside(((0, box()), (BOX + 4, padded(words, top=(BOX - style.line) / 2))), room)


def scale_row(scale: PaperScale, room: float, pad: float) -> Block:
    """A scale on one line: its name, then a box for each grade with its word."""
    label_room = room * 0.19
    each = (room - label_room) / max(1, len(scale.grades))
    named = [f"{value} {word}" for value, word, _ in scale.grades]
    long = any(width(one, LABEL) > each - BOX - 9 for one in named)
    style = NOTE.in_ink(Token.INK) if long else LABEL
    parts: list[tuple[float, Block]] = [(2.0, paragraph(scale.label, LABEL.bold(), label_room - 8))]
    for place, one in enumerate(named):
        parts.append((label_room + place * each, choice(one, each - 5, style=style)))
    return stacked((padded(levelled(parts, room), top=pad, bottom=pad), ruled(room)))


def anchored_scale(scale: PaperScale, room: float) -> Block:
    """The overall grade: every grade with its word and what it means, side by side."""
    each = room / max(1, len(scale.grades))
    parts = [
        (place * each, choice(f"{value} {word}", each - 5, anchor))
        for place, (value, word, anchor) in enumerate(scale.grades)
    ]
    return stacked((paragraph(scale.label, TITLE, room), beside(parts, room)), gap=2)
