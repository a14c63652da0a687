"""What this machine knows of keys: departments confirmed here, answers, what is revoked (K1).

Which departments a person confirmed on this machine is kept beside the keys, and never comes with
a packet: that decides a person, who compares the fingerprint.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput, Refused
from observe.work.keys import known_keys, own_certificates
from observe.work.logbooks import Logbook
from observe.work.whole_file import write_whole

if TYPE_CHECKING:
    from observe.trust.keys import Key
    from observe.trust.standing import Known, Standing

_PINS = "departments"
_ROOT_SUFFIX, _LIST_SUFFIX = ".crt", ".crl"


@dataclass(frozen=True, slots=True)
class Department:
    """A department that packets named. root: its certificate, DER. pinned: confirmed here."""

    name: str
    root: bytes
    pinned: bool

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the root's certificate."""
        return hashlib.sha256(self.root).hexdigest()


def keys_of(logbook: Logbook) -> Path:
    """The key folder beside a logbook; it may not exist yet."""
    return logbook.keys.folder


def departments(logbook: Logbook) -> tuple[Department, ...]:
    """Every department that answers in this logbook name, and those confirmed here."""
    pinned = set(pins(keys_of(logbook)))
    roots = dict.fromkeys([*pinned, *(chain[-1] for _, chain in answers(logbook))])
    return tuple(Department(_name_in(root), root, root in pinned) for root in roots)


def pin_department(logbook: Logbook, fingerprint: str) -> Department:
    """Confirm a department on this machine, by the first digits of its fingerprint.

    Raises BadInput where no single one has it.
    """
    wanted = fingerprint.strip().lower().replace(" ", "").replace(":", "")
    known = departments(logbook)
    found = [one for one in known if len(wanted) >= 16 and one.fingerprint.startswith(wanted)]
    if len(found) != 1:
        raise BadInput(
            "No department in this logbook has this fingerprint.",
            where=fingerprint,
            remedy="Ask the department for it, and type at least its first 16 digits.",
        )
    pin(keys_of(logbook), found[0].root)
    keep_lists(logbook)
    return Department(found[0].name, found[0].root, pinned=True)


def pin(keys: Path, root: bytes) -> None:
    """Keep that a person confirmed a department's root on this machine."""
    write_whole(keys / _PINS / f"{hashlib.sha256(root).hexdigest()}{_ROOT_SUFFIX}", root)


def pins(keys: Path) -> list[bytes]:
    """The roots that were confirmed on this machine, DER."""
    return [path.read_bytes() for path in sorted((keys / _PINS).glob(f"*{_ROOT_SUFFIX}"))]


def keep_lists(logbook: Logbook) -> None:
    """Keep what a logbook knows to be revoked beside the keys, for whoever only looks at a file."""
    for event in logbook.log.read(kinds=("keys-revoked",)):
        der = from_text(event.body.get("list"))
        path = keys_of(logbook) / _PINS / f"{hashlib.sha256(der).hexdigest()}{_LIST_SUFFIX}"
        if der and not path.exists():
            write_whole(path, der)


def known_here(keys: Path, logbook: Logbook | None = None) -> Known:
    """What is known of keys on this machine; with a logbook also what it says of own ones."""
    from observe.trust.department import public_key_in
    from observe.trust.standing import Known

    own = dict(known_keys(keys))
    if logbook is not None:
        publics = dict(_own_publics(keys))
        for _, chain in answers(logbook):
            label = publics.get(public_key_in(chain[0]))
            if label:
                own[hashlib.sha256(chain[0]).hexdigest()] = label
    lists = [path.read_bytes() for path in sorted((keys / _PINS).glob(f"*{_LIST_SUFFIX}"))]
    if logbook is not None:
        read = logbook.log.read(kinds=("keys-revoked",))
        lists += [from_text(event.body.get("list")) for event in read]
    return Known(own, pins(keys), lists)


def chain_of(logbook: Logbook, key: Key) -> Sequence[bytes]:
    """The certificates that a key signs with: those of a department, if it was answered."""
    from observe.trust.department import public_key_in

    public = public_key_in(key.certificate)
    mine = trusted_answers(logbook)
    chains = [chain for _, chain in mine if public_key_in(chain[0]) == public]
    return chains[-1] if chains else [key.certificate]


