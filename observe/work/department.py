"""A department: founded, asked to confirm keys, answering, revoking (rule K1).

Requests, answers and lists of what is revoked are events, so they travel in packets.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.events import Draft, Event
from observe.domain.troubles import BadInput, Refused
from observe.work.keyring import new_recovery_key, require_long
from observe.work.known import (
    answers,
    as_text,
    from_text,
    keep_lists,
    keys_of,
    pin,
    trusted_answers,
)
from observe.work.logbooks import Logbook
from observe.work.whole_file import write_whole

if TYPE_CHECKING:
    from observe.trust.keys import Key

DAILY, ROOT = "department.p12", "department-root.p12"


@dataclass(frozen=True, slots=True)
class Founding:
    """A department that was founded. recovery_key: opens the root; it is kept nowhere."""

    root: Path
    daily: Path
    recovery_key: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Request:
    """A key that asks to be confirmed. person: whose, as whoever asked says; name: theirs."""

    event: str
    person: str
    name: str
    asked: bytes
    at: str

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the public key, to be compared by voice."""
        from observe.trust.department import public_key_of

        return hashlib.sha256(public_key_of(self.asked)).hexdigest()


def found_department(
    keys: Path, name: str, media: Path, *, passphrase: str, at: datetime
) -> Founding:
    """Found a department: its root goes to other media, its daily key beside the person's keys.

    keys: the key folder. media: a folder on a stick that is put away. passphrase: of the daily
    key. at: now. Raises Refused where there is a department already, where the media is this
    machine's own key folder, or for a short passphrase, BadInput without a name; OSError as the
    disk does.
    """
    from observe.trust.department import found

    if (keys / DAILY).exists() or (media / ROOT).exists():
        raise Refused(
            "There is a department's key here already.",
            where=str(keys / DAILY if (keys / DAILY).exists() else media / ROOT),
            remedy="Go on with it; founding again would make all its certificates strange.",
        )
    if not media.is_dir() or media.resolve() == keys.resolve():
        raise Refused(
            "The root is kept on other media than the daily key.",
            where=str(media),
            remedy="Name a folder on a stick that you put away.",
        )
    require_long(passphrase)
    recovery = new_recovery_key()
    made = found(name, at, root_passphrase=recovery, daily_passphrase=passphrase)
    write_whole(media / ROOT, made.root)
    write_whole(keys / DAILY, made.daily)
    (keys / DAILY).chmod(0o600)
    pin(keys, made.root_certificate)
    write_whole(keys / f"{DAILY}.root", made.root_certificate)
    fingerprint = hashlib.sha256(made.root_certificate).hexdigest()
    return Founding(media / ROOT, keys / DAILY, recovery, fingerprint)


def ask(logbook: Logbook, person: str) -> Request:
    """Keep a request that a person's own key be confirmed; packets carry it."""
    from observe.trust.department import request

    key = _own_key(logbook, person)
    asked = request(key)
    body = {"person": person, "request": as_text(asked)}
    (event,) = logbook.append([Draft("key-requested", body, by=person)])
    return Request(event.id, person, key.name, asked, event.stamp.at)


def requests(logbook: Logbook) -> tuple[Request, ...]:
    """Requests that no department confirmed here answered, oldest first.

    One that cannot be read is left out.
    """
    from observe.domain.troubles import Trouble
    from observe.trust.department import public_key_in, public_key_of

    answered = {public_key_in(chain[0]) for _, chain in trusted_answers(logbook)}
    names = logbook.names()
    found: dict[bytes, Request] = {}
    for event in logbook.log.read(kinds=("key-requested",)):
        person, asked = str(event.body.get("person", "")), from_text(event.body.get("request"))
        try:
            public = public_key_of(asked)
        except Trouble:
            continue
        if public not in answered:
            name = names.get(person, person)
            found[public] = Request(event.id, person, name, asked, event.stamp.at)
    return tuple(found.values())


def answer_request(logbook: Logbook, asked: Request, *, passphrase: str, by: str) -> Event:
    """Confirm a person's key with the department's daily key; packets carry the answer.

    by: who decides, having compared the fingerprint. Raises Refused without a department's key
    here, or where it does not open.
    """
    from observe.trust.department import answer

    daily, root = _daily(logbook, passphrase)
    at = datetime.fromisoformat(logbook.machine.stamp().at)
    certificate = answer(daily, asked.asked, name=asked.name, at=at)
    chain = [as_text(one) for one in (certificate, daily.certificate, root)]
    body = {"person": asked.person, "chain": chain}
    return logbook.append([Draft("key-answered", body, by=by)])[0]


def revoke_keys(
    logbook: Logbook, person: str, *, since: datetime, passphrase: str, by: str
) -> Event:
    """Revoke every certificate of a person from a time on; packets carry the list.

    Raises Refused without a department's key here, BadInput for somebody who has none.
    """
    from observe.trust.department import listed_by, revoke, serial_of

    daily, root = _daily(logbook, passphrase)
    own = [(whose, chain[0]) for whose, chain in answers(logbook) if chain[-1] == root]
    serials = {serial_of(one): as_text(one) for _, one in own}
    entries: dict[str, datetime] = {}
    for kept in logbook.log.read(kinds=("keys-revoked",)):  # Anybody can write such an event.
        for serial, at in listed_by(daily, from_text(kept.body.get("list"))).items():
            if serial in serials:
                one = serials[serial]
                entries[one] = min(at, entries.get(one, at))
    mine = [as_text(one) for whose, one in own if whose == person]
    if not mine:
        raise BadInput(
            "Nothing was confirmed for this person here.",
            where=person,
            remedy="Take in the packets that hold the answer to their request.",
        )
    for one in mine:
        entries[one] = min(since, entries.get(one, since))
    at = datetime.fromisoformat(logbook.machine.stamp().at)
    der = revoke(daily, [(from_text(one), when) for one, when in entries.items()], at=at)
    body = {
        "list": as_text(der),
        "entries": {one: when.isoformat() for one, when in entries.items()},
    }
    (event,) = logbook.append([Draft("keys-revoked", body, by=by)])
    keep_lists(logbook)
    return event


def _own_key(logbook: Logbook, person: str) -> Key:
    name = logbook.names().get(person, person)
    at = datetime.fromisoformat(logbook.machine.stamp().at)
    return logbook.keys.key(person, name, at)


def daily_key(logbook: Logbook, passphrase: str) -> Key:
    """The department's daily key as it signs sheets. Raises Refused as `answer_request`."""
    from observe.trust.keys import confirmed

    key, root = _daily(logbook, passphrase)
    return confirmed(key, [key.certificate, root])


def _daily(logbook: Logbook, passphrase: str) -> tuple[Key, bytes]:
    """The department's daily key, and the certificate of its root."""
    from observe.trust.keys import opened

    path = keys_of(logbook) / DAILY
    if not path.exists():
        raise Refused(
            "The department's daily key is not on this machine.",
            where=str(path),
            remedy="Do it on the machine where the department was founded.",
        )
    root = path.with_name(f"{DAILY}.root").read_bytes()
    return opened(path.read_bytes(), passphrase, where=str(path)), root
