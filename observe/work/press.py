"""Issuing sheets: from an attempt's result to a signed file, kept in the log."""

from __future__ import annotations

import hashlib
from datetime import datetime
from pathlib import Path

from observe.domain.canonical import digest
from observe.domain.events import Draft, Event
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult, standing_signature
from observe.work.incidents import KIND as INCIDENT
from observe.work.keys import personal_key
from observe.work.logbooks import Logbook
from observe.work.whole_file import slug, write_whole


class Press:
    """Prints and signs the sheets of one workshop into a folder.

    paper: "A4" or "Letter". A sheet is signed with the personal key of the person
    who issues it, made on first use beside the logbook.
    """

    def __init__(
        self, logbook: Logbook, workshop: Workshop, folder: Path, *, paper: str = "A4"
    ) -> None:
        self.logbook = logbook
        self.workshop = workshop
        self.folder = folder
        self.paper = paper

    def issue(self, result: AttemptResult, *, by: str) -> Path:
        """Print, sign and keep an attempt's sheet; a later one supersedes the earlier.

        by: who issues it; where there is a decision, the person who signed it as it
        is now (rule D4). Raises Refused otherwise, and until every planned observer
        has sealed.
        """
        from observe.sheets.content import Revision, Signer
        from observe.sheets.setting import Paper
        from observe.sheets.sheet import render
        from observe.sheets.sign import sign
        from observe.trust.keys import UNCONFIRMED
        from observe.work.sheet_content import Composer

        if not result.reveals:
            raise Refused(
                "This sheet cannot be made yet.", remedy="Every planned observer seals first."
            )
        self._require_signed(result, by)
        seat = result.seat
        name = self._name(by)
        stamp = self.logbook.machine.stamp()
        moment = datetime.fromisoformat(stamp.at).astimezone()
        key = personal_key(self.logbook.path.parent / "keys", by, name, moment)
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
        write_whole(path, pdf)
        self._keep(seat, pdf, revision.number, by)
        return path

    def _require_signed(self, result: AttemptResult, by: str) -> None:
        if result.outcome is None:
            return
        signature = standing_signature(self.logbook, result)
        if signature is None:
            raise Refused(
                "Nobody has signed this decision as it is now.", remedy="Sign the decision first."
            )
        if signature.by != by:
            raise Refused(
                "A sheet is issued by the person who signed its decision.",
                remedy=f"That is {self._name(signature.by)}.",
            )

    def _name(self, person: str) -> str:
        return self.logbook.names().get(person, person)

    def standing(self, seat: Seat) -> Path | None:
        """The sheet that was issued last, if it is there and nothing on it changed since.

        Incidents, and what learners say on their own screen, stand on no sheet.
        """
        watched = {seat.observation_of(one) for one in seat.observers}
        events = [
            one
            for attempt in reversed(seat.attempts)
            for one in self.logbook.log.read(attempt=attempt)
            if one.kind != INCIDENT and one.observation in {"", *watched}
        ]
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
        ids = dict.fromkeys(part.id for one in result.reveals for part in one.parts)
        events = [one for id_ in ids for one in self.logbook.log.read(observation=id_)]
        return digest(sorted(event.hash for event in events))

    def _file_name(self, seat: Seat, revision: int) -> str:
        learner = self._name(seat.learner)
        later = f"-revision-{revision}" if revision > 1 else ""
        return f"{seat.number:02}-{slug(learner, 'learner')}{later}.pdf"

    def _keep(self, seat: Seat, pdf: bytes, revision: int, by: str) -> None:
        body = {"sha256": hashlib.sha256(pdf).hexdigest(), "revision": revision}
        draft = Draft("sheet-issued", body, self.workshop.id, seat.attempt, by=by)
        self.logbook.append([draft])


def _superseded(earlier: list[Event]) -> str:
    if not earlier:
        return ""
    last = earlier[-1].body
    return f"revision {last['revision']}, {str(last['sha256'])[:12]}"
