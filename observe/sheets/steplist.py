"""The second page's upper part: the rod, and every step by phase with mark, word and time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from observe.look.marks import MarkLook, mark_shapes
from observe.look.rod import Rod, RodStep, pennants, rod
from observe.look.shapes import Shapes
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight
from observe.sheets.blocks import (
    NOTHING,
    Block,
    Item,
    beside,
    columns,
    drawn,
    figure,
    levelled,
    one_line,
    padded,
    paragraph,
    ruled,
    shifted,
    space,
    stacked,
    tagged,
)
from observe.sheets.content import PhaseNotes, SheetContent, StepNote
from observe.sheets.setting import GUTTER, MM, Setting
from observe.sheets.tags import Role, Tag
from observe.sheets.typeset import Style

ROD_HIGH = 8 * MM
_PENNANT = 13.0
_NUMBERS = Style(6.8, ink=Token.INK2, leading=1.2)

PROMPT_WORD: Mapping[int, str] = MappingProxyType(
    {1: "asked", 2: "cued", 3: "guided", 4: "taken over"}
)
_WORD: Mapping[MarkLook, str] = MappingProxyType(
    {
        MarkLook.INCORRECT: "incorrect",
        MarkLook.NOT_DONE: "not done",
        MarkLook.NOT_APPLICABLE: "not applicable",
        MarkLook.DID_NOT_ARISE: "did not arise",
        MarkLook.NOT_SEEN: "not seen",
        MarkLook.AHEAD: "not seen",
    }
)
_PLAIN = frozenset(
    {MarkLook.DONE, MarkLook.NOT_APPLICABLE, MarkLook.DID_NOT_ARISE, MarkLook.NOT_SEEN}
)
_LEGEND = (
    (MarkLook.DONE, "done"),
    (MarkLook.PROMPT_2, "prompted, a dot a level"),
    (MarkLook.INCORRECT, "incorrect"),
    (MarkLook.NOT_DONE, "not done"),
    (MarkLook.NOT_APPLICABLE, "not applicable"),
    (MarkLook.DID_NOT_ARISE, "did not arise"),
    (MarkLook.NOT_SEEN, "not seen"),
)


def title(content: SheetContent, setting: Setting, room: float) -> Block:
    """The heading of the second part, whose it is, and what its marks mean."""
    occasion = content.occasion
    heading = one_line(
        "Step by step", Style(setting.title + 6, Weight.BLACK, leading=1.1), role=Role.H2
    )
    whose = paragraph(
        f"{occasion.learner}, {occasion.procedure}, {occasion.date}",
        setting.note(),
        room - heading.width - GUTTER,
        right=True,
        role=Role.P,
    )
    top = levelled(((0, heading), (heading.width + GUTTER, whose)), room)
    return stacked((top, _legend(content, setting, room)), gap=4)


def _legend(content: SheetContent, setting: Setting, room: float) -> Block:
    """Only what is on this sheet; in rows as they fit."""
    style = setting.note()
    side = 8.5
    used = {step.look for step in content.steps}
    prompted = {look for look in used if look.value.startswith("prompt")}
    entries: list[Block] = []
    for look, word in _LEGEND:
        if look in used or (look is MarkLook.PROMPT_2 and prompted):
            shown = look if look in used or not prompted else min(prompted)
            entries.append(_legend_entry(mark_shapes(shown, side), side, word, style))
    if any(step.voiced for step in content.steps):
        shapes = sign_shapes(SignLook.VOICED, side)
        entries.append(_legend_entry(shapes, side, "said, not shown", style))
    entries.append(
        one_line("Width: weight of the step. Times: from the start.", style, role=Role.P)
    )
    return _in_rows(entries, room, 12, 3)


def _legend_entry(shapes: Shapes, side: float, word: str, style: Style) -> Block:
    mark = drawn(shapes, side, side)
    text = one_line(word, style, role=Role.P)
    return levelled(((0, mark), (side + 5, text)), side + 5 + text.width)


def _in_rows(entries: list[Block], room: float, gap: float, row_gap: float) -> Block:
    rows: list[list[tuple[float, Block]]] = [[]]
    x = 0.0
    for entry in entries:
        if rows[-1] and x + entry.width > room:
            rows.append([])
            x = 0.0
        rows[-1].append((x, entry))
        x += entry.width + gap
    return stacked([levelled(row, room) for row in rows if row], gap=row_gap)


def rod_block(content: SheetContent, _: Setting, room: float) -> Block:
    """The rod with its numbers, and pennants over the steps that critical items stand on."""
    steps = content.steps
    if not steps:
        return NOTHING
    firsts = {phase.steps[0].number for phase in content.phases if phase.steps}
    made = rod(
        [RodStep(step.look, step.weight, step.number in firsts) for step in steps],
        room,
        ROD_HIGH,
        gap=0.8,
        phase_gap=3.4,
    )
    place = {step.number: index for index, step in enumerate(steps)}
    flags = [
        (place[note.step], note.sign or SignLook.ABSOLUTE)
        for note in content.criticals
        if note.step in place and note.sign is not None
    ]
    top = _PENNANT + 2 if flags else 0.0
    items = shifted((*pennants(made, flags, _PENNANT), *made.shapes), 0, top)
    numbers = shifted(_step_numbers(made, steps), 0, top + ROD_HIGH + 1.5)
    block = Block(room, top + ROD_HIGH + 1.5 + _NUMBERS.line, (*items, *numbers))
    count = f"{len(steps)} steps" if len(steps) > 1 else "the one step"
    return figure(block, f"The attempt as a ribbon, a block for each of {count}, as listed below.")


def _step_numbers(made: Rod, steps: tuple[StepNote, ...]) -> tuple[Item, ...]:
    """Numbers under their blocks; one that would touch its neighbour is left out."""
    items: list[Item] = []
    free = 0.0
    for place, step in zip(made.places, steps, strict=True):
        label = one_line(f"{step.number}", _NUMBERS)
        middle = place.x + place.width / 2
        x = min(max(middle - label.width / 2, 0), made.width - label.width)
        if x >= free:
            items.extend(shifted(label.items, x, 0))
            free = x + label.width + 2
    return tuple(items)


def step_list(content: SheetContent, setting: Setting, room: float) -> Block:
    """All steps by phase, in two columns."""
    column = (room - GUTTER) / 2
    parts = [part for phase in content.phases for part in _phase(phase, setting, column)]
    return columns(parts, 2, room, GUTTER, setting.list_pad)


def _phase(phase: PhaseNotes, setting: Setting, room: float) -> Iterator[Block]:
    """A phase in parts that may be parted: neither its first nor its last two steps are."""
    table = Tag(Role.TABLE)
    rows = [tagged(_step(step, setting, room), table, Role.ROW) for step in phase.steps]
    if not rows:
        return
    heads = [_phase_title(phase, setting, room), *rows[:2]]
    middle, ends = rows[2:-2], rows[max(2, len(rows) - 2) :]
    if len(ends) == 1:  # One alone would be as lonely at the end as at the start.
        heads, ends = [*heads, *ends], []
    groups = [heads, *([row] for row in middle), *([ends] if ends else [])]
    for group in groups:
        part = stacked(group, gap=setting.list_pad)
        yield padded(part, bottom=setting.list_pad) if group is groups[-1] else part


def _phase_title(phase: PhaseNotes, setting: Setting, room: float) -> Block:
    style = Style(setting.list, Weight.BOLD, Token.ACT, leading=1.2)
    return stacked((paragraph(phase.label, style, room, role=Role.H3), ruled(room)), gap=1)


def _step(step: StepNote, setting: Setting, room: float) -> Block:
    side = setting.list
    plain = step.look in _PLAIN and not step.voiced
    style = setting.entry()
    said = style.in_ink(Token.INK2) if plain else style.bold()
    if step.look is MarkLook.INCORRECT:
        said = said.in_ink(Token.WRONG)
    label_x = side + 6 + 15
    word_room = min(one_line(step_word(step), said).width + 0.01, room * 0.42)
    word = _word_block(step, said, word_room)
    word_room = word.width
    label_room = room - label_x - word_room - 8
    label = paragraph(step.label, style if plain else style.bold(), label_room)
    note = paragraph(step.note, setting.note(), label_room)
    mark = figure(drawn(mark_shapes(step.look, side), side, side), look_words(step.look))
    number = one_line(f"{step.number}", style.bold().in_ink(Token.INK2))
    head, cell = Tag(Role.HEAD), Tag(Role.CELL)
    return beside(
        (
            (side + 6, tagged(number, head)),
            (label_x, tagged(label, head)),
            (1, tagged(_dropped(mark, style.line), cell)),
            (room - word_room, tagged(word, cell)),
            (label_x, stacked((space(label.height), tagged(note, cell)))),
        ),
        room,
    )


def look_words(look: MarkLook) -> str:
    """A mark in words, for who does not see it."""
    return _WORD.get(look, "done")


def _word_block(step: StepNote, style: Style, room: float) -> Block:
    """The words at the right of a step, behind the sign for "said" where it was."""
    words = paragraph(step_word(step), style, room, right=True)
    if not step.voiced:
        return words
    side = style.size * 0.85
    sign = _dropped(drawn(sign_shapes(SignLook.VOICED, side), side, side), style.line)
    return beside(((0, sign), (side + 3, words)), room + side + 3)


def _dropped(mark: Block, line: float) -> Block:
    drop = max(0.0, (line - mark.height) / 2)
    return Block(mark.width, mark.height + drop, shifted(mark.items, 0, drop))


def step_word(step: StepNote) -> str:
    """What stands at the right of a step: "14:05", "cued 14:20", "incorrect, asked 14:08"."""
    words = [_WORD[step.look]] if step.look in _WORD else []
    if step.prompt:
        words.append(PROMPT_WORD[step.prompt])
    if step.voiced:
        words.append("said")
    return " ".join(part for part in (", ".join(words), step.time) if part)
