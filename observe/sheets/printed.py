"""Whether what a file prints is what its record says: the record is drawn again and compared."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto

from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.reader import PdfFileReader

from observe.sheets import reading
from observe.sheets.kept import Content, drawn
from observe.sheets.lockstep import difference
from observe.sheets.setting import Paper
from observe.sheets.sheet import Unsigned


class Likeness(Enum):
    """How a printed sheet compares with its record drawn again."""

    SAME = auto()
    SAME_WORDS = auto()
    DIFFERENT = auto()


@dataclass(frozen=True, slots=True)
class Comparison:
    """only_printed, only_recorded: words, a few at most, in the order of the page."""

    likeness: Likeness
    only_printed: tuple[str, ...] = ()
    only_recorded: tuple[str, ...] = ()


_A_FEW = 6
_NOT_OF_THE_PAGE = frozenset({"/Annots", "/Parent"})


def drawn_again(reader: PdfFileReader, content: Content) -> Unsigned:
    """The record of a file drawn again, on the paper of the file. Raises `reading.Damaged`."""
    return drawn(content, _paper(reader))


def compare(reader: PdfFileReader, again: Unsigned) -> Comparison:
    """The pages of a file against its record drawn again. Raises `reading.Damaged`.

    The same are pages with the same entries and no other: what is drawn, and what cuts,
    turns or scales it. What lies over the pages is not part of it (`sealed`).
    """
    own = reading.opened(again.pdf)
    if difference(reader.root["/Pages"], own.root["/Pages"], _NOT_OF_THE_PAGE) is None:
        return Comparison(Likeness.SAME)
    return _compare_words(_all_words(reading.pages(reader)), _all_words(reading.pages(own)))


def _paper(reader: PdfFileReader) -> Paper:
    width, _ = reading.page_size(reader)
    return min(Paper, key=lambda paper: abs(paper.size[0] - width))


def _compare_words(theirs: list[str], ours: list[str]) -> Comparison:
    printed, recorded = Counter(theirs), Counter(ours)
    if printed == recorded:
        return Comparison(Likeness.SAME_WORDS)
    return Comparison(
        Likeness.DIFFERENT,
        _few(theirs, printed - recorded),
        _few(ours, recorded - printed),
    )


def _few(words: list[str], extra: Counter[str]) -> tuple[str, ...]:
    return tuple(word for word in dict.fromkeys(words) if extra[word])[:_A_FEW]


def _all_words(pages: tuple[generic.DictionaryObject, ...]) -> list[str]:
    return [word for page in pages for word in words(page)]


_TOKEN = re.compile(
    rb"/(?P<font>[^\s/()<>\[\]]+)\s+[\d.]+\s+Tf"
    rb"|(?P<text>\((?:\\.|[^\\()])*\))\s*Tj"
    rb"|(?P<end>\bET\b)",
    re.DOTALL,
)
_ESCAPE = re.compile(rb"\\([0-7]{1,3}|.)", re.DOTALL)
_LETTERS = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


@reading.guarded
def words(page: generic.DictionaryObject) -> list[str]:
    """The words a page of this program shows, in the order they are drawn.

    Raises `reading.Damaged`.
    """
    fonts = page["/Resources"]["/Font"]
    tables = {name: _unicode_of(fonts[name]) for name in fonts}
    table: dict[int, str] = {}
    found: list[str] = []
    line = ""
    for token in _TOKEN.finditer(reading.drawing_of(page)):
        if token["font"]:
            table = tables.get("/" + token["font"].decode("latin-1"), {})
        elif token["text"]:
            line += "".join(table.get(code, chr(code)) for code in _unescaped(token["text"][1:-1]))
        else:
            found.extend(line.split())
            line = ""
    return found


def _unescaped(text: bytes) -> bytes:
    def plain(match: re.Match[bytes]) -> bytes:
        if match[1].isdigit():
            return bytes([int(match[1], 8) & 0xFF])
        return _LETTERS.get(match[1], match[1])

    return _ESCAPE.sub(plain, text)


def _unicode_of(font: generic.DictionaryObject) -> dict[int, str]:
    """Code to letter, from the table that a font carries (ISO 32000-2, 9.10.3)."""
    return dict(_mapped(font["/ToUnicode"].data)) if "/ToUnicode" in font else {}


_CODES = re.compile(rb"<([0-9A-Fa-f]+)>")


def _mapped(table: bytes) -> Iterator[tuple[int, str]]:
    for block in re.findall(rb"beginbfchar(.*?)endbfchar", table, re.DOTALL):
        codes = _CODES.findall(block)
        for code, letter in zip(codes[::2], codes[1::2], strict=True):
            yield int(code, 16), _letter(letter)
    for block in re.findall(rb"beginbfrange(.*?)endbfrange", table, re.DOTALL):
        yield from _ranges(block)


def _ranges(block: bytes) -> Iterator[tuple[int, str]]:
    pattern = rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*(\[[^\]]*\]|<[0-9A-Fa-f]+>)"
    for first, last, target in re.findall(pattern, block):
        start = int(first, 16)
        codes = _CODES.findall(target)
        if target.startswith(b"["):
            yield from ((start + n, _letter(code)) for n, code in enumerate(codes))
        else:
            base = int(codes[0], 16)
            yield from ((start + n, chr(base + n)) for n in range(int(last, 16) - start + 1))


def _letter(code: bytes) -> str:
    return bytes.fromhex(code.decode("ascii")).decode("utf-16-be", "replace")
