"""What the learner takes away: one strength, one change, steps to work on, what happens now."""

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
from observe.sheets.content import Advice, SheetContent, WorkOn
from observe.sheets.setting import GUTTER, Setting
from observe.sheets.steplist import look_words
from observe.sheets.tags import Role, Tag
from observe.sheets.typeset import Style


def keep_and_change(content: SheetContent, setting: Setting, room: float) -> Block:
    """The observer's own words: what to keep, what to change."""
    column = (room - GUTTER) / 2
    sides = [
        _said("Keep doing", content.advice.strength, Token.DONE, setting, column),
        _said("Change next time", content.advice.change, Token.WRONG, setting, column),
    ]
    if all(side is NOTHING for side in sides):
        return NOTHING
    return beside(((0, sides[0]), (column + GUTTER, sides[1])), room)


def _said(title: str, words: str, ink: Token, setting: Setting, room: float) -> Block:
    if not words:
        return NOTHING
    return stacked(
        (
            ruled(room, 2, ink),
            paragraph(title, setting.heading(ink), room, role=Role.H2),
            paragraph(words, Style(setting.text + 0.6), room, role=Role.P),
        ),
        gap=4,
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
    """Number and name of a step, then what good looks like and what often goes wrong."""
    errors = f"Often: {_joined(entry.errors)}" if entry.errors else ""
    good = f"Good: {entry.good}" if entry.good else ""
    return f"{entry.number}\u00a0 {entry.label}", (good, errors)


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
    panel = padded(body, left=18, top=10, right=12, bottom=10, fill=Token.PANEL)
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
