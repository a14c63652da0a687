"""What every verb that reads a person's table has in common: its options, and faulty rows told."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.work.table_file import TableFile


def add_reading(verb: argparse.ArgumentParser) -> None:
    """How the file is read, and whether the answer is for a program."""
    verb.add_argument(
        "--decimal-comma", action="store_true", help="read 57,5 as a number with decimals"
    )
    verb.add_argument(
        "--encoding", choices=("utf-8", "latin-1"), default="utf-8",
        help="of a file without a byte order mark (default: utf-8)",
    )  # fmt: skip
    verb.add_argument("--json", action="store_true", help="write JSON for programs")


def number(text: str) -> float:
    """A finite number; 57,5 is one too."""
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = float("nan")
    if not -1e30 < value < 1e30:
        raise argparse.ArgumentTypeError(f"{text} is not a number")
    return value


def share(text: str) -> float:
    """A number between 0 and 1, both left out."""
    value = number(text)
    if not 0 < value < 1:
        raise argparse.ArgumentTypeError(f"{text} is not between 0 and 1")
    return value


def whole(text: str) -> int:
    """A whole number from 1."""
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 1_000_000):
        raise argparse.ArgumentTypeError(f"{text} is no whole number from 1")
    return int(text)


def told(files: Iterable[TableFile]) -> None:
    """Say on standard error what was read otherwise than a reader might expect.

    Raises BadInput where rows are faulty, after each was listed.
    """
    known = [*files]
    for file in known:
        for notice in file.notices:
            print(f"observe: {shown_path(file.path)}: {seen(notice)}", file=sys.stderr)
    faulty = [file for file in known if file.faults]
    if faulty:
        raise _listed(faulty)


def _listed(files: list[TableFile]) -> BadInput:
    """List the faults; the trouble that sums them up."""
    count = 0
    for file in files:
        for fault in sorted(file.faults):
            place = f"{shown_path(file.path)}:{fault.line}"
            print(f"{place}: {seen(fault.sentence)} {seen(fault.remedy)}", file=sys.stderr)
            count += 1
    noun = "fault" if count == 1 else "faults"
    stopped = "; reading stopped at the last of them" if any(one.cut for one in files) else ""
    return BadInput(
        f"Nothing was computed: there {'is' if count == 1 else 'are'} {count:,} {noun}{stopped}.",
        where=", ".join(str(file.path) for file in files),
        remedy="Put the lines named above right and run the command again.",
    )
