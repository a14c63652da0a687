"""What a record inside a file is of: a learner's sheet, or a director's report."""

from __future__ import annotations

from observe.sheets import record, report, report_record, sheet
from observe.sheets.content import Part, SheetContent
from observe.sheets.report_content import FIELD, ReportContent
from observe.sheets.setting import Paper
from observe.sheets.sheet import Unsigned

Content = SheetContent | ReportContent
FIELDS = frozenset({*(part.value for part in Part), FIELD})
"""Names of all places for signatures that our files have."""


def read(kept: bytes) -> Content:
    """The content of either record. Raises BadInput for anything else."""
    return report_record.read(kept) if report_record.is_report(kept) else record.read(kept)


def drawn(content: Content, paper: Paper) -> Unsigned:
    """The content drawn again."""
    if isinstance(content, ReportContent):
        return report.render(content, paper)
    return sheet.render(content, paper)


def first_field(content: Content | None) -> str:
    """The place that whoever made the file signs."""
    return FIELD if isinstance(content, ReportContent) else Part.DECIDED.value


def engine(content: Content) -> str:
    """The version of the program that made it."""
    return content.engine if isinstance(content, ReportContent) else content.origin.engine


def facts(content: Content) -> dict[str, str | int | None]:
    """What a record says it is of, for programs."""
    if isinstance(content, ReportContent):
        return {"report": content.title}
    return {
        "learner": content.occasion.learner,
        "decision": content.decision.word,
        "revision": content.revision.number,
        "supersedes": content.revision.supersedes,
        "events": content.origin.events_digest,
        "attempt": content.occasion.attempt,
    }
