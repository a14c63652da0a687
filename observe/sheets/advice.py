"""What the learner takes away: what to keep, what to change and how, what happens now."""

from __future__ import annotations

from observe.look.marks import mark_shapes
from observe.look.shapes import Rect
from observe.look.tokens import Token, Weight
from observe.sheets.blocks import (
    NOTHING,
    Block,
    beside,
    bulleted,
    columns,
    drawn,
    figure,
    padded,
    paragraph,
    ruled,
    stacked,
    tagged,
)
from observe.sheets.content import Advice, Kept, SheetContent, WorkOn
from observe.sheets.setting import GUTTER, Setting
from observe.sheets.steplist import look_words
from observe.sheets.tags import Role, Tag
from observe.sheets.typeset import Style


def keep_and_change(content: SheetContent, setting: Setting, room: float) -> Block:
    """The observer's own words on what to keep and what to change, and steps that went well."""
    column = (room - GUTTER) / 2
    advice = content.advice
    keep = (advice.strength, of_step(advice.strength_step))
    change = (advice.change, of_step(advice.change_step))
    sides = [
        _said("Keep doing", keep, Token.DONE, setting, column),
        _said("Change next time", change, Token.WRONG, setting, column),
    ]
    words = NOTHING
    if any(side is not NOTHING for side in sides):
        words = beside(((0, sides[0]), (column + GUTTER, sides[1])), room)
    return stacked((words, _well(content, setting, room)), gap=max(3, setting.gap * 0.5))


def _well(content: SheetContent, setting: Setting, room: float) -> Block:
    """Steps that went well, under a heading of their own where nobody wrote one."""
    advice = content.advice
    if not advice.kept:
        return NOTHING
    list_ = Tag(Role.LIST)
    column = (room - GUTTER) / 2
    entries = [tagged(_kept(one, setting, column), list_, Role.ENTRY) for one in advice.kept]
    title = "Also done well" if advice.strength else "Keep doing"
    return stacked(
        (
            ruled(room, 0.6, Token.DONE),
            paragraph(title, setting.body(Token.DONE).bold(), room, role=Role.H2),
            columns(entries, 2, room, GUTTER, 2),
        ),
        gap=1.5,
    )


def of_step(number: int) -> str:
    """Which step the observer's own words speak of; empty where they name none."""
    return f"Step {number}, in the observer's words." if number else ""


def _said(title: str, words: tuple[str, str], ink: Token, setting: Setting, room: float) -> Block:
    said, whence = words
    if not said:
        return NOTHING
    return stacked(
        (
            ruled(room, 2, ink),
            paragraph(title, setting.heading(ink), room, role=Role.H2),
            paragraph(said, Style(setting.text + 0.6), room, role=Role.P),
            paragraph(whence, setting.note(), room, role=Role.P),
        ),
        gap=3,
    )


def kept_line(entry: Kept) -> str:
    """A step that went well, with what was marked."""
    return f"{entry.number}\u00a0 {entry.label}: {entry.seen}"


def _kept(entry: Kept, setting: Setting, room: float) -> Block:
    side = setting.list
    indent = side + 8
    style = setting.entry()
    mark = figure(drawn(mark_shapes(entry.look, side), side, side), look_words(entry.look))
    body = paragraph(kept_line(entry), style, room - indent)
    return bulleted(
        tagged(mark, Role.LABEL),
        tagged(body, Role.BODY),
        indent=indent,
        first_line=style.line,
        wide=room,
    )


def work_on(entries: tuple[WorkOn, ...], title: str, setting: Setting, room: float) -> Block:
    """Steps to work on: what good looks like, and what often goes wrong there."""
    if not entries:
        return NOTHING
    column = (room - GUTTER) / 2
    list_ = Tag(Role.LIST)
    parts = [tagged(_work_on(entry, setting, column), list_, Role.ENTRY) for entry in entries]
    return stacked(
        (
            paragraph(title, setting.heading(), room, role=Role.H2),
            columns(parts, 2, room, GUTTER, setting.gap * 0.6),
        ),
        gap=5,
    )


def work_on_lines(entry: WorkOn) -> tuple[str, tuple[str, str]]:
    """Number and name of a step with what was seen, then what to do, and what often goes wrong."""
    errors = f"Often: {_joined(entry.errors)}" if entry.errors else ""
    good = f"Next time: {entry.good}" if entry.good else ""
    seen = f": {entry.seen}" if entry.seen else ""
    return f"{entry.number}\u00a0 {entry.label}{seen}", (good, errors)


def _work_on(entry: WorkOn, setting: Setting, room: float) -> Block:
    side = setting.text
    indent = side + 8
    inner = room - indent
    title = setting.body().bold()
    head, (good, errors) = work_on_lines(entry)
    body = stacked(
        (
            paragraph(head, title, inner, role=Role.P),
            paragraph(good, setting.body(), inner, role=Role.P),
            paragraph(errors, setting.note(), inner, role=Role.P),
        ),
        gap=1,
    )
    mark = figure(drawn(mark_shapes(entry.look, side), side, side), look_words(entry.look))
    mark, body = tagged(mark, Role.LABEL), tagged(body, Role.BODY)
    return bulleted(mark, body, indent=indent, first_line=title.line, wide=room)


def _joined(errors: tuple[str, ...]) -> str:
    return "; ".join(error.rstrip(".") for error in errors) + "."


def what_now(content: SheetContent, setting: Setting, room: float) -> Block:
    """What happens now, and the learner's own goal, on a quiet ground."""
    parts = [part for part in (_next(content.advice), _goal(content.advice)) if part]
    if not parts:
        return NOTHING
    inner = room - 30
    column = inner if len(parts) == 1 else (inner - GUTTER) / 2
    blocks = [
        stacked(
            (
                paragraph(title, setting.heading(), column, role=Role.H2),
                *(
                    paragraph(text, style.at(setting.text + 0.2), column, role=Role.P)
                    for text, style in said
                ),
            ),
            gap=3,
        )
        for title, said in parts
    ]
    body = beside(
        [(number * (column + GUTTER), block) for number, block in enumerate(blocks)], inner
    )
    pad = min(10.0, setting.gap + 1)
    panel = padded(body, left=18, top=pad, right=12, bottom=pad, fill=Token.PANEL)
    stripe = Rect(0, 0, 4, panel.height, Token.ACT)
    return Block(panel.width, panel.height, (*panel.items[:1], stripe, *panel.items[1:]))


_Said = tuple[str, list[tuple[str, Style]]]


def _next(advice: Advice) -> _Said | None:
    if not (advice.next_step or advice.next_when):
        return None
    return (
        "What happens now",
        [(advice.next_step, Style(10)), (advice.next_when, Style(10, Weight.BOLD))],
    )


def _goal(advice: Advice) -> _Said | None:
    if not advice.goal:
        return None
    return ("Your own goal", [(f"“{advice.goal}”", Style(10, Weight.ITALIC))])
