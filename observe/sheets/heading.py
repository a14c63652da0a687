"""The top of the first page: whose sheet, what was decided, and the lines that made it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from observe.look.marks import DECISION_MARK, LINE_MARK, LineLook, MarkLook, mark_shapes
from observe.look.shapes import Rect
from observe.look.signs import SignLook, sign_shapes, tally_shapes
from observe.look.tokens import Token, Weight
from observe.sheets.blocks import (
    NOTHING,
    Block,
    beside,
    bulleted,
    columns,
    drawn,
    figure,
    levelled,
    one_line,
    padded,
    paragraph,
    ruled,
    space,
    stacked,
    tagged,
)
from observe.sheets.content import CriticalNote, Occasion, RuleLine, SheetContent
from observe.sheets.setting import GUTTER, MARGIN, Setting
from observe.sheets.tags import Role, Tag
from observe.sheets.typeset import Style, largest

LINE_WORDS: Mapping[LineLook, str] = MappingProxyType(
    {
        LineLook.MET: "met",
        LineLook.FAILED: "not met",
        LineLook.OPEN: "open",
        LineLook.NOT_ASKED: "not asked",
    }
)
_NAME_SIZES = (23.0, 21.0, 19.0, 17.0, 15.0)
_WORD_SIZES = (25.0, 22.0, 19.0, 17.0)


def band(occasion: Occasion, setting: Setting, page_width: float) -> Block:
    """The dark band over the whole width, with the learner's name."""
    room = page_width - 2 * MARGIN
    left_room, right_room = room * 0.63, room * 0.34
    name = largest(
        occasion.learner,
        Style(23, Weight.BLACK, Token.ONBAND, leading=1.12),
        _NAME_SIZES,
        left_room,
        lines=2,
    )
    what = ", ".join(part for part in (occasion.procedure, _inside(occasion.variant)) if part)
    left = stacked(
        (
            paragraph(occasion.learner, name, left_room, role=Role.H1),
            paragraph(what, Style(setting.text + 1.4, ink=Token.ONBAND2), left_room, role=Role.P),
        ),
        gap=3,
    )
    second = Style(setting.text - 0.4, ink=Token.ONBAND2)
    first = Style(setting.text + 0.6, Weight.MEDIUM, Token.ONBAND)
    right = stacked(
        (
            paragraph(time_of(occasion), first, right_room, right=True, role=Role.P),
            paragraph(
                f"{occasion.ordinal}, {occasion.mode}",
                second,
                right_room,
                right=True,
                role=Role.P,
            ),
            paragraph(occasion.place, second, right_room, right=True, role=Role.P),
        ),
        gap=2,
    )
    inner = levelled(((MARGIN, left), (page_width - MARGIN - right_room, right)), page_width)
    spare = max(0.0, setting.band - inner.height)
    pad = max(spare / 2, 14.0)
    return padded(inner, top=pad, bottom=pad, fill=Token.BAND)


def _inside(label: str) -> str:
    """A label as it stands inside a sentence: a small letter first, unless it is a name's."""
    return label[:1].lower() + label[1:] if label[1:2].islower() else label


def time_of(occasion: Occasion) -> str:
    """The day, and from when to when."""
    times = " to ".join(part for part in (occasion.start, occasion.end) if part)
    return f"{occasion.date}, {times.replace(' ', chr(0xA0))}" if times else occasion.date


def decision(content: SheetContent, setting: Setting, room: float) -> Block:
    """The decision's mark, word and sentence, and what this revision replaces."""
    look = content.decision.look
    side = 27.0 if look else 0.0
    indent = side + 13 if look else 0.0
    word_room = room - indent
    word = largest(
        content.decision.word,
        Style(25, Weight.BLACK, leading=1.1),
        _WORD_SIZES,
        word_room,
        lines=1,
    )
    title = paragraph(content.decision.word, word, word_room, role=Role.H2)
    body = stacked(
        (
            title,
            paragraph(content.decision.sentence, Style(setting.text + 1.4), word_room, role=Role.P),
            _revision(content, setting, word_room),
        ),
        gap=3,
    )
    if look is None:
        return body
    mark = drawn(mark_shapes(DECISION_MARK[look], side), side, side)
    return bulleted(mark, body, indent=indent, first_line=word.line, wide=room)


def revision_sentence(content: SheetContent) -> str:
    """What this revision replaces, and why; empty for the first."""
    revision = content.revision
    if not revision.supersedes:
        return ""
    why = f": {revision.why}" if revision.why else ""
    return f"Revision {revision.number}. It replaces {revision.supersedes}{why}."


def _revision(content: SheetContent, setting: Setting, room: float) -> Block:
    text = revision_sentence(content)
    if not text:
        return NOTHING
    style = setting.body()
    side = style.size
    return bulleted(
        drawn(sign_shapes(SignLook.AMENDED, side), side, side),
        paragraph(text, style, room - side - 6, role=Role.P),
        indent=side + 6,
        first_line=style.line,
        wide=room,
    )


