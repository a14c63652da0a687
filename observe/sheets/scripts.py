"""Letters of every script, as a page that only places letters side by side can show them.

Right-to-left words are turned, Arabic letters take the form of their place in the
word (the presentation forms of Unicode), letters that no shipped face has are
given by their Unicode number. Scripts that need more than that (Devanagari, Thai
and their like) fall under the last.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping
from functools import cache, lru_cache
from types import MappingProxyType

NUMBERED_NOTE = (
    "Letters that the faces of this sheet lack are given by their Unicode numbers;"
    " the attached record holds them as written."
)

_RIGHT_TO_LEFT = frozenset({"R", "AL"})
_MIRRORED = str.maketrans("()[]{}<>«»", ")(][}{><»«")


def tidy(text: str) -> str:
    """One line of text: NFC, blanks single, no characters that only steer."""
    text = unicodedata.normalize("NFC", text)
    if not text.replace("\u00a0", " ").isprintable():
        text = "".join(
            " " if _is_blank(c) else c for c in text if unicodedata.category(c) not in _STEERING
        )
    return " ".join(part for part in text.split(" ") if part)


_STEERING = frozenset({"Cf", "Cs", "Co", "Cn"})


def _is_blank(character: str) -> bool:
    return character != "\u00a0" and (
        character.isspace() or unicodedata.category(character) in {"Cc", "Zs"}
    )


def shown(text: str, has: Callable[[str], bool]) -> str:
    """`text` tidied, joined where Arabic asks for it, unknown letters as numbers.

    has: whether some shipped face has a letter. Still in the order of reading:
    `turned` comes after lines are broken.
    """
    text = tidy(text)
    if text.isascii():
        return text
    joined = _joined(text) if any("\u0600" <= c <= "\u06ff" for c in text) else text
    if all(c in {" ", "\u00a0"} or has(c) for c in joined):
        return joined
    return _numbered(text if joined == text else joined, has)


def needs_note(text: str, has: Callable[[str], bool]) -> bool:
    """Whether `shown` would have to give a letter of `text` by its number."""
    if text.isascii():
        return False
    letters = "".join(sorted(set(unicodedata.normalize("NFC", text))))
    return not all(c in {" ", "\u00a0"} or has(c) for c in tidy(letters))


def _numbered(text: str, has: Callable[[str], bool]) -> str:
    parts: list[str] = []
    for character in text:
        if character in {" ", "\u00a0"} or has(character):
            parts.append(character)
        else:
            parts.append(f"[{ord(character):04X}]")
    return "".join(parts)


@lru_cache(maxsize=4096)
def turned(line: str) -> str:
    """One broken line, its right-to-left stretches in the order they stand on paper.

    A line without any letter that runs left to right is one such stretch, stops and all.
    """
    if line.isascii():
        return line
    kinds = [unicodedata.bidirectional(character) for character in line]
    if not _RIGHT_TO_LEFT.intersection(kinds):
        return line
    if "L" not in kinds:
        return _reversed(line)
    out: list[str] = []
    place = 0
    while place < len(line):
        if kinds[place] not in _RIGHT_TO_LEFT:
            out.append(line[place])
            place += 1
            continue
        end = _end_of_stretch(line, kinds, place)
        out.append(_reversed(line[place:end]))
        place = end
    return "".join(out)


def runs_leftward(text: str) -> bool:
    """Whether all letters of a text that have a direction run from right to left."""
    if text.isascii():
        return False
    kinds = {unicodedata.bidirectional(character) for character in text}
    return "L" not in kinds and not _RIGHT_TO_LEFT.isdisjoint(kinds)


def _end_of_stretch(line: str, kinds: list[str], start: int) -> int:
    """Behind the last right-to-left letter before the next letter that runs left to right.

    A bracket that closes one opened within belongs to it.
    """
    last = start
    for place in range(start, len(kinds)):
        if kinds[place] == "L":
            break
        if kinds[place] in _RIGHT_TO_LEFT or kinds[place] == "NSM":
            last = place
    inside = line[start : last + 1]
    after = line[last + 1 : last + 2]
    opener = _OPENER.get(after)
    if opener and inside.count(opener) > inside.count(after):
        last += 1
    return last + 1


_OPENER: Mapping[str, str] = MappingProxyType({")": "(", "]": "[", "}": "{", "»": "«"})
_FIGURES = re.compile(r"\d+(?:[.,:/]\d+)*")


def _reversed(stretch: str) -> str:
    """A stretch from its end to its start; figures within it keep their order."""
    clusters: list[str] = []
    place = 0
    while place < len(stretch):
        figures = _FIGURES.match(stretch, place)
        cluster = figures[0] if figures else stretch[place].translate(_MIRRORED)
        if clusters and not figures and unicodedata.bidirectional(cluster) == "NSM":
            clusters[-1] += cluster
        else:
            clusters.append(cluster)
        place += len(cluster)
    return "".join(reversed(clusters))


def as_written(text: str) -> str:
    """Letters of `shown` as they are typed: Arabic ones without the form of their place."""
    if text.isascii():
        return text
    return "".join(
        unicodedata.normalize("NFKC", c) if "\ufb50" <= c <= "\ufefc" else c for c in text
    )


@cache
def _forms() -> Mapping[str, Mapping[str, str]]:
    """Arabic letter to its forms by place, read from the character database."""
    forms: dict[str, dict[str, str]] = {}
    for code in (*range(0xFB50, 0xFBB2), *range(0xFBD3, 0xFC00), *range(0xFE80, 0xFEF5)):
        parts = unicodedata.decomposition(chr(code)).split()
        if len(parts) == 2:
            forms.setdefault(chr(int(parts[1], 16)), {})[parts[0].strip("<>")] = chr(code)
    return MappingProxyType(forms)


def _joined(text: str) -> str:
    """Arabic letters in the form of their place; all else as it was."""
    forms = _forms()
    letters = [c for c in enumerate(text) if unicodedata.category(c[1]) != "Mn"]
    out = list(text)
    for place, (index, letter) in enumerate(letters):
        own = forms.get(letter)
        if own is None:
            continue
        before = place > 0 and "initial" in forms.get(letters[place - 1][1], {})
        following = letters[place + 1][1] if place + 1 < len(letters) else ""
        after = "initial" in own and "final" in forms.get(following, {})
        name = _PLACES[bool(before and "final" in own), after]
        out[index] = own.get(name, letter)
    return "".join(out)


_PLACES: Mapping[tuple[bool, bool], str] = MappingProxyType(
    {
        (False, False): "isolated",
        (False, True): "initial",
        (True, True): "medial",
        (True, False): "final",
    }
)
