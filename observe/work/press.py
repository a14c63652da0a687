"""Issuing sheets: from an attempt's result to a signed file, kept in the log."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.canonical import digest
from observe.domain.events import Body, Draft
from observe.domain.form import Mode
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult, standing_signature
from observe.work.issued import (
    ACKNOWLEDGED,
    COUNTERSIGNED,
    HANDLED,
    Handled,
    Issued,
    changes_since,
    issued,
    latest,
    rests_on,
    state_of,
)
from observe.work.known import signing_key
from observe.work.logbooks import Logbook
from observe.work.measured import Measuring
from observe.work.whole_file import slug, write_together, write_whole

if TYPE_CHECKING:
    from observe.sheets.content import Countersigner, Part, SheetContent, Signer
    from observe.trust.keys import Key

FOLDER = "sheets"


def sheets_folder(logbook: Logbook, workshop: Workshop) -> Path:
    """Where a workshop's sheets are kept: a folder of its own beside the logbook."""
    name = slug(workshop.title, "workshop")[:40]
    mark = hashlib.sha256(workshop.id.encode("utf-8")).hexdigest()[:6]
    return logbook.path.parent / FOLDER / f"{workshop.date}-{name}-{mark}"


class Press:
    """Prints and signs the sheets of one workshop into a folder.

    paper: "A4" or "Letter". A sheet is signed with the key of the person who issues it, made on
    first use beside the logbook; no file that is there is ever written over.
    """

    def __init__(
        self, logbook: Logbook, workshop: Workshop, folder: Path, *, paper: str = "A4"
    ) -> None:
        self.logbook = logbook
        self.workshop = workshop
        self.folder = folder
        self.paper = paper
        self.measuring = Measuring(logbook)

    def preview(self, result: AttemptResult, *, by: str) -> SheetContent:
        """The sheet that stands, else what it would print if it were issued now; nothing is kept.

        Raises Refused until every planned observer has sealed.
        """
        from observe.sheets import reading, record
        from observe.sheets.content import Signer

        self._require_sealed(result)
        path = self.standing(result.seat)
        kept = reading.attached(reading.opened(path.read_bytes())) if path else None
        if kept is not None:
            return record.read(kept)
        signer = Signer(self._name(by), "observer", "", "", "")
        return self._content(result, signer, "")

    def issue(self, result: AttemptResult, *, by: str, why: str = "") -> Path:
        """Print, sign and keep an attempt's sheet; a later one supersedes the earlier.

        by: who issues it; where there is a decision, the person who signed it as it
        is now (rule D4). why: what a later one corrects, in words of who issues it; empty for
        what the logbook says. Raises Refused otherwise, and until every planned observer
        has sealed.
        """
        from observe.sheets.content import Signer
        from observe.sheets.record import digest_of, written
        from observe.sheets.setting import Paper
        from observe.sheets.sheet import render
        from observe.sheets.sign import sign
        from observe.sheets.twin import twin

        self._require_sealed(result)
        self._require_signed(result, by)
        moment = self.now()
        key = signing_key(self.logbook, by, moment)
        signer = Signer(
            name=self._name(by),
            part="observer",
            at=moment.strftime("%d %B %Y, %H:%M").lstrip("0"),
            key=key.label,
            fingerprint=key.fingerprint,
        )
        content = self._content(result, signer, why)
        pdf = sign(render(content, Paper(self.paper)), key, moment)
        path = self._free(result.seat, content.revision.number)
        write_together({path: pdf, path.with_suffix(".html"): twin(content)})
        body = {
            "sha256": hashlib.sha256(pdf).hexdigest(),
            "record": digest_of(written(content)),
            "revision": content.revision.number,
            **state_of(rests_on(self.logbook, result.seat)),
        }
        self._keep("sheet-issued", body, result.seat, by)
        return path

    def standing(self, seat: Seat) -> Path | None:
        """The sheet that was issued last, if it is there and nothing on it changed since."""
        sheet = self.newest(seat)
        if sheet is None or changes_since(self.logbook, seat, sheet):
            return None
        return self.file_of(seat, sheet)

    def newest(self, seat: Seat) -> Issued | None:
        """The revision that was issued last; None if none was."""
        return latest(issued(self.logbook, seat.attempt)).get(seat.attempt)

    def file_of(self, seat: Seat, sheet: Issued) -> Path | None:
        """The file of a revision with its newest signature, if it is in this folder."""
        stem = self._stem(seat, sheet.revision)
        found = {
            hashlib.sha256(path.read_bytes()).hexdigest(): path
            for path in self.folder.glob(f"{stem}*.pdf")
        }
        return next((found[one] for one in reversed(sheet.files) if one in found), None)

    def countersign(self, seat: Seat, part: Part, *, by: str) -> Path:
        """Sign a sheet that stands in another part too: as its second observer or director.

        The file is followed by one with both signatures. Raises Refused where no sheet stands,
        for somebody who may not sign in this part, and where it is signed there already.
        """
        from observe.sheets.content import Part

        if part not in (Part.OBSERVED, Part.DIRECTED):
            raise Refused("Nobody signs there.", remedy="Sign as second observer or as director.")
        is_observer = by in seat.observers
        if is_observer is (part is Part.DIRECTED):
            raise Refused(
                "An observer of the attempt signs as its observer, nobody else does.",
                where=self._name(by),
                remedy="Let another person sign here.",
            )
        moment = self.now()
        return self._sign_again(seat, part, signing_key(self.logbook, by, moment), moment, by)

    def acknowledge(self, seat: Seat, *, response: str, passphrase: str, by: str) -> Path | None:
        """Keep that a learner has seen their sheet, and let the department sign that (rule K2).

        response: the learner's own words; may be empty. passphrase: of the department's daily
        key; where it is empty, or there is no such key here, nothing more is signed and None
        returned. by: whose screen it was. Raises Refused where no sheet stands.
        """
        from observe.sheets.content import Part
        from observe.work.department import daily_key

        sheet, path = self._standing(seat)
        key = daily_key(self.logbook, passphrase) if passphrase else None
        texts = {"response": response} if response else {}
        body = {"revision": sheet.revision, "sha256": sheet.files[-1]}
        draft = Draft(ACKNOWLEDGED, body, self.workshop.id, seat.attempt, by=by, texts=texts)
        self.logbook.append([draft])
        if key is None:
            return None
        return self._sign_again(seat, Part.READ, key, self.now(), by, path)

    def handle(self, seat: Seat, way: Handled, *, by: str) -> None:
        """Keep that a sheet was printed or handed over. Raises Refused where none stands."""
        sheet, _ = self._standing(seat)
        body = {"revision": sheet.revision, "way": way.value}
        self._keep(HANDLED, body, seat, by)

    def all_standing(self) -> tuple[tuple[Seat, Issued, Path], ...]:
        """The sheets of the workshop that stand, in seat order."""
        found = []
        for seat in self.workshop.seats:
            sheet, path = self.newest(seat), self.standing(seat)
            if sheet is not None and path is not None:
                found.append((seat, sheet, path))
        return tuple(found)

    # how

    def _require_sealed(self, result: AttemptResult) -> None:
        if not result.reveals:
            raise Refused(
                "This sheet cannot be made yet.", remedy="Every planned observer seals first."
            )

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

    def _content(self, result: AttemptResult, signer: Signer, why: str) -> SheetContent:
        from observe.sheets.content import Revision
        from observe.work.sheet_content import Composer

        earlier = self.newest(result.seat)
        revision = Revision()
        if earlier is not None:
            changed = changes_since(self.logbook, result.seat, earlier)
            code = f", code {earlier.code}" if earlier.code else ""
            revision = Revision(
                earlier.revision + 1,
                f"revision {earlier.revision}{code}",
                why or "; ".join(changed) or "it was asked for again",
            )
        composer = Composer(self.logbook, self.workshop, result, self.measuring)
        content = composer.content(signer, revision, self._events_digest(result))
        return replace(content, countersigners=self._countersigners(result, signer.name))

    def _countersigners(self, result: AttemptResult, signer: str) -> tuple[Countersigner, ...]:
        """Places for later signatures: the other observer's, a director's, the learner's."""
        from observe.sheets.content import Countersigner, Part

        others = [name for one in result.seat.observers if (name := self._name(one)) != signer]
        second = [Countersigner(Part.OBSERVED, others[0])] if others else []
        summative = self.workshop.mode is Mode.SUMMATIVE and result.outcome is not None
        directed = summative or result.overruled is not None
        director = [Countersigner(Part.DIRECTED)] if directed else []
        return (*second, *director, Countersigner(Part.READ))

    def _standing(self, seat: Seat) -> tuple[Issued, Path]:
        sheet = self.newest(seat)
        path = self.standing(seat)
        if sheet is None or path is None:
            raise Refused(
                "No sheet stands for this attempt.",
                where=self._name(seat.learner),
                remedy="Issue its sheet first.",
            )
        return sheet, path

    def _sign_again(
        self,
        seat: Seat,
        part: Part,
        key: Key,
        moment: datetime,
        by: str,
        path: Path | None = None,
    ) -> Path:
        from observe.sheets.sign import countersign

        sheet, there = self._standing(seat)
        before = path or there
        pdf = countersign(before.read_bytes(), part, key, moment)
        sha256 = hashlib.sha256(pdf).hexdigest()
        body = {
            "sha256": sha256,
            "of": sheet.files[-1],
            "part": part.value,
            "revision": sheet.revision,
        }
        target = self._free(seat, sheet.revision)
        write_whole(target, pdf)
        self._keep(COUNTERSIGNED, body, seat, by)
        return target

    def now(self) -> datetime:
        """The time of this machine, with its offset."""
        return datetime.fromisoformat(self.logbook.machine.stamp().at).astimezone()

    def _name(self, person: str) -> str:
        return self.logbook.names().get(person, person)

    def _events_digest(self, result: AttemptResult) -> str:
        """Digest over the hashes of all events that the sheet rests on."""
        ids = dict.fromkeys(part.id for one in result.reveals for part in one.parts)
        events = [one for id_ in ids for one in self.logbook.log.read(observation=id_)]
        return digest(sorted(event.hash for event in events))

    def _stem(self, seat: Seat, revision: int) -> str:
        later = f"-revision-{revision}" if revision > 1 else ""
        return f"{seat.number:02}-{slug(self._name(seat.learner), 'learner')[:60]}{later}"

    def _free(self, seat: Seat, revision: int) -> Path:
        """A file name of a revision that nothing has yet."""
        stem = self._stem(seat, revision)
        path, count = self.folder / f"{stem}.pdf", 1
        while path.exists() or path.with_suffix(".html").exists():
            count += 1
            path = self.folder / f"{stem}.{count}.pdf"
        return path

    def _keep(self, kind: str, body: Body, seat: Seat, by: str) -> None:
        self.logbook.append([Draft(kind, body, self.workshop.id, seat.attempt, by=by)])
