"""Issuing sheets: from an attempt's result to a signed file, kept in the log."""

from __future__ import annotations

import hashlib
import os
import re
import tempfile
import unicodedata
from datetime import datetime
from pathlib import Path

from observe.domain.canonical import digest
from observe.domain.events import Draft, Event
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult
from observe.work.keys import personal_key
from observe.work.logbooks import Logbook


class Press:
    """Prints and signs the sheets of one workshop into a folder.

    paper: "A4" or "Letter". Each sheet is signed with the personal key of its
    attempt's first observer, made on first use beside the logbook.
    """

    def __init__(
        self, logbook: Logbook, workshop: Workshop, folder: Path, *, paper: str = "A4"
    ) -> None:
        self.logbook = logbook
        self.workshop = workshop
        self.folder = folder
        self.paper = paper

    def issue(self, result: AttemptResult) -> Path:
        """Print, sign and keep an attempt's sheet; a later one supersedes the earlier.

        Raises Refused until every planned observer has sealed.
        """
        from observe.sheets.content import Revision, Signer
        from observe.sheets.keys import UNCONFIRMED
        from observe.sheets.setting import Paper
        from observe.sheets.sheet import render
        from observe.sheets.sign import sign
        from observe.work.sheet_content import Composer

        if not result.reveals:
            raise Refused(
                "This sheet cannot be made yet.", remedy="Every planned observer seals first."
            )
        seat = result.seat
        observer = seat.first
        name = self.logbook.names().get(observer, observer)
        stamp = self.logbook.machine.stamp()
        moment = datetime.fromisoformat(stamp.at).astimezone()
        key = personal_key(self.logbook.path.parent / "keys", observer, name, moment)
        earlier = self._issued(seat)
        signer = Signer(
            name=name,
            part="observer",
            at=moment.strftime("%d %B %Y, %H:%M").lstrip("0"),
            key=UNCONFIRMED,
            fingerprint=key.fingerprint,
        )
        revision = Revision(len(earlier) + 1, _superseded(earlier))
        composer = Composer(self.logbook, self.workshop, result)
        content = composer.content(signer, revision, self._events_digest(result))
        pdf = sign(render(content, Paper(self.paper)), key, moment)
        path = self.folder / self._file_name(seat, revision.number)
        _write(path, pdf)
        self._keep(seat, pdf, revision.number)
        return path

    def standing(self, seat: Seat) -> Path | None:
        """The sheet that was issued last, if it is there and nothing changed since."""
        events = self.logbook.log.read(attempt=seat.attempt)
        if not events or events[-1].kind != "sheet-issued":
            return None
        last = events[-1].body
        path = self.folder / self._file_name(seat, int(last["revision"]))
        if not path.is_file():
            return None
        same = hashlib.sha256(path.read_bytes()).hexdigest() == last["sha256"]
        return path if same else None

    def _issued(self, seat: Seat) -> list[Event]:
        return list(self.logbook.log.read(attempt=seat.attempt, kinds=("sheet-issued",)))

    def _events_digest(self, result: AttemptResult) -> str:
        """Digest over the hashes of all events that the sheet rests on."""
        ids = {one.observation.id for one in result.reveals}
        events = self.logbook.log.read(attempt=result.seat.attempt)
        return digest([event.hash for event in events if event.observation in ids])

    def _file_name(self, seat: Seat, revision: int) -> str:
        learner = self.logbook.names().get(seat.learner, seat.learner)
        later = f"-revision-{revision}" if revision > 1 else ""
        return f"{seat.number:02}-{_slug(learner)}{later}.pdf"

    def _keep(self, seat: Seat, pdf: bytes, revision: int) -> None:
        body = {"sha256": hashlib.sha256(pdf).hexdigest(), "revision": revision}
        draft = Draft("sheet-issued", body, self.workshop.id, seat.attempt, by=seat.first)
        self.logbook.append([draft])


def _superseded(earlier: list[Event]) -> str:
    if not earlier:
        return ""
    last = earlier[-1].body
    return f"revision {last['revision']}, {str(last['sha256'])[:12]}"


def _slug(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-") or "learner"


def _write(path: Path, data: bytes) -> None:
    """Write a file whole or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    finally:
        Path(name).unlink(missing_ok=True)
