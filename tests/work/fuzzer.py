"""A fuzzer that is led by coverage: it keeps what reached a line that nothing reached before."""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Callable, Sequence
from types import FrameType
from typing import Any

from observe.domain.canonical import canonical
from observe.domain.events import FIRST

Lines = tuple[bytes, ...]
VALUES: tuple[Any, ...] = (
    None,
    True,
    0,
    -1,
    1 << 50,
    "",
    "x" * 300,
    "\u202e",
    [],
    {},
    [[]],
    {"device": 1},
    ["a", 2],
    {"d": [1]},
)


class Fuzzer:
    """Changes lines of a packet, and learns which changes lead to new places in some files."""

    def __init__(self, seed: int, first: Sequence[Lines], files: str) -> None:
        self.draw = random.Random(seed)
        self.corpus = list(first)
        self.files = files
        self.reached: set[tuple[str, int]] = set()

    def run(self, times: int, judge: Callable[[Lines], None]) -> int:
        """Try so many changes; how many of them were kept. judge: raises where one does harm."""
        kept = 0
        for _ in range(times):
            lines = self.changed(self.draw.choice(self.corpus))
            before = len(self.reached)
            sys.settrace(self._trace)
            try:
                judge(lines)
            finally:
                sys.settrace(None)
            if len(self.reached) > before:
                self.corpus.append(lines)
                kept += 1
        return kept

    def _trace(self, frame: FrameType, *_: object) -> Any:  # noqa: ANN401 - as Python has it
        if self.files not in frame.f_code.co_filename:
            return None
        self.reached.add((frame.f_code.co_filename, frame.f_lineno))
        return self._trace

    def changed(self, lines: Lines) -> Lines:
        """Some lines with one to three changes, chained anew half of the time."""
        changed = list(lines)
        for _ in range(self.draw.randint(1, 3)):
            if changed:
                self._change(changed)
        return tuple(chained(changed) if self.draw.random() < 0.7 else changed)

    def _change(self, lines: list[bytes]) -> None:
        place = self.draw.randrange(len(lines))
        kind = self.draw.random()
        if kind < 0.6:
            lines[place] = self._other_value(lines[place])
        elif kind < 0.7:
            data = bytearray(lines[place])
            data[self.draw.randrange(len(data))] ^= 1 << self.draw.randrange(8)
            lines[place] = bytes(data)
        elif kind < 0.8:
            del lines[place]
        elif kind < 0.9:
            lines.insert(place, self.draw.choice(lines))
        else:
            other = self.draw.randrange(len(lines))
            lines[place], lines[other] = lines[other], lines[place]

    def _other_value(self, line: bytes) -> bytes:
        """A line with another value somewhere in it."""
        try:
            held = json.loads(line)
        except ValueError:
            return line
        if not isinstance(held, dict):
            return line
        target = held
        if isinstance(held.get("body"), dict) and self.draw.random() < 0.8:
            target = held["body"]
        names = [*target, "turn", "heads", "seal", "follows"]
        target[self.draw.choice(names)] = self.draw.choice(VALUES)
        try:
            return canonical(held)
        except (ValueError, TypeError):
            return line


def chained(lines: Sequence[bytes]) -> list[bytes]:
    """The lines with hashes that follow from each other, as their writer could have made them."""
    import hashlib

    found, seqs, heads = [], dict[str, int](), dict[str, str]()
    for line in lines:
        try:
            held = json.loads(line)
            device = held["device"]
            if "kind" not in held:
                raise ValueError("no event")  # noqa: TRY301 - as it is
            seqs[device] = seqs.get(device, 0) + 1
            held["seq"], held["prev"] = seqs[device], heads.get(device, FIRST)
            written = canonical(held)
        except (ValueError, TypeError, KeyError, AttributeError):
            found.append(line)
            continue
        heads[device] = hashlib.sha256(written).hexdigest()
        found.append(written)
    return found
