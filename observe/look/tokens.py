"""Colours, sizes and spaces: the only place where they are written down.

Petrol says the learner got there, rust did not, mulberry is critical, amber is
where the observer looks, violet is where the observer is. No family is used for
anything else.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Token(StrEnum):
    """Names of colours; each is a field of `Theme`."""

    GROUND = "ground"
    SHEET = "sheet"
    WELL = "well"
    KEY = "key"
    KEYHEEL = "keyheel"
    INK = "ink"
    INK2 = "ink2"
    LINE = "line"
    RULE = "rule"
    DONE = "done"
    DONEBG = "donebg"
    ONDONE = "ondone"
    PROMPT = "prompt"
    WRONG = "wrong"
    WRONGBG = "wrongbg"
    CRIT = "crit"
    CRITBG = "critbg"
    ACT = "act"
    ACTBG = "actbg"
    LAMP = "lamp"
    LAMPBG = "lampbg"
    ONLAMP = "onlamp"
    BAND = "band"
    ONBAND = "onband"
    ONBAND2 = "onband2"
    PANEL = "panel"


@dataclass(frozen=True, slots=True)
class Theme:
    """One set of colours, each "#RRGGBB"."""

    name: str
    ground: str
    """Behind everything, and bars."""
    sheet: str
    """Things to read: seats, panels."""
    well: str
    """The learner in front, open rows, inside of a bounds box; the paper of a sheet."""
    key: str
    keyheel: str
    ink: str
    ink2: str
    line: str
    """Borders and axes that carry meaning."""
    rule: str
    """Hairlines without meaning; never the only carrier of anything."""
    done: str
    donebg: str
    ondone: str
    prompt: str
    wrong: str
    wrongbg: str
    crit: str
    critbg: str
    act: str
    actbg: str
    lamp: str
    lampbg: str
    onlamp: str
    band: str
    onband: str
    onband2: str
    panel: str
    """A quiet block on white paper."""

    def colour(self, token: Token) -> str:
        """The colour of a token, "#RRGGBB"."""
        value: str = getattr(self, token.value)
        return value


LIGHT = Theme(
    name="light",
    ground="#DFE3DC",
    sheet="#F8F9F5",
    well="#FFFFFF",
    key="#FFFFFF",
    keyheel="#8A958D",
    ink="#17211D",
    ink2="#48554E",
    line="#727E77",
    rule="#C2C9C1",
    done="#0C4F5C",
    donebg="#E2EEEF",
    ondone="#FFFFFF",
    prompt="#2F7587",
    wrong="#B9431A",
    wrongbg="#FBEBE4",
    crit="#8A0F4A",
    critbg="#F8E6EE",
    act="#4A37A6",
    actbg="#ECE9F8",
    lamp="#F3BF3A",
    lampbg="#FFF3CF",
    onlamp="#17211D",
    band="#17211D",
    onband="#FFFFFF",
    onband2="#C9D3CC",
    panel="#F2F5F0",
)

DARK = Theme(
    name="dark",
    ground="#0B100E",
    sheet="#171E1B",
    well="#1D2522",
    key="#27312D",
    keyheel="#7D8A83",
    ink="#EEF2EC",
    ink2="#B3BEB7",
    line="#7F8C85",
    rule="#38433E",
    done="#7FD0D6",
    donebg="#1D3437",
    ondone="#0B1413",
    prompt="#58A7BA",
    wrong="#FF9E78",
    wrongbg="#3B241B",
    crit="#FF93C2",
    critbg="#3E1B2C",
    act="#B9AEFF",
    actbg="#2B2748",
    lamp="#F3BF3A",
    lampbg="#3A3115",
    onlamp="#17211D",
    band="#B4C1B9",
    onband="#0F1613",
    onband2="#2E3934",
    panel="#171E1B",
)

CONTRAST = Theme(
    name="high contrast",
    ground="#FFFFFF",
    sheet="#FFFFFF",
    well="#FFFFFF",
    key="#FFFFFF",
    keyheel="#000000",
    ink="#000000",
    ink2="#000000",
    line="#000000",
    rule="#757575",
    done="#003B45",
    donebg="#E2F4F6",
    ondone="#FFFFFF",
    prompt="#1A5666",
    wrong="#8A2800",
    wrongbg="#FFF1EA",
    crit="#7A003E",
    critbg="#FFEEF5",
    act="#2E1C96",
    actbg="#ECE9FF",
    lamp="#FFC20A",
    lampbg="#FFF5C9",
    onlamp="#000000",
    band="#000000",
    onband="#FFFFFF",
    onband2="#FFFFFF",
    panel="#FFFFFF",
)
"""Black on white. Grounds do not differ, so outlines are drawn twice as wide."""

CONTRAST_DARK = Theme(
    name="high contrast, dark",
    ground="#000000",
    sheet="#000000",
    well="#000000",
    key="#000000",
    keyheel="#FFFFFF",
    ink="#FFFFFF",
    ink2="#FFFFFF",
    line="#FFFFFF",
    rule="#757575",
    done="#8FE9F0",
    donebg="#00333A",
    ondone="#000000",
    prompt="#6FC3D8",
    wrong="#FFB08C",
    wrongbg="#2E1408",
    crit="#FFA3CD",
    critbg="#33001A",
    act="#CBC2FF",
    actbg="#231D52",
    lamp="#FFD24A",
    lampbg="#332800",
    onlamp="#000000",
    band="#FFFFFF",
    onband="#000000",
    onband2="#000000",
    panel="#000000",
)
"""White on black, for a dark room."""

THEMES = (LIGHT, DARK, CONTRAST, CONTRAST_DARK)
CONTRAST_OUTLINE = 2
"""Least px of a line round something in high contrast."""


class Weight(StrEnum):
    """Weights of the text face that ship with the program."""

    REGULAR = "regular"
    MEDIUM = "medium"
    BOLD = "bold"
    BLACK = "black"
    ITALIC = "italic"


@dataclass(frozen=True, slots=True)
class Density:
    """Text sizes in px for one kind of screen. Every one may be scaled, none goes below least."""

    name: str
    decision: float
    well_name: float
    well_name_low: float
    seat_name: float
    seat_name_least: float
    seat_number: float
    clock: float
    step_one_line: float
    step_two_lines: float
    step_low_one_line: float
    step_low_two_lines: float
    sentence: float
    sentence_low: float
    sentence_least: float
    key_word: float
    key_done: float
    reading: float
    second: float
    smallest: float
    least: float


HAND = Density(
    name="hand",
    decision=38,
    well_name=34,
    well_name_low=30,
    seat_name=25,
    seat_name_least=21,
    seat_number=26,
    clock=20,
    step_one_line=24,
    step_two_lines=23,
    step_low_one_line=22,
    step_low_two_lines=20,
    sentence=18,
    sentence_low=16,
    sentence_least=15,
    key_word=15,
    key_done=24,
    reading=17,
    second=15,
    smallest=14,
    least=14,
)
"""130 dots an inch and more, read at 40 to 50 cm."""

DESK = Density(
    name="desk",
    decision=34,
    well_name=24,
    well_name_low=24,
    seat_name=24,
    seat_name_least=21,
    seat_number=26,
    clock=19,
    step_one_line=19,
    step_two_lines=19,
    step_low_one_line=19,
    step_low_two_lines=19,
    sentence=18,
    sentence_low=16,
    sentence_least=15,
    key_word=14,
    key_done=19,
    reading=16,
    second=14,
    smallest=14,
    least=13.4,
)
"""Fewer dots an inch, read at 60 to 70 cm."""

HAND_FROM_DPI = 130
TEXT_LARGE = 18
"""px of text that is large already: above, it grows by as many px as text of this size."""
TEXT_LINE = 12
"""px up to which a length is a gap or a margin: it holds no text and does not grow with it."""
SIGN_SHARE = 0.4
"""How much of the growth of the text its marks and signs take part in."""
BAR_SHARE = 0.32
"""The same for the height of the bar, whose keys are higher than their text needs."""


def grown(size: float, text: float) -> float:
    """The size of a text at a text scale; both sizes in px, text 1 to 2."""
    return size + min(size, TEXT_LARGE) * (text - 1)


def density(dots_per_inch: float) -> Density:
    """The sizes for a screen, by its physical dots an inch."""
    return HAND if dots_per_inch >= HAND_FROM_DPI else DESK


SPACES = (4, 6, 8, 12, 18, 24)
"""Steps of space in px."""

UNIT = 2
KEY_GAP = 6
KEY_GAP_LOW = 5
CRITICAL_GAP_MM = 3
"""Clear space round every critical and stop target."""

ROUTINE_TARGET_MM = 12
CRITICAL_TARGET_MM = 20

RULE_WIDTH = 1
FREE_SEAT_WIDTH = 1.5
FRONT_WIDTH = 3
KEY_CORNER = 3
HEEL = 4
HEEL_LOW = 3
HEEL_LOW_UNDER = 44
"""Keys lower than this have the low heel."""
PRESS_SHIFT = 2
PRESS_BORDER = 2
RING_WIDTH = 3
RING_GAP = 4
LAMP_OUTLINE = 1.5

LINE_HEIGHT_KEY = 1.18
LINE_HEIGHT_READING = 1.25
CAPITAL_HEIGHT = 0.7165
"""Of the text face, in em."""


def luminance(colour: str) -> float:
    """Relative luminance of "#RRGGBB", 0 to 1 (WCAG 2.2, definition "relative luminance")."""
    channels = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition "contrast ratio")."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)