def rule_lines(content: SheetContent, setting: Setting, room: float) -> Block:
    """Every line of the rule with its mark; a failed one on a coloured ground."""
    if not content.lines:
        return NOTHING
    rows: list[Block] = [ruled(room, 1.4, Token.INK)]
    table = Tag(Role.TABLE)
    for line in content.lines:
        rows.extend((tagged(_rule_line(line, setting, room), table, Role.ROW), ruled(room)))
    return stacked(rows)


def _rule_line(line: RuleLine, setting: Setting, room: float) -> Block:
    side = setting.text
    title_room, start = 112.0, side + 16
    sentence_x = start + title_room + 8
    style = setting.body()
    mark = drawn(mark_shapes(LINE_MARK[line.look], side), side, side)
    cell = Tag(Role.CELL)
    row = levelled(
        (
            (start, paragraph(line.title, style.bold(), title_room, role=Role.HEAD)),
            (6, tagged(figure(mark, LINE_WORDS[line.look]), cell)),
            (sentence_x, tagged(paragraph(line.sentence, style, room - sentence_x - 6), cell)),
        ),
        room,
    )
    pad = max((setting.row - row.height) / 2, 2.0)
    fill = Token.WRONGBG if line.look is LineLook.FAILED else None
    return padded(row, top=pad, bottom=pad, fill=fill)


def criticals(content: SheetContent, setting: Setting, room: float) -> Block:
    """What happened to critical items, with time, and which nobody could watch."""
    if not content.criticals and not content.unwatched:
        return NOTHING
    table = Tag(Role.TABLE)
    rows = [tagged(_critical(note, setting, room), table, Role.ROW) for note in content.criticals]
    return stacked(
        (
            paragraph("Critical items", setting.heading(Token.CRIT), room, role=Role.H2),
            *rows,
            paragraph(unwatched_sentence(content), setting.note(), room, role=Role.P),
        ),
        gap=setting.list_pad,
    )


def unwatched_sentence(content: SheetContent) -> str:
    """Which critical items nobody could watch throughout."""
    if not content.unwatched:
        return ""
    count = len(content.unwatched)
    names = "; ".join(content.unwatched)
    return f"Not watched throughout, {count} of {content.critical_items}: {names}."


def _critical(note: CriticalNote, setting: Setting, room: float) -> Block:
    side = setting.text + 2
    style = setting.body()
    time_x, word_x = side + 12, side + 12 + 40
    word_room = 92.0
    text_x = word_x + word_room + 8
    cell = Tag(Role.CELL)
    label = paragraph(note.label, style.bold(), room - text_x, role=Role.HEAD)
    more = paragraph(note.note, setting.note(), room - text_x)
    word = paragraph(critical_word(note), style.in_ink(Token.CRIT), word_room)
    return beside(
        (
            (text_x, label),
            (2, _critical_mark(note, side)),
            (time_x, tagged(one_line(note.time, style), cell)),
            (word_x, tagged(word, cell)),
            (text_x, stacked((space(label.height), tagged(more, cell)))),
        ),
        room,
    )


def critical_word(note: CriticalNote) -> str:
    """How an occurrence ended, and the count of a tally."""
    if note.fatal_at > 1:
        return f"{note.word}, {note.count} of {note.fatal_at}"
    return note.word


def _critical_mark(note: CriticalNote, side: float) -> Block:
    if note.fatal_at > 1:
        return drawn(tally_shapes(note.count, note.fatal_at, side), side, side)
    if note.sign is None:
        return drawn(mark_shapes(MarkLook.NOT_APPLICABLE, side), side, side)
    return drawn(sign_shapes(note.sign, side), side, side)


def settling(content: SheetContent, setting: Setting, room: float) -> Block:
    """For an undecided attempt: what would settle it, and how that is done."""
    lists = content.settling
    if not lists.to_pass and not lists.to_remediate:
        return NOTHING
    column = (room - GUTTER) / 2
    parts = columns(
        (
            _settling("A pass, if these are seen and done", lists.to_pass, setting, column),
            _settling(
                "Remediation, if these are seen and not done",
                lists.to_remediate,
                setting,
                column,
            ),
        ),
        2,
        room,
        GUTTER,
        setting.gap,
    )
    how = (
        "It is settled by another observer who saw these steps, or by doing them again at a"
        " short station; not by memory."
    )
    return stacked(
        (
            paragraph("What would settle it", setting.heading(), room, role=Role.H2),
            parts,
            paragraph(how, setting.note(), room, role=Role.P),
        ),
        gap=4,
    )


def _settling(title: str, entries: tuple[str, ...], setting: Setting, room: float) -> Block:
    style = setting.body()
    side = 3.4
    entries_tag = Tag(Role.LIST)
    dot = drawn((Rect(0, 0, side, side, Token.INK),), side, side)
    rows = [
        bulleted(
            dot,
            tagged(paragraph(entry, style, room - 10), entries_tag, Role.ENTRY, Role.BODY),
            indent=10,
            first_line=style.line,
            wide=room,
        )
        for entry in entries
    ]
    none = paragraph(
        "No such set of steps: it cannot come to that.", setting.note(), room, role=Role.P
    )
    return stacked((paragraph(title, style.bold(), room, role=Role.H3), *(rows or [none])), gap=1.5)
