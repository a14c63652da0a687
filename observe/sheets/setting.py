"""Paper, margins and the densities of type; the first that fits is taken."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from observe.look.tokens import Token, Weight
from observe.sheets.typeset import Style

MM = 72 / 25.4


class Paper(StrEnum):
    A4 = "A4"
    LETTER = "Letter"

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in points."""
        return (612.0, 792.0) if self is Paper.LETTER else (210 * MM, 297 * MM)


MARGIN = 18 * MM
GUTTER = 9 * MM
"""Between two columns."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One density. gap: between sections; row: least height of a line of the rule."""

    name: str
    text: float
    list: float
    small: float
    title: float
    gap: float
    row: float
    band: float
    top: float
    list_pad: float

    def body(self, ink: Token = Token.INK) -> Style:
        return Style(self.text, ink=ink)

    def entry(self, ink: Token = Token.INK) -> Style:
        return Style(self.list, ink=ink, leading=1.17)

    def note(self, ink: Token = Token.INK2) -> Style:
        return Style(self.small, ink=ink, leading=1.22)

    def heading(self, ink: Token = Token.INK) -> Style:
        return Style(self.title, Weight.BOLD, ink, leading=1.2)


SETTINGS = (
    Setting("roomy", 10, 8.8, 8.2, 12.5, 17, 7.2 * MM, 31 * MM, 18 * MM, 4.6),
    Setting("normal", 9.6, 8.6, 8, 12, 12, 6.4 * MM, 28 * MM, 14 * MM, 3.4),
    Setting("close", 9, 8.2, 7.6, 11, 8.5, 5.6 * MM, 25 * MM, 12 * MM, 2.2),
    Setting("tight", 8.4, 7.8, 7.2, 10, 6, 4.9 * MM, 21 * MM, 10 * MM, 1.2),
    Setting("least", 8.1, 7.4, 7, 9.6, 4.2, 4.4 * MM, 19 * MM, 8 * MM, 0.5),
)
