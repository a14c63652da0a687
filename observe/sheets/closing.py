"""The second page's lower part: help, dimensions, changes, cautions, disagreement, signatures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from observe.look.marks import MarkLook
from observe.look.shapes import Rect, frame, moved
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight
from observe.sheets.blocks import (
    NOTHING,
    Block,
    Item,
    Place,
    beside,
    columns,
    drawn,
    levelled,
    one_line,
    padded,
    paragraph,
    ruled,
    shifted,
    stacked,
    tagged,
)
from observe.sheets.content import Countersigner, GradeNote, Part, SheetContent
from observe.sheets.numbers import grade_text
from observe.sheets.record import code_of
from observe.sheets.report_content import FIELD
from observe.sheets.setting import GUTTER, MARGIN, Setting
from observe.sheets.steplist import PROMPT_WORD
from observe.sheets.tags import Close, Open, Role, Tag
from observe.sheets.typeset import Style

_CODE = Style(6.4, ink=Token.INK2, leading=1.3, code=True)
_TYPED = Style(9, leading=1.15, code=True)
"""Of the code that somebody may type in from paper."""


def notes(content: SheetContent, setting: Setting, room: float) -> Block:
    """The smaller sections in two columns, in the order of reading."""
    column = (room - GUTTER) / 2
    parts = [
        _section("Help you were given", (help_sentence(content),), setting, column),
        _grades(content.dimensions, setting, column),
        _section("How you saw it yourself", (content.advice.self_view,), setting, column),
        _section("Your earlier attempts", content.earlier, setting, column),
        _section("What this workshop left out", deviation_lines(content), setting, column),
        _amendments(content.amendments, setting, column),
        _section("Mind", content.cautions, setting, column),
        _section("Disagree, or want to ask?", (content.disagree,), setting, column),
    ]
    filled = [part for part in parts if part.height]
    if not filled:
        return NOTHING
    body = columns(filled, 2, room, GUTTER, setting.gap * 0.75)
    return stacked((ruled(room, 1.4, Token.INK), body), gap=setting.gap * 0.6)


def _section(title: str, texts: tuple[str, ...], setting: Setting, room: float) -> Block:
    said = [paragraph(text, setting.entry(), room, role=Role.P) for text in texts if text]
    if not said:
        return NOTHING
    return stacked((paragraph(title, _title(setting), room, role=Role.H2), *said), gap=2)


def _title(setting: Setting) -> Style:
    return Style(setting.title - 1.5, Weight.BOLD, leading=1.2)


_SEEN_WITHOUT_HELP = frozenset({MarkLook.DONE, MarkLook.INCORRECT, MarkLook.NOT_DONE})


def help_sentence(content: SheetContent) -> str:
    """How often help was given, at which step, in which form, and by whom if not the observer."""
    helped = [step for step in content.steps if step.prompt]
    if not helped:
        seen = any(step.look in _SEEN_WITHOUT_HELP for step in content.steps)
        return "None was needed in what was seen." if seen else ""
    each = [
        f"step {step.number} {PROMPT_WORD[step.prompt]}"
        + (f" by {step.source}" if step.source and step.source != "observer" else "")
        for step in helped
    ]
    count = "Once" if len(helped) == 1 else f"At {len(helped)} steps"
    return f"{count}: {', '.join(each)}."


def _grades(grades: tuple[GradeNote, ...], setting: Setting, room: float) -> Block:
    if not grades:
        return NOTHING
    style = setting.entry()
    rows: list[Block] = []
    table = Tag(Role.TABLE)
    for grade in grades:
        value = one_line(grade_text(grade), style.bold())
        value_room = min(value.width + 0.01, room * 0.55)
        said = paragraph(grade_text(grade), style.bold(), value_room, right=True, role=Role.CELL)
        title = paragraph(grade.title, style, room - value_room - 8, role=Role.HEAD)
        row = beside(((0, title), (room - value_room, said)), room)
        rows.append(tagged(row, table, Role.ROW))
    heading = paragraph("Dimensions", _title(setting), room, role=Role.H2)
    return stacked((heading, *rows), gap=1.5)


def deviation_lines(content: SheetContent) -> tuple[str, ...]:
    """Each step that this workshop did not perform, and why."""
    return tuple(
        f"{one.number}\u00a0 {one.label}: {one.way}"
        + (f", {one.reason.rstrip('.')}." if one.reason else ".")
        for one in content.deviations
    )


def _amendments(sentences: tuple[str, ...], setting: Setting, room: float) -> Block:
    if not sentences:
        return NOTHING
    times = {1: "once", 2: "twice"}.get(len(sentences), f"{len(sentences)} times")
    title = one_line(f"Amended {times}", _title(setting), role=Role.H2)
    side = setting.title - 2
    sign = drawn(sign_shapes(SignLook.AMENDED, side), side, side)
    heading = levelled(((0, title), (title.width + 6, sign)), room)
    said = [paragraph(sentence, setting.entry(), room, role=Role.P) for sentence in sentences]
    return stacked((heading, *said), gap=2)


def signer_lines(content: SheetContent) -> tuple[str, ...]:
    """Who signed, in what part, when and with which key; and the places for later signatures."""
    signer = content.signer
    title = "Decided and signed" if content.decision.look else "Written and signed"
    who = f"{signer.name}, {signer.part}" if signer.part else signer.name
    later = [f"{_TITLE[one.part]}: {' '.join(_place_for(one))}" for one in content.countersigners]
    return (title, who, signer.at, _key(content), *later)


def signatures(content: SheetContent, setting: Setting, room: float) -> Block:
    """Panels, two in a row: who decided and signs now, and a place for each later signature."""
    column = (room - GUTTER) / 2
    signer = content.signer
    first = _panel(
        "Decided and signed" if content.decision.look else "Written and signed",
        (f"{signer.name}, {signer.part}" if signer.part else signer.name, signer.at),
        Part.DECIDED,
        setting,
        column,
    )
    later = [
        _panel(_TITLE[one.part], _place_for(one), one.part, setting, column)
        for one in content.countersigners
    ]
    panels = [first, *later]
    rows = [panels[at : at + 2] for at in range(0, len(panels), 2)]
    return stacked(
        (
            *(_side_by_side(row, column, room) for row in rows),
            paragraph(_key(content), setting.note(), room, role=Role.P),
        ),
        gap=3,
    )


READABLE: Mapping[str, str] = MappingProxyType(
    {
        Part.DECIDED: "Decided and signed",
        Part.OBSERVED: "Signed by the second observer",
        Part.DIRECTED: "Signed by the director",
        Part.READ: "Read by the learner",
        FIELD: "Report made and signed",
    }
)
"""What each place for a signature is called by a reader of the file."""

_TITLE = {
    Part.OBSERVED: "Second observer",
    Part.DIRECTED: "Director",
    Part.READ: "Read by the learner",
}
_SAYS = {
    Part.OBSERVED: "Room for a later signature.",
    Part.DIRECTED: "Room for a later signature.",
    Part.READ: "Room for a later signature. It says seen, not agreed.",
}


def _place_for(one: Countersigner) -> tuple[str, ...]:
    return (one.name, _SAYS[one.part]) if one.name else (_SAYS[one.part],)


def _side_by_side(panels: Sequence[Block], column: float, room: float) -> Block:
    high = max(panel.height for panel in panels)
    placed = [
        (place * (column + GUTTER), _as_high(panel, high)) for place, panel in enumerate(panels)
    ]
    return beside(placed, room)


def _as_high(panel: Block, high: float) -> Block:
    ground = Rect(0, 0, panel.width, high, Token.PANEL)
    return Block(panel.width, high, (ground, *panel.items[1:]))


def _key(content: SheetContent) -> str:
    signer = content.signer
    if not signer.fingerprint:
        return "Not signed."
    return f"Signed inside this file with {signer.key} (key {signer.fingerprint[:16]})."


def _panel(title: str, texts: tuple[str, ...], field: Part, setting: Setting, room: float) -> Block:
    side = 26.0
    indent = side + 14
    inner = room - indent - 22
    body = stacked(
        (
            paragraph(title, _title(setting), inner, role=Role.H2),
            *(paragraph(text, setting.entry(), inner, role=Role.P) for text in texts),
        ),
        gap=2,
    )
    high = max(body.height, side)
    top = (high - side) / 2
    empty = (
        moved((frame(side, side, 0.8, Token.LINE),), 0, top) if field is not Part.DECIDED else ()
    )
    form = Tag(Role.FORM, READABLE[field])
    place: tuple[Item, ...] = (
        Open(form),
        Place(field.value, 0, top, side, side),
        Close(form),
        *empty,
    )
    whole = Block(
        indent + inner,
        high,
        (*shifted(body.items, indent, (high - body.height) / 2), *place),
    )
    return padded(
        whole,
        left=11,
        top=setting.gap / 2 + 1,
        right=11,
        bottom=setting.gap / 2 + 1,
        fill=Token.PANEL,
    )


def foot(content: SheetContent, record_digest: str, page: int, pages: int, room: float) -> Block:
    """What the sheet does not say, the form and its review, the digests, the page."""
    style = Style(7.6, ink=Token.INK2, leading=1.22)
    number = one_line(f"{page} of {pages}", style.bold().in_ink(Token.INK), role=Role.P)
    form, events = content.origin.form_digest[:16], content.origin.events_digest[:16]
    code = one_line(code_of(record_digest), _TYPED, role=Role.P)
    digests = (
        f"record {record_digest}",
        f"form {form}  events {events}  attempt {content.occasion.attempt}",
    )
    codes = stacked([paragraph(line, _CODE, room - 150, role=Role.P) for line in digests])
    right = levelled(((0, code), (code.width + 12, number)), code.width + 12 + number.width)
    last = beside(((0, codes), (room - right.width, _lowered(right, codes.height))), room)
    return stacked(
        (
            ruled(room),
            paragraph(limits(content), style, room, role=Role.P),
            paragraph(form_sentence(content), style, room, role=Role.P),
            last,
        ),
        gap=1.5,
    )


def _lowered(block: Block, high: float) -> Block:
    return Block(block.width, high, shifted(block.items, 0, max(0.0, high - block.height)))


def limits(content: SheetContent) -> str:
    """What one attempt on a trainer can say."""
    count = len(content.occasion.observers)
    who = "1 observer" if count == 1 else f"{count} observers"
    return (
        f"Seen on a trainer by {who}, once. It says nothing about care of patients."
        " It compares with no other learner."
    )


def form_sentence(content: SheetContent) -> str:
    """Who saw it, the form and whether it was clinically reviewed (rule F8), the program."""
    origin = content.origin
    names = content.occasion.observers
    observers = f"{'Observer' if len(names) == 1 else 'Observers'}: {', '.join(names)}. "
    review = (
        f"clinically reviewed by {origin.reviewed_by}, {origin.reviewed_on}"
        if origin.reviewed_by
        else "not clinically reviewed"
    )
    return (
        f"{observers if names else ''}Form {origin.form} {origin.form_version}, {review}."
        f" Revision {content.revision.number}, made with Observe {origin.engine}."
    )


FOOT_MARGIN = MARGIN * 0.62
