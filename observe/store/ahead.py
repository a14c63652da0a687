"""Reading ahead: the next piece is made while the one before it is written.

SQLite does its work without the interpreter's lock, so reading and writing go on side by side.
"""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

Piece = TypeVar("Piece")


def ahead(pieces: Iterator[Piece]) -> Iterator[Piece]:
    """The same pieces in the same order, each made one ahead in a thread of its own.

    What is raised in making a piece is raised in its place. None is no piece: it ends them.
    """
    with ThreadPoolExecutor(max_workers=1) as other:
        waiting = other.submit(next, pieces, None)
        while (piece := waiting.result()) is not None:
            waiting = other.submit(next, pieces, None)
            yield piece
