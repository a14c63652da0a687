"""Start of the program: hands over to a verb of the command line, or to the desk."""

from __future__ import annotations

import sys
from pathlib import Path

from observe.commands.main import run


def main() -> int:
    """Run the program with the process's own arguments; returns the exit code."""
    return run(desk=_desk)


def _desk(logbook: Path | None) -> int:
    from observe.desk.app import open_desk

    return open_desk(logbook)


if __name__ == "__main__":
    sys.exit(main())
