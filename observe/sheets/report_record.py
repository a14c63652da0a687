"""The record that a report carries: what its pages say as canonical JSON, there and back."""

from __future__ import annotations

import json

from observe.domain.canonical import canonical
from observe.domain.troubles import BadInput
from observe.sheets.record import FILE_NAME, made, plain
from observe.sheets.report_content import ReportContent

FORMAT = 1


def written(content: ReportContent) -> bytes:
    """The record of a report, canonical JSON in UTF-8."""
    return canonical({"format": FORMAT, "report": plain(content)})


def is_report(record: bytes) -> bool:
    """Whether a record says that it is a report's."""
    try:
        outer = json.loads(record)
    except (ValueError, RecursionError):
        return False
    return isinstance(outer, dict) and "report" in outer


def read(record: bytes) -> ReportContent:
    """The content of a record. Raises `BadInput` for anything else."""
    try:
        outer = json.loads(record)
        content = made(ReportContent, outer["report"]) if outer["format"] == FORMAT else None
    except (ValueError, LookupError, TypeError, RecursionError, ArithmeticError) as error:
        raise _unreadable() from error
    if not isinstance(content, ReportContent) or written(content) != record:
        raise _unreadable()
    return content


def _unreadable() -> BadInput:
    return BadInput(
        "The record inside the file is not that of a report that this program reads.",
        where=FILE_NAME,
        remedy="Check it with the version of the program that made it.",
    )