def signing_key(logbook: Logbook, person: str, at: datetime) -> Key:
    """A person's key as they sign with it now: under a department's certificate, if they have one.

    at: now, with its offset. Raises Refused for a key that is closed, whose certificate is
    revoked, has ended, or has not begun by the clock here.
    """
    from observe.trust.keys import confirmed
    from observe.trust.standing import Trust, standing

    name = logbook.names().get(person, person)
    key = confirmed(own := logbook.keys.key(person, name, at), chain_of(logbook, own))
    known = known_here(keys_of(logbook), logbook)
    chain = [key.certificate, *key.above]
    found = standing(chain, replace(known, own={}), claimed=at, now=at)
    if found.trust in (Trust.REVOKED, Trust.EARLY, Trust.LATE, Trust.EXPIRED):
        raise Refused(
            f"{name} cannot sign with this key: {found.sentence}.",
            where=key.fingerprint[:16],
            remedy=_SIGN_REMEDY[found.trust is Trust.EARLY],
        )
    return key


_SIGN_REMEDY = (
    "Ask the department to confirm the key anew: Records, Keys, or “observe key request”.",
    "Set the clock of this machine right.",
)


def _own_publics(keys: Path) -> Iterator[tuple[bytes, str]]:
    from observe.trust.department import public_key_in

    for certificate, label in own_certificates(keys):
        yield public_key_in(certificate), label


def answers(logbook: Logbook) -> list[tuple[str, list[bytes]]]:
    """Person and chain of every answer that can be read, oldest first."""
    found = []
    for event in logbook.log.read(kinds=("key-answered",)):
        held = event.body.get("chain")
        chain = [from_text(one) for one in held] if isinstance(held, list) else []
        if chain and all(_is_certificate(one) for one in chain):
            found.append((str(event.body.get("person", "")), chain))
    return found


@dataclass(frozen=True, slots=True)
class Answered:
    """A key that a department answered for, as that stands now.

    key: its fingerprint. ends: until when its certificate is valid.
    """

    person: str
    key: str
    standing: Standing
    ends: datetime


def answered_keys(logbook: Logbook) -> tuple[Answered, ...]:
    """What became of every key that was answered for, oldest first; revoked ones among them."""
    from observe.trust.department import ends
    from observe.trust.standing import standing

    now = datetime.fromisoformat(logbook.machine.stamp().at)
    known = replace(known_here(keys_of(logbook), logbook), own={})
    found = {}
    for person, chain in answers(logbook):
        key = hashlib.sha256(chain[0]).hexdigest()
        stands = standing(chain, known, claimed=now, now=now)
        found[key] = Answered(person, key, stands, ends(chain[0]))
    return tuple(found.values())


def trusted_answers(logbook: Logbook) -> list[tuple[str, list[bytes]]]:
    """The answers of departments that a person confirmed on this machine, oldest first.

    Anybody can write an answer. Where no department is confirmed here yet, those of the only
    one that ever answered count; none do where there are several that answered.
    """
    from observe.trust.standing import Known, Trust, standing

    known = answers(logbook)
    roots = pins(keys_of(logbook)) or [*dict.fromkeys(chain[-1] for _, chain in known)]
    if len(roots) > 1 and not pins(keys_of(logbook)):
        return []
    now = datetime.fromisoformat(logbook.machine.stamp().at)
    against = (Trust.UNKNOWN, Trust.STRANGE)
    found = []
    for person, chain in known:
        if standing(chain, Known({}, roots), claimed=now, now=now).trust not in against:
            found.append((person, chain))
    return found


def _is_certificate(der: bytes) -> bool:
    from observe.trust.department import public_key_in

    try:
        public_key_in(der)
    except (ValueError, TypeError):
        return False
    return True


def _name_in(root: bytes) -> str:
    from observe.trust.department import name_in

    return name_in(root)


def as_text(data: bytes) -> str:
    """Bytes as the body of an event holds them (base64)."""
    return base64.b64encode(data).decode("ascii")


def from_text(text: object) -> bytes:
    """Bytes from the body of an event; none where it holds no base64."""
    try:
        return base64.b64decode(str(text), validate=True)
    except ValueError:
        return b""
