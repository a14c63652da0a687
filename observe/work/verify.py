"""Check a file that somebody hands over: a signed sheet, or a logbook."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import Any

from observe.domain.troubles import BadInput, Trouble
from observe.work.keys import keys_folder, known_keys
from observe.work.logbooks import HEADER

_MOST_BYTES = 50_000_000


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
    except Trouble as trouble:
        return FileVerdict(str(path), "", Outcome.UNREADABLE, (_told(trouble),))
    except OSError as error:
        reason = (error.strerror or type(error).__name__).rstrip(".")
        return FileVerdict(
            str(path), "", Outcome.UNREADABLE, (f"The file cannot be read: {reason}.",)
        )


def _told(trouble: Trouble) -> str:
    return f"{trouble.what} {trouble.remedy}".strip()


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

    verdict = verify(path.read_bytes(), known_keys(keys_folder()), signatures)
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
    return FileVerdict(str(path), "sheet", Outcome(verdict.level.value), verdict.sentences, facts)
