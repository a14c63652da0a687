"""What one upgrade step says of itself."""

from __future__ import annotations

from typing import NamedTuple


class Step(NamedTuple):
    """A step to the next format. needs: what asked for it, kept in the file's own record."""

    needs: str
    statements: tuple[str, ...]
