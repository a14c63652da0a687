"""Check a file that somebody hands over: a signed sheet, or a logbook."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import Any

from observe.domain.troubles import BadInput, Doubtful, Trouble
from observe.work import disk
from observe.work.keys import keys_folder, known_keys
from observe.work.logbooks import HEADER

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


def verify_file(path: Path, signatures: int | None = None) -> FileVerdict:
    """Judge one file by what it is. signatures: how many a sheet must have; None for any.

    Never raises for the sake of the file: what cannot be read is an outcome.
    """
    try:
        start = _start_of(path)
        if start.startswith(HEADER):
            return _verify_logbook(path)
        return _verify_sheet(path, signatures)
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


def _verify_sheet(path: Path, signatures: int | None) -> FileVerdict:
    if path.stat().st_size > _MOST_BYTES:
        raise BadInput("The file is far too large for a sheet.", remedy="Name a sheet.")
    from observe.sheets.verify import verify

    pdf = path.read_bytes()
    known, unknown = _known()
    verdict = verify(pdf, known, signatures)
    facts = dict(verdict.facts) | {
        "signed": [
            {
                "field": one.field,
                "name": one.name,
                "fingerprint": one.fingerprint,
                "at": one.at,
                "valid": one.is_valid,
                "known": one.known,
            }
            for one in verdict.signatures
        ]
    }
    outcome, said = Outcome(verdict.level.value), (*verdict.sentences, *unknown)
    return FileVerdict(str(path), "sheet", outcome, said, facts)


def _known() -> tuple[Mapping[str, str], tuple[str, ...]]:
    """The keys known here; and a sentence where they cannot be read."""
    folder = keys_folder()
    try:
        with os.scandir(folder):
            return known_keys(folder), ()
    except FileNotFoundError:
        return {}, ()
    except OSError as error:
        reason, _ = disk.refusal(error)
        return {}, (f"Which keys are known here could not be read in {folder}: {reason}.",)
