"""Where each entry of a TOML text stands, so that a fault can name its line.

The standard reader gives values without places. This one gives places without
values; it expects a text that the standard reader accepts.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass

from observe.domain.foreign import one_line

Path = tuple[str | int, ...]
"""The way to an entry: table keys and, within lists, positions from 0."""

LONGEST_ENTRY = 72
DEEPEST = 16
"""Parts of a path beyond which places are no longer kept: no form goes that deep."""

_GAP = re.compile(r"(?:[ \t\n]+|#[^\n]*)*")
_BLANK = re.compile(r"[ \t]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BARE_VALUE = re.compile(r"[^,\]}#\n]+")
_STRINGS = (
    re.compile(r'"""(?:[^"\\]|\\.|"(?!""))*"{3,5}', re.DOTALL),
    re.compile(r"'''(?:[^']|'(?!''))*'{3,5}"),
    re.compile(r'"(?:[^"\\\n]|\\.)*"'),
    re.compile(r"'[^'\n]*'"),
)
_ESCAPE = re.compile(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(.))")
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}


@dataclass(frozen=True, slots=True)
class Place:
    """One entry of the text. line: from 1. entry: its own text, shortened to one line."""

    line: int
    entry: str


class Places:
    """The places of all entries of one text."""

    def __init__(self, text: str) -> None:
        """text: TOML that the standard reader accepts, lines ended by newlines alone."""
        self._text = text
        self._starts = [0, *(place + 1 for place, sign in enumerate(text) if sign == "\n")]
        self._spans: dict[Path, tuple[int, int]] = {}
        self._lists: dict[Path, int] = {}
        self._at = 0
        self._read()

    def paths(self) -> tuple[Path, ...]:
        """Every path that has a place, in the order of the text."""
        return tuple(self._spans)

    def find(self, path: Path) -> Place:
        """The place of an entry, or of the nearest entry around it that the text has."""
        for length in range(len(path), 0, -1):
            span = self._spans.get(path[:length])
            if span is not None:
                return self._place(*span)
        return Place(1, "")

    def _place(self, start: int, end: int) -> Place:
        entry = one_line(self._text[start:end], LONGEST_ENTRY)
        return Place(bisect_right(self._starts, start), entry)

    # ------------------------------------------------------------ reading

    def _read(self) -> None:
        table: Path = ()
        self._skip(_GAP)
        while self._at < len(self._text):
            if self._text[self._at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._skip(_GAP)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self._text, self._at)
        if found:
            self._at = found.end()

    def _header(self) -> Path:
        start = self._at
        listed = self._text.startswith("[[", start)
        self._at += 2 if listed else 1
        *way, last = self._key()[:DEEPEST]
        self._at += 2 if listed else 1
        path: Path = ()
        for part in way:
            path = self._latest((*path, part), start)
        path = (*path, last)
        if listed:
            self._note(path, start, self._at)
            self._lists[path] = self._lists.get(path, -1) + 1
            path = (*path, self._lists[path])
        self._note(path, start, self._at)
        return path

    def _latest(self, path: Path, start: int) -> Path:
        """A table on the way to another; of a list of tables, the latest one."""
        self._note(path, start, self._at)
        return (*path, self._lists[path]) if path in self._lists else path

    def _pair(self, table: Path) -> None:
        start = self._at
        parts = self._key()
        self._at += 1
        self._skip(_BLANK)
        path = (*table, *parts)
        for length in range(len(table) + 1, min(len(path), DEEPEST)):
            self._note(path[:length], start, self._at)
        self._note(path, start, self._at)
        self._value(path)
        self._spans[path] = (start, self._at)

    def _note(self, path: Path, start: int, end: int) -> None:
        self._spans.setdefault(path, (start, end))

    def _key(self) -> list[str]:
        """A key and what follows it up to its `=` or `]`, as its dotted parts."""
        parts: list[str] = []
        while True:
            self._skip(_BLANK)
            parts.append(self._key_part())
            self._skip(_BLANK)
            if not self._text.startswith(".", self._at):
                return parts
            self._at += 1

    def _key_part(self) -> str:
        start = self._at
        quote = self._text[start]
        if quote not in "\"'":
            self._skip(_BARE_KEY)
            return self._text[start : self._at]
        self._string()
        inner = self._text[start + 1 : self._at - 1]
        return inner if quote == "'" else _ESCAPE.sub(_unescape, inner)

    def _string(self) -> None:
        for pattern in _STRINGS:
            found = pattern.match(self._text, self._at)
            if found:
                self._at = found.end()
                return

    def _value(self, path: Path) -> None:
        sign = self._text[self._at]
        if sign in "\"'":
            self._string()
        elif sign == "[":
            self._list(path)
        elif sign == "{":
            self._inline(path)
        else:
            self._skip(_BARE_VALUE)

    def _list(self, path: Path) -> None:
        self._at += 1
        place = 0
        self._skip(_GAP)
        while self._text[self._at] != "]":
            start = self._at
            self._value((*path, place))
            self._spans[(*path, place)] = (start, self._at)
            place += 1
            self._next()
        self._at += 1

    def _inline(self, path: Path) -> None:
        self._at += 1
        self._skip(_GAP)
        while self._text[self._at] != "}":
            self._pair(path)
            self._next()
        self._at += 1

    def _next(self) -> None:
        self._skip(_GAP)
        if self._text[self._at] == ",":
            self._at += 1
            self._skip(_GAP)


def _unescape(found: re.Match[str]) -> str:
    number = found[1] or found[2]
    return chr(int(number, 16)) if number else _ESCAPED.get(found[3], found[3])
