"""What a packet is, and whose, without taking it in."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.domain.words import listed
from observe.work.keys import keys_folder
from observe.work.known import keys_of, known_here
from observe.work.logbooks import Logbook

if TYPE_CHECKING:
    from observe.store.packet.manifest import Manifest
    from observe.trust.signature import Signed
    from observe.trust.standing import Standing


@dataclass(frozen=True, slots=True)
class Look:
    """A packet as it was signed. standing: what is known of the key here.

    titles: of the workshops it is about, with their days; whose: the name of the one observer or
    learner it is of; empty where it does not say.
    """

    path: Path
    manifest: Manifest
    digest: str
    signed: Signed
    standing: Standing
    titles: tuple[str, ...] = ()
    whose: str = ""

    @property
    def sentences(self) -> tuple[str, ...]:
        """What it is, in a few sentences."""
        manifest = self.manifest
        at = datetime.fromisoformat(manifest.made_at)
        whose = {"workshop": "", "observer": " of one observer", "learner": " of one learner"}
        scope = whose.get(manifest.scope, "") + (f", {self.whose}" if self.whose else "")
        key = f"{self.standing.sentence} ({self.signed.fingerprint[:16]})"
        said = [
            f"A {manifest.kind} packet{scope}; its clock says {at:%Y-%m-%d %H:%M %z}.",
            f"Signed by {self.signed.name}; {key}.",
        ]
        if self.titles:
            said.insert(1, f"About: {listed(self.titles)}.")
        if manifest.withheld:
            said.append(
                f"Marks of {manifest.withheld} of its attempts stay with whoever wrote it until "
                "all who watched have sealed."
            )
        return tuple(said)

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        manifest = self.manifest
        return {
            "file": str(self.path),
            "packet": self.digest,
            "kind": manifest.kind,
            "scope": manifest.scope,
            "of": manifest.of,
            "of_name": self.whose,
            "workshops": list(manifest.workshops),
            "titles": list(self.titles),
            "made_at": manifest.made_at,
            "by": manifest.by,
            "name": manifest.name,
            "device": manifest.device,
            "withheld": manifest.withheld,
            "signer": self.signed.fingerprint,
            "signer_name": self.signed.name,
            "known": self.standing.trust.value,
            "known_as": self.standing.sentence,
        }


def needs_passphrase(path: Path) -> bool:
    """Whether a file is a packet that was closed with a passphrase.

    Raises Surroundings where it cannot be read.
    """
    from observe.store.packet.container import is_closed_packet

    return is_closed_packet(path)


def look_into(path: Path, against: Logbook | None = None, *, passphrase: str = "") -> Look:
    """Read what a packet says of itself, and check that all of it is what was signed.

    against: the logbook whose keys and revocations are known; the keys beside this person's own
    one if None. passphrase: for a closed one. Raises BadInput for what is no packet, Doubtful for
    one that is not what was signed, Refused for one that the passphrase does not open.
    """
    from observe.store.packet.container import opened
    from observe.trust.signature import verified
    from observe.trust.standing import standing

    with opened(path, passphrase) as packet:
        signed = verified(packet.manifest_bytes, packet.signature, where=str(path))
        for _ in packet.forms():
            pass
        titles, names = _told_in(packet.lines(), packet.manifest.workshops)
        claimed = datetime.fromisoformat(packet.manifest.made_at)
        known = known_here(keys_of(against), against) if against else known_here(keys_folder())
        found = standing(signed.certificates, known, claimed=claimed, now=datetime.now(UTC))
        whose = names.get(packet.manifest.of, packet.manifest.of)
        return Look(path, packet.manifest, packet.digest, signed, found, titles, whose)


def _told_in(
    lines: Iterable[bytes], workshops: Collection[str]
) -> tuple[tuple[str, ...], Mapping[str, str]]:
    """The titles of some workshops with their days, and the names of people, as lines tell them."""
    from observe.store.packet.lines import EventLine, TextLine, read_line

    titles: list[str] = []
    names: dict[str, str] = {}
    person = ("", 0, "")
    for line in lines:
        with suppress(ValueError, RecursionError):  # Whether it can be taken in is not asked here.
            read = read_line(line)
            if isinstance(read, TextLine) and (read.device, read.seq) == person[:2]:
                names[person[2]] = read.text
            if isinstance(read, EventLine):
                kind, workshop = read.row[_KIND], read.row[_WORKSHOP]
                named = kind == "person-named"
                person = (read.device, read.seq, str(read.body.get("person"))) if named else person
                if kind == "workshop-planned" and workshop in workshops:
                    titles.append(f"{read.body.get('title')}, {read.body.get('date')}")
    return tuple(dict.fromkeys(titles)), names


_KIND, _WORKSHOP = 2, 6
"""Where kind and workshop stand in the row of an event."""
