"""What a packet is, and whose, without taking it in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.work.keys import keys_folder
from observe.work.known import known_here

if TYPE_CHECKING:
    from observe.store.packet.manifest import Manifest
    from observe.trust.signature import Signed
    from observe.trust.standing import Standing


@dataclass(frozen=True, slots=True)
class Look:
    """A packet as it was signed. standing: what is known of the key here."""

    path: Path
    manifest: Manifest
    digest: str
    signed: Signed
    standing: Standing

    @property
    def sentences(self) -> tuple[str, ...]:
        """What it is, in a few sentences."""
        manifest = self.manifest
        at = datetime.fromisoformat(manifest.made_at)
        whose = {"workshop": "", "observer": " of one observer", "learner": " of one learner"}
        scope = whose.get(manifest.scope, "")
        key = f"{self.standing.sentence} ({self.signed.fingerprint[:16]})"
        said = [
            f"A {manifest.kind} packet{scope}; its clock says {at:%Y-%m-%d %H:%M %z}.",
            f"Signed by {self.signed.name}; {key}.",
        ]
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
            "workshops": list(manifest.workshops),
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


def look_into(path: Path, keys: Path | None = None, *, passphrase: str = "") -> Look:
    """Read what a packet says of itself, and check that all of it is what was signed.

    keys: the folder of the keys that are known; this person's own if None. passphrase: for a
    closed one. Raises BadInput for what is no packet, Doubtful for one that is not what was
    signed, Refused for one that the passphrase does not open.
    """
    from observe.store.packet.container import opened
    from observe.trust.signature import verified
    from observe.trust.standing import standing

    with opened(path, passphrase) as packet:
        signed = verified(packet.manifest_bytes, packet.signature, where=str(path))
        for _ in packet.forms():
            pass
        for _ in packet.lines():
            pass
        claimed = datetime.fromisoformat(packet.manifest.made_at)
        known = known_here(keys or keys_folder())
        found = standing(signed.certificates, known, claimed=claimed, now=datetime.now(UTC))
        return Look(path, packet.manifest, packet.digest, signed, found)
