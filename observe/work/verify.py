"""Check a file that somebody hands over: a signed sheet, or a logbook."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.domain.troubles import BadInput, Doubtful, Trouble
from observe.domain.words import listed
from observe.work import disk
from observe.work.issued import changes_since, held_since, issued, latest
from observe.work.keys import keys_folder
from observe.work.known import keys_of, known_here
from observe.work.logbooks import HEADER, Logbook

if TYPE_CHECKING:
    from observe.trust.standing import Known

_MOST_BYTES = 50_000_000
_KEEP = "Keep this file as it is, and go on with the newest backup."


class Outcome(StrEnum):
    SOUND = "sound"
    WANTING = "wanting"
    UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class FileVerdict:
    """What was found about one file. facts: the same for programs, plain values."""

    path: str
    kind: str
    outcome: Outcome
    sentences: tuple[str, ...]
    facts: dict[str, Any] = field(default_factory=dict)


def verify_files(
    paths: Sequence[Path],
    signatures: int | None = None,
    logbook: Logbook | None = None,
    tick: Callable[[int, int], None] | None = None,
) -> list[FileVerdict]:
    """Judge files by what each is; of sheets also which of them another one replaces.

    signatures: how many a sheet must have; None for any. logbook: what the sheets are compared
    with, and whose departments are known; None for the person's own keys alone. tick: is told how
    many are done, of how many, and may raise Stopped.
    """
    found = []
    for path in paths:
        found.append(_verify_file(path, signatures, logbook))
        if tick is not None:
            tick(len(found), len(paths))
    replaced = {
        str(one.facts.get("supersedes")).rpartition("code ")[2]: one
        for one in found
        if one.facts.get("supersedes") and one.outcome is Outcome.SOUND
    }
    return [_superseded_by(one, replaced) for one in found]


def _superseded_by(one: FileVerdict, replaced: Mapping[str, FileVerdict]) -> FileVerdict:
    """The verdict, with what another of the files says of it."""
    later = replaced.get(str(one.facts.get("code")))
    same = later is not None and later.facts.get("attempt") == one.facts.get("attempt")
    if later is None or not same or one.facts.get("superseded"):
        return one
    said = f"Superseded: {Path(later.path).name} says that it replaces this sheet."
    facts = {**one.facts, "superseded": later.facts.get("revision")}
    return replace(one, sentences=(said, *one.sentences), facts=facts)


def verify_file(
    path: Path, signatures: int | None = None, logbook: Logbook | None = None
) -> FileVerdict:
    """Judge one file; as `verify_files`."""
    return verify_files([path], signatures, logbook)[0]


def _verify_file(path: Path, signatures: int | None, logbook: Logbook | None) -> FileVerdict:
    """Never raises for the sake of the file: what cannot be read is an outcome."""
    try:
        start = _start_of(path)
        if start.startswith(HEADER):
            return _verify_logbook(path)
        return _verify_sheet(path, signatures, logbook)
    except Doubtful as trouble:
        return FileVerdict(str(path), "logbook", Outcome.WANTING, (_told(trouble),))
    except Trouble as trouble:
        return FileVerdict(str(path), "", Outcome.UNREADABLE, (_told(trouble),))
    except OSError as error:
        reason, remedy = disk.refusal(error)
        said = f"The file cannot be read: {reason}. {remedy}"
        return FileVerdict(str(path), "", Outcome.UNREADABLE, (said,))


def _told(trouble: Trouble) -> str:
    """A trouble in sentences; one that sends the person here is told what to do from here."""
    remedy = _KEEP if "“observe verify”" in trouble.remedy else trouble.remedy
    return f"{trouble.what} {remedy}".strip()


def _start_of(path: Path) -> bytes:
    if path.is_dir():
        raise BadInput("This is a folder.", remedy="Name the files in it.")
    if not path.exists():
        raise BadInput("There is no such file.", remedy="Check its name and folder.")
    if not path.is_file():
        raise BadInput("This is no ordinary file.", remedy="Name a sheet or a logbook.")
    with path.open("rb") as file:
        return file.read(len(HEADER))


def _verify_logbook(path: Path) -> FileVerdict:
    from observe.work.check_logbook import check_logbook

    report = check_logbook(path)
    return FileVerdict(
        str(path),
        "logbook",
        Outcome.SOUND if report.is_sound else Outcome.WANTING,
        report.sentences(),
        {"events": report.events, "forms": report.forms, "heads": dict(report.heads)},
    )


def _verify_sheet(path: Path, signatures: int | None, logbook: Logbook | None) -> FileVerdict:
    if path.stat().st_size > _MOST_BYTES:
        raise BadInput("The file is far too large for a sheet.", remedy="Name a sheet.")
    from observe.sheets.verify import Level, verify

    pdf = path.read_bytes()
    known, unknown = _known(logbook)
    sha256 = hashlib.sha256(pdf).hexdigest()
    kept = _Kept(logbook, sha256) if logbook else None
    now = datetime.now(UTC)
    verdict = verify(pdf, known, signatures, now, kept.held if kept else None)
    facts = dict(verdict.facts) | {
        "signed": [
            {
                "field": one.field,
                "name": one.name,
                "fingerprint": one.fingerprint,
                "at": one.at,
                "valid": one.is_valid,
                "known": one.standing.trust.value,
                "known_as": one.standing.sentence,
            }
            for one in verdict.signatures
        ]
    }
    outcome, said = Outcome(verdict.level.value), (*verdict.sentences, *unknown)
    if "report" in facts:
        if logbook is not None:
            said = (*said, _of_report(logbook, sha256))
        return FileVerdict(str(path), "report", outcome, said, facts)
    if kept is not None and verdict.level is not Level.UNREADABLE:
        wanting, first, last = kept.compared(facts)
        said = (*wanting, *first, *said, *last)
        outcome = Outcome.WANTING if wanting else outcome
        facts |= kept.facts
    return FileVerdict(str(path), "sheet", outcome, said, facts)


def _of_report(logbook: Logbook, sha256: str) -> str:
    """What a logbook keeps of a director's report."""
    where = logbook.path.name
    for event in logbook.log.read(kinds=("report-issued",)):
        if event.body.get("sha256") == sha256:
            return f"{where} issued it on {event.stamp.at[:10]}."
    return f"{where} knows nothing of this report."


