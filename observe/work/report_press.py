"""Issuing a director's report: from its figures to a signed file, kept in the log."""

from __future__ import annotations

import hashlib
from datetime import datetime
from pathlib import Path

from observe import __version__
from observe.domain.events import Draft
from observe.domain.troubles import Refused
from observe.work.known import signing_key
from observe.work.logbooks import Logbook
from observe.work.report_figures import Report
from observe.work.report_pages import pages_of
from observe.work.whole_file import write_whole

ISSUED = "report-issued"


def now(logbook: Logbook) -> datetime:
    """The time of this machine, with its offset."""
    return datetime.fromisoformat(logbook.machine.stamp().at).astimezone()


def issue_report(logbook: Logbook, made: Report, path: Path, *, by: str, paper: str = "A4") -> None:
    """Print, sign and keep a report at `path`; nothing that is there is written over.

    by: id of the person who answers for it. paper: "A4" or "Letter". Raises Refused where there
    is a file already, and for a key that cannot sign now.
    """
    from observe.sheets.content import Signer
    from observe.sheets.record import digest_of
    from observe.sheets.report import render
    from observe.sheets.report_record import written
    from observe.sheets.setting import Paper
    from observe.sheets.sign import sign

    if path.exists():
        raise Refused(
            "There is a file in that place already.",
            where=str(path),
            remedy="Name another file; a report is never written over.",
        )
    moment = now(logbook)
    key = signing_key(logbook, by, moment)
    signer = Signer(
        name=logbook.names().get(by, by),
        part="director",
        at=moment.strftime("%d %B %Y, %H:%M").lstrip("0"),
        key=key.label,
        fingerprint=key.fingerprint,
    )
    content = pages_of(made, signer, __version__)
    pdf = sign(render(content, Paper(paper)), key, moment)
    write_whole(path, pdf)
    body = {
        "sha256": hashlib.sha256(pdf).hexdigest(),
        "record": digest_of(written(content)),
        "form": made.form.id,
    }
    logbook.append([Draft(ISSUED, body, by=by)])
