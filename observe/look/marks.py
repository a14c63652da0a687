"""The marks: one picture for each state of a step, the same everywhere.

Height is independence. A block stands on the sill and is lower with each prompt
level; what went wrong hangs from above; what was not done is an empty slot; what
was not seen is dots on the sill, never a box that asks to be ticked. A decision
and a line of the rule use the same pictures.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import StrEnum
from types import MappingProxyType

from observe.look.shapes import Disc, Polygon, Rect, Shapes, frame
from observe.look.tokens import Token


class MarkLook(StrEnum):
    """Every state of a step that has a picture."""

    DONE = "done"
    PROMPT_1 = "prompt-1"
    PROMPT_2 = "prompt-2"
    PROMPT_3 = "prompt-3"
    PROMPT_4 = "prompt-4"
    INCORRECT = "incorrect"
    NOT_DONE = "not-done"
    NOT_APPLICABLE = "not-applicable"
    DID_NOT_ARISE = "did-not-arise"
    NOT_SEEN = "not-seen"
    AHEAD = "ahead"
    NOW = "now"


class DecisionLook(StrEnum):
    PASS = "pass"  # noqa: S105 - a decision, not a password
    REMEDIATE = "remediate"
    UNDECIDED = "undecided"
    VOID = "void"


class LineLook(StrEnum):
    """State of one line of the rule."""

    MET = "met"
    FAILED = "failed"
    OPEN = "open"
    NOT_ASKED = "not-asked"


PROMPTED: Mapping[MarkLook, int] = MappingProxyType(
    {
        MarkLook.PROMPT_1: 1,
        MarkLook.PROMPT_2: 2,
        MarkLook.PROMPT_3: 3,
        MarkLook.PROMPT_4: 4,
    }
)
"""Prompt level of the prompted marks."""

DECISION_MARK: Mapping[DecisionLook, MarkLook] = MappingProxyType(
    {
        DecisionLook.PASS: MarkLook.DONE,
        DecisionLook.REMEDIATE: MarkLook.INCORRECT,
        DecisionLook.UNDECIDED: MarkLook.NOT_SEEN,
        DecisionLook.VOID: MarkLook.NOT_APPLICABLE,
    }
)
"""Pass stands, remediate hangs, undecided is dots."""

LINE_MARK: Mapping[LineLook, MarkLook] = MappingProxyType(
    {
        LineLook.MET: MarkLook.DONE,
        LineLook.FAILED: MarkLook.INCORRECT,
        LineLook.OPEN: MarkLook.NOT_SEEN,
        LineLook.NOT_ASKED: MarkLook.NOT_APPLICABLE,
    }
)

MARK_TOKEN: Mapping[MarkLook, Token] = MappingProxyType(
    {
        MarkLook.DONE: Token.DONE,
        MarkLook.PROMPT_1: Token.PROMPT,
        MarkLook.PROMPT_2: Token.PROMPT,
        MarkLook.PROMPT_3: Token.PROMPT,
        MarkLook.PROMPT_4: Token.PROMPT,
        MarkLook.INCORRECT: Token.WRONG,
        MarkLook.NOT_DONE: Token.INK,
        MarkLook.NOT_APPLICABLE: Token.LINE,
        MarkLook.DID_NOT_ARISE: Token.LINE,
        MarkLook.NOT_SEEN: Token.INK,
        MarkLook.AHEAD: Token.LINE,
        MarkLook.NOW: Token.ACT,
    }
)
"""The colour that goes with a mark; text beside a mark may use it where it has 4.5."""

_SQUARE_HEIGHT = (1.0, 0.63, 0.47, 0.31)
_ROD_HEIGHT = (1.0, 0.75, 0.5, 0.25)
_LEAST_DOT = 1.5
_DOT_PLACES = (1 / 6, 1 / 2, 5 / 6)


def stroke_of(side: float) -> float:
    """Width of a stroke in a square of that side."""
    return max(1.6, side / 10)


def mark_shapes(look: MarkLook, side: float) -> Shapes:
    """The mark in a square (0, 0, side, side)."""
    level = PROMPTED.get(look)
    if level is not None:
        return _prompted_square(level, side)
    return _unprompted(look, side, side)


def rod_mark_shapes(look: MarkLook, width: float, height: float) -> Shapes:
    """The mark in a step of a rod: blocks fill the width, other marks keep their shape."""
    level = PROMPTED.get(look)
    if level is not None:
        return _prompted_in_rod(level, width, height)
    return _unprompted(look, width, height)


def decision_shapes(look: DecisionLook, side: float) -> Shapes:
    """The mark of a decision in a square."""
    return mark_shapes(DECISION_MARK[look], side)


def line_shapes(look: LineLook, side: float) -> Shapes:
    """The mark of one line of the rule in a square."""
    return mark_shapes(LINE_MARK[look], side)


def _prompted_square(level: int, side: float) -> Shapes:
    high = min(1.3 * stroke_of(side), side) if level == 4 else _SQUARE_HEIGHT[level] * side
    dot = side / 5
    dots = tuple(
        Disc(dot / 2 + place * side / 4, dot / 2, dot / 2, Token.INK) for place in range(level)
    )
    return (Rect(0, side - high, side, high, Token.PROMPT), *dots)


def _prompted_in_rod(level: int, width: float, height: float) -> Shapes:
    high = min(1.3 * stroke_of(height), height / 5) if level == 4 else _ROD_HEIGHT[level] * height
    block = Rect(0, height - high, width, high, Token.PROMPT)
    dot = height / 9
    if dot < _LEAST_DOT or level * 1.5 * dot > width:
        return (block,)
    start = (width - (1.5 * level - 0.5) * dot) / 2
    dots = (
        Disc(start + dot / 2 + place * 1.5 * dot, dot / 2, dot / 2, Token.INK)
        for place in range(level)
    )
    return (block, *dots)


def _unprompted(look: MarkLook, width: float, height: float) -> Shapes:
    return _UNPROMPTED[look](width, height, MARK_TOKEN[look])


def _block(width: float, height: float, ink: Token) -> Shapes:
    return (Rect(0, 0, width, height, ink),)


def _hanging(width: float, height: float, ink: Token) -> Shapes:
    wide = min(width, 1.35 * height)
    left = (width - wide) / 2
    return (Polygon(((left, 0), (left + wide, 0), (width / 2, height)), ink),)


def _slot(width: float, height: float, ink: Token) -> Shapes:
    wide = min(width, 1.2 * height)
    left = (width - wide) / 2
    stroke = min(stroke_of(height), wide / 3)
    return (
        Rect(left, 0, stroke, height, ink),
        Rect(left, height - stroke, wide, stroke, ink),
        Rect(left + wide - stroke, 0, stroke, height, ink),
    )


def _struck(width: float, height: float, ink: Token) -> Shapes:
    """One stroke from lower left to upper right, its ends flush with the box."""
    wide = min(width, height)
    left = (width - wide) / 2
    across = min(stroke_of(height) * 1.2, wide / 2)
    points = (
        (left, height),
        (left + across, height),
        (left + wide, 0),
        (left + wide - across, 0),
    )
    return (Polygon(points, ink),)


def _dash(width: float, height: float, ink: Token) -> Shapes:
    """A level stroke at half height: the occasion never came, there was nothing to do."""
    wide = min(width, height)
    stroke = stroke_of(height)
    return (Rect((width - wide) / 2, (height - stroke) / 2, wide, stroke, ink),)


def _dots(width: float, height: float, ink: Token) -> Shapes:
    wide = min(width, height)
    left = (width - wide) / 2
    radius = min(max(0.8, height * 0.075), wide / 7)
    return tuple(Disc(left + place * wide, height - radius, radius, ink) for place in _DOT_PLACES)


def _sill(width: float, height: float, ink: Token) -> Shapes:
    """The bare sill, on which a block will stand or not."""
    high = min(2.0, height)
    return (Rect(0, height - high, width, high, ink),)


def _around(width: float, height: float, ink: Token) -> Shapes:
    return (frame(width, height, stroke_of(min(width, height)), ink),)


_UNPROMPTED: Mapping[MarkLook, Callable[[float, float, Token], Shapes]] = MappingProxyType(
    {
        MarkLook.DONE: _block,
        MarkLook.INCORRECT: _hanging,
        MarkLook.NOT_DONE: _slot,
        MarkLook.NOT_APPLICABLE: _struck,
        MarkLook.DID_NOT_ARISE: _dash,
        MarkLook.NOT_SEEN: _dots,
        MarkLook.AHEAD: _sill,
        MarkLook.NOW: _around,
    }
)
