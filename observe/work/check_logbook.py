"""Is a logbook still what was written? Its chains, the texts beside them, and its forms."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain import formtext
from observe.domain.troubles import Doubtful
from observe.domain.words import counted

if TYPE_CHECKING:
    from observe.store.chain import ChainReport
    from observe.store.log import Log


@dataclass(frozen=True, slots=True)
class LogbookReport:
    """What was found in a logbook. heads: device to the hash of its newest event."""

    path: Path
    events: int
    forms: int
    heads: tuple[tuple[str, str], ...]
    faults: tuple[str, ...]

    @property
    def is_sound(self) -> bool:
        return not self.faults

    def sentences(self) -> tuple[str, ...]:
        """The finding to read."""
        held = f"{counted(self.events, 'event')} and {counted(self.forms, 'form')}"
        if self.faults:
            return (f"This logbook is not what was written ({held} read).", *self.faults)
        heads = [f"Newest event of device {device}: {newest}." for device, newest in self.heads]
        sound = f"Every event follows from the one before it, and every text stands: {held}."
        cut = "Events cut off at the end would not show here; compare the newest with a kept one."
        return (sound, *heads, cut)


def check_logbook(path: Path) -> LogbookReport:
    """Read a whole logbook, changing nothing.

    Raises Surroundings if it cannot be opened as a logbook.
    """
    from observe.store.chain import verify
    from observe.store.log import Log

    with Log.open(path, read_only=True) as log:
        found = verify(log)
        return LogbookReport(
            path=path,
            events=found.events,
            forms=len(log.forms()) if not found.damage else 0,
            heads=tuple((chain.device, chain.head) for chain in found.devices),
            faults=(*_chain_faults(found), *(() if found.damage else _form_faults(log))),
        )


def require_sound(path: Path) -> None:
    """Raise Doubtful if a logbook is not what was written; nothing is computed from it then."""
    report = check_logbook(path)
    if not report.is_sound:
        raise Doubtful(
            f"This logbook is not what was written: {report.faults[0]}",
            where=str(path),
            remedy="Keep it as it is, and compare it with a backup; “observe verify” lists all.",
        )


def _chain_faults(found: ChainReport) -> Iterator[str]:
    for damage in found.damage:
        yield f"The file is damaged: {damage}."
    if found.guards:
        names = ", ".join(found.guards)
        yield f"The guards that let the log only grow are not as they were made: {names}."
    for one in found.breaks:
        yield f"Event {one.event}: {one.sentence}"


def _form_faults(log: Log) -> Iterator[str]:
    for kept in log.forms():
        form = formtext.reread(log.form_source(kept.digest))
        if form is None or form.whole_digest != kept.digest:
            yield f"Form “{kept.name}” is not the one that was used ({kept.digest[:12]})."
