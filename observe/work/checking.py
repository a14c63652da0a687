"""Check whatever somebody hands over: sheets, logbooks and packets, or the code on a sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from observe.domain.troubles import Trouble
from observe.work import disk
from observe.work.issued import find_code, issued, latest
from observe.work.logbooks import Logbook, open_logbook
from observe.work.looking_into import look_into, needs_passphrase
from observe.work.verify import FileVerdict, Outcome, verify_files

_ZIP = b"PK\x03\x04"
_CLOSED = (
    "A packet that is closed with a passphrase: what is in it is not told without it. “Take a "
    "packet in” asks for the passphrase, and keeps nothing before you agree."
)
Tick = Callable[[int, int], None]


def check_files(beside: Path, paths: Sequence[Path], tick: Tick) -> list[FileVerdict]:
    """Judge files of any kind against the logbook at a path, which is opened to read only.

    tick: is told how many of them are done, and may raise Stopped. What is wrong with a file is
    its verdict; raises only the troubles of opening the logbook.
    """
    tick(0, len(paths))
    with open_logbook(beside, read_only=True) as logbook:
        packets = {path for path in paths if _is_packet(path)}
        done: dict[Path, FileVerdict] = {}
        for path in packets:
            done[path] = _verify_packet(path, logbook)
            tick(len(done), len(paths))
        rest = [path for path in paths if path not in packets]

        def further(count: int, _: int) -> None:
            tick(len(packets) + count, len(paths))

        done |= dict(zip(rest, verify_files(rest, logbook=logbook, tick=further), strict=True))
    return [done[path] for path in paths]


def _is_packet(path: Path) -> bool:
    if not path.is_file():
        return False
    try:
        with path.open("rb") as file:
            if file.read(len(_ZIP)) == _ZIP:
                return True
        return needs_passphrase(path)
    except (OSError, Trouble):
        return False


def _verify_packet(path: Path, logbook: Logbook) -> FileVerdict:
    try:
        if needs_passphrase(path):
            return FileVerdict(str(path), "packet", Outcome.UNREADABLE, (_CLOSED,))
        look = look_into(path, logbook)
    except Trouble as trouble:
        said = f"{trouble.what} {trouble.remedy}".strip()
        return FileVerdict(str(path), "packet", Outcome.UNREADABLE, (said,))
    except OSError as error:
        reason, remedy = disk.refusal(error)
        said = f"The file cannot be read: {reason}. {remedy}"
        return FileVerdict(str(path), "packet", Outcome.UNREADABLE, (said,))
    said = "All of it is what was signed."
    return FileVerdict(
        str(path), "packet", Outcome.SOUND, (said, *look.sentences), look.as_record()
    )


@dataclass(frozen=True, slots=True)
class Coded:
    """The sheet that a printed code belongs to. superseded: by which revision; None if it stands.

    superseded_code: the code of that one; empty if it stands.
    """

    code: str
    record: str
    learner: str
    workshop: str
    revision: int
    issued: str
    by: str
    superseded: int | None
    superseded_code: str

    @property
    def sentence(self) -> str:
        """Whose sheet it is, and whether it stands."""
        stands = "It stands."
        if self.superseded is not None:
            stands = f"Superseded by revision {self.superseded}, code {self.superseded_code}."
        return (
            f"{self.code}: the sheet of {self.learner}, {self.workshop}, revision "
            f"{self.revision}, issued by {self.by} on {self.issued[:10]}. {stands}"
        )


def sheet_of_code(logbook: Logbook, typed: str) -> Coded:
    """Which sheet of a logbook a code is printed on. Raises BadInput as `find_code`."""
    sheet = find_code(logbook, typed)
    newest = latest(issued(logbook, sheet.attempt))[sheet.attempt]
    is_later = newest.revision > sheet.revision
    names, workshop = logbook.names(), logbook.workshops().get(sheet.workshop)
    seats = workshop.seats if workshop else ()
    learner = next((one.learner for one in seats if sheet.attempt in one.attempts), "")
    return Coded(
        sheet.code,
        sheet.record,
        names.get(learner, learner),
        workshop.title if workshop else "",
        sheet.revision,
        sheet.at,
        names.get(sheet.by, sheet.by),
        newest.revision if is_later else None,
        newest.code if is_later else "",
    )