class _Kept:
    """What a logbook keeps of a sheet's file."""

    def __init__(self, logbook: Logbook, sha256: str) -> None:
        self.logbook = logbook
        self.sheets = issued(logbook)
        self.sheet = next((one for one in self.sheets if sha256 in one.files), None)
        self.held = held_since(logbook, self.sheet, sha256) if self.sheet else None
        self.facts: dict[str, Any] = {"logbook": "issued" if self.sheet else "unknown"}

    def compared(
        self, facts: Mapping[str, Any]
    ) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
        """What is wanting, what is to be said first, and what last."""
        where = self.logbook.path.name
        if self.sheet is None:
            twin = next((one for one in self.sheets if one.record == facts.get("record")), None)
            if twin is not None and twin.record:
                said = (
                    f"{where} knows this record, revision {twin.revision}, but in another file: "
                    "this one was written or signed by somebody else."
                )
                return (said,), (), ()
            return (), (), (f"{where} knows nothing of this sheet.",)
        newest = latest(self.sheets)[self.sheet.attempt]
        last = f"{where} issued it, revision {self.sheet.revision}, on {self.sheet.at[:10]}."
        if newest.revision > self.sheet.revision:
            self.facts["superseded"] = newest.revision
            code = f", code {newest.code}" if newest.code else ""
            first = f"Superseded: revision {newest.revision}{code} replaced it on {newest.at[:10]}."
            return (), (first,), (last,)
        return (), self._since(), (last,)

    def _since(self) -> tuple[str, ...]:
        """What was recorded after the sheet that was issued last."""
        if self.sheet is None or not self.sheet.rests_on:
            return ()
        workshop = self.logbook.workshops().get(self.sheet.workshop)
        seats = workshop.seats if workshop else ()
        seat = next((one for one in seats if self.sheet.attempt in one.attempts), None)
        changed = changes_since(self.logbook, seat, self.sheet) if seat else ()
        if not changed:
            return ()
        return (f"The logbook says more since: {listed(list(changed))}.",)


def _known(logbook: Logbook | None) -> tuple[Known, tuple[str, ...]]:
    """The keys known here; and a sentence where they cannot be read."""
    from observe.trust.standing import Known

    folder = keys_of(logbook) if logbook else keys_folder()
    try:
        with os.scandir(folder):
            return known_here(folder, logbook), ()
    except FileNotFoundError:
        return Known({}), ()
    except OSError as error:
        reason, _ = disk.refusal(error)
        said = f"Which keys are known here could not be read in {folder}: {reason}."
        return Known({}), (said,)
