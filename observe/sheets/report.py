"""A director's report as a PDF, not yet signed: drawn as sheets are, with its record attached."""

from __future__ import annotations

from observe.sheets.record import digest_of
from observe.sheets.report_content import ReportContent
from observe.sheets.report_pages import compose
from observe.sheets.report_record import written
from observe.sheets.setting import Paper
from observe.sheets.sheet import Described, Unsigned, draw


def render(content: ReportContent, paper: Paper = Paper.A4) -> Unsigned:
    """Draw a report on A4 or US Letter."""
    kept = written(content)
    described = Described(
        f"Director's report: {content.title}",
        content.signer.name,
        "; ".join(content.facts[:1]),
        content.engine,
    )
    return draw(compose(content, paper, digest_of(kept)), kept, described, paper)
