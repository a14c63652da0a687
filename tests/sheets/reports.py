"""Invented reports to draw."""

from __future__ import annotations

from observe import __version__
from observe.sheets.content import Signer
from observe.sheets.report_content import Bar, ReportContent, Section, Table

SIGNER = Signer("Prof. Hester Achterberg", "director", "1 June 2026, 12:00", "", "")


def short(*, rows: int = 3, texts: int = 1) -> ReportContent:
    """A report with one table of so many rows, and so many long sentences."""
    bars = [Bar(-100 + 10 * at, 200, 500 + 10 * at) for at in range(rows)]
    table = Table(
        "Steps",
        ("step", "value", "interval", "pairs"),
        tuple((f"{at}  Names the interspace", "0.20", "−0.10 to 0.50", "32") for at in range(rows)),
        bars=(Bar(0, None, 0), *bars[1:]),
        ticks=(-400, 0, 400, 1000),
    )
    counts = Table(
        "Attempts, 64 in all", ("attempt", "number"), (("pass", "16"), ("void", "hidden"))
    )
    words = " ".join(["Each observer marked alone and saw no other's marks."] * 8)
    return ReportContent(
        title="Adult lumbar puncture",
        facts=("Form LPX 1.0, not clinically reviewed.", "Workshops: 8."),
        sections=(
            Section("In short", (words,) * texts),
            Section("11  Numbers", ("Counted.",), (counts, table)),
            Section("Bear in mind", ()),
        ),
        caution="For education. Local protocol prevails.",
        signer=SIGNER,
        engine=__version__,
    )
