"""Type for paper: which face has a letter, how wide a text is, where a line breaks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import groupby

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from observe.look.fonts import CODE, OTHER_SCRIPTS, OTHER_SCRIPTS_BOLD, TEXT, Face
from observe.look.tokens import CAPITAL_HEIGHT, LINE_HEIGHT_READING, Token, Weight
from observe.sheets.scripts import shown, turned

_HEAVY = frozenset({Weight.BOLD, Weight.BLACK})


@dataclass(frozen=True, slots=True)
class Style:
    """How a text is set. size in points; code: in the face for identifiers."""

    size: float
    weight: Weight = Weight.REGULAR
    ink: Token = Token.INK
    leading: float = LINE_HEIGHT_READING
    code: bool = False

    @property
    def line(self) -> float:
        """From one baseline to the next, in points."""
        return self.size * self.leading

    @property
    def cap(self) -> float:
        """Height of a capital, in points."""
        return self.size * CAPITAL_HEIGHT

    def at(self, size: float) -> Style:
        return replace(self, size=size)

    def in_ink(self, ink: Token) -> Style:
        return replace(self, ink=ink)

    def bold(self) -> Style:
        return replace(self, weight=Weight.BOLD)

    @property
    def faces(self) -> tuple[Face, ...]:
        """The face of this style, then those that stand in for letters it lacks."""
        other = OTHER_SCRIPTS_BOLD if self.weight in _HEAVY else OTHER_SCRIPTS
        return (CODE if self.code else TEXT[self.weight], other)


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of letters in one face, in the order they stand on paper."""

    text: str
    face: Face


_NOT_EMBEDDED = ("name", "OS/2")


@cache
def font(face: Face) -> TTFont:
    """The face, ready for measuring and embedding; read from its file once.

    Left out of what is embedded are its names, of which most are the words of its licence, and
    what only a system's own list of fonts needs: a PDF asks for neither (ISO 32000-1, 9.9).
    """
    made = TTFont(face.name, str(face.path()), asciiReadable=False)
    for table in _NOT_EMBEDDED:
        made.face.table.pop(table, None)
    pdfmetrics.registerFont(made)
    return made


@lru_cache(maxsize=65536)
def has(character: str) -> bool:
    """Whether some face that a text style falls back to has the letter."""
    return any(
        ord(character) in font(face).face.charToGlyph
        for face in (TEXT[Weight.REGULAR], OTHER_SCRIPTS)
    )


@lru_cache(maxsize=16384)
def prepared(text: str) -> str:
    """`text` as the faces can show it, still in the order of reading."""
    return shown(text, has)


def runs(line: str, style: Style) -> tuple[Run, ...]:
    """A prepared line as it stands on paper, cut where the face changes."""
    line = turned(line).replace("\u00a0", " ")
    first = style.faces[0]
    glyphs = font(first).face.charToGlyph
    if all(ord(c) in glyphs for c in line):
        return (Run(line, first),) if line else ()
    return tuple(
        Run("".join(letters), face)
        for face, letters in groupby(line, key=lambda c: _face_for(c, style))
    )


def _face_for(character: str, style: Style) -> Face:
    first, other = style.faces
    return first if ord(character) in font(first).face.charToGlyph else other


def width(line: str, style: Style) -> float:
    """Width of a prepared line, in points."""
    return _ems(line, style.weight, code=style.code) * style.size


@lru_cache(maxsize=65536)
def _ems(line: str, weight: Weight, *, code: bool) -> float:
    style = Style(1, weight, code=code)
    total: float = sum(font(run.face).stringWidth(run.text, 1000) for run in runs(line, style))
    return total / 1000


@lru_cache(maxsize=16384)
def broken(text: str, style: Style, room: float) -> tuple[str, ...]:
    """`text` in lines no wider than `room`; a word wider than that is broken within.

    A hard space keeps its words together where they fit. Empty text has no lines.
    """
    lines: list[str] = []
    line = ""
    for word in _words(prepared(text), style, room):
        longer = f"{line} {word}" if line else word
        if line and width(longer, style) > room:
            lines.append(line)
            line = word
        else:
            line = longer
    if line:
        lines.append(line)
    return tuple(lines)


def _words(text: str, style: Style, room: float) -> Iterator[str]:
    for word in text.split(" "):
        if width(word, style) <= room:
            if word:
                yield word
        elif "\u00a0" in word:
            yield from _words(word.replace("\u00a0", " "), style, room)
        else:
            yield from _pieces(word, style, room)


def _pieces(word: str, style: Style, room: float) -> Iterator[str]:
    """A word cut into pieces that fit, each but the last with a hyphen."""
    piece = ""
    for character in word:
        if piece and width(piece + character + "-", style) > room:
            yield piece + "-"
            piece = character
        else:
            piece += character
    yield piece


def largest(text: str, style: Style, sizes: tuple[float, ...], room: float, lines: int) -> Style:
    """The style at the first of `sizes` at which `text` takes at most `lines` unbroken lines.

    The last of `sizes` if none serves: the text then takes more lines.
    """
    for size in sizes:
        tried = style.at(size)
        words = prepared(text).replace("\u00a0", " ").split(" ")
        if all(width(word, tried) <= room for word in words) and (
            len(broken(text, tried, room)) <= lines
        ):
            return tried
    return style.at(sizes[-1])
