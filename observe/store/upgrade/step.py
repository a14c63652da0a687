"""One upgrade step: what it says of itself, and how it is taken."""

from __future__ import annotations

import sqlite3
from typing import NamedTuple


class Step(NamedTuple):
    """A step to format `leads_to`. needs: what asked for it, kept in the file's own record."""

    leads_to: int
    needs: str
    statements: tuple[str, ...]

    def take(self, connection: sqlite3.Connection, *, at: str) -> None:
        """Take the step and write its record, inside a transaction of the caller."""
        for statement in self.statements:
            connection.execute(statement)
        connection.execute("INSERT INTO upgrade VALUES (?, ?, ?)", (self.leads_to, at, self.needs))
        connection.execute(f"PRAGMA user_version = {self.leads_to:d}")
