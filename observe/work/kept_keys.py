"""The keys that are kept on this machine, each with how it stands: people's own, a department's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from observe.domain.troubles import Trouble
from observe.work.department import DAILY, requests
from observe.work.keys import file_stem
from observe.work.known import answers, keys_of, known_here, trusted_answers
from observe.work.logbooks import Logbook

if TYPE_CHECKING:
    from observe.trust.standing import Standing


@dataclass(frozen=True, slots=True)
class KeptKey:
    """Somebody's own key. asks: it waits for a department; standing: None where none answered.

    ends: until when its newest certificate is valid.
    """

    person: str
    name: str
    closed: bool
    asks: bool
    ends: datetime
    standing: Standing | None
    now: datetime

    @property
    def sentences(self) -> tuple[str, ...]:
        """How it is kept, and what is known of it."""
        kept = (
            "Closed with a passphrase, which opens it for a day."
            if self.closed
            else "Open to whoever can read its file: nobody gave it a passphrase."
        )
        known = how_it_stands(self.standing, self.ends, self.now)
        asks = ("It asks to be confirmed; the next packet carries that.",) if self.asks else ()
        return (kept, f"{known[:1].upper()}{known[1:]}.", *asks)


def how_it_stands(standing: Standing | None, ends: datetime, now: datetime) -> str:
    """What is known of a key now, and until when it is valid. standing: None without an answer."""
    from observe.trust.standing import Trust

    until = f"valid until {ends:%Y-%m-%d}"
    if standing is None:
        return f"no department confirmed it yet; {until}"
    if standing.trust in (Trust.LATE, Trust.EXPIRED):
        on = f"expired on {ends:%Y-%m-%d}"
        return on if ends < now else "expired: the certificate of its department has ended"
    if standing.trust in (Trust.REVOKED, Trust.EARLY):
        return standing.sentence
    return f"{standing.sentence}; {until}"


@dataclass(frozen=True, slots=True)
class DepartmentKey:
    """The department whose daily key is kept here. ends: of that key, None until it answered."""

    name: str
    root_ends: datetime
    ends: datetime | None
    now: datetime

    @property
    def sentences(self) -> tuple[str, ...]:
        """Until when its keys are valid."""
        root = f"Its root, which is put away, is valid until {self.root_ends:%Y-%m-%d}."
        if self.ends is None:
            return (root, "Until when its daily key is valid stands in what it answers first.")
        if self.ends <= self.now:
            return (root, f"Its daily key expired on {self.ends:%Y-%m-%d} and confirms nobody.")
        return (root, f"Its daily key is valid until {self.ends:%Y-%m-%d}.")


def kept_keys(logbook: Logbook) -> tuple[KeptKey, ...]:
    """The own keys of the people in a logbook that are kept beside it, by name."""
    return tuple(sorted(_kept(logbook), key=lambda one: (one.name.casefold(), one.person)))


def _kept(logbook: Logbook) -> Iterator[KeptKey]:
    from observe.trust.department import ends, public_key_in
    from observe.trust.standing import standing

    now = datetime.fromisoformat(logbook.machine.stamp().at)
    known = replace(known_here(keys_of(logbook), logbook), own={})
    chains = {public_key_in(chain[0]): chain for _, chain in trusted_answers(logbook)}
    asking = {one.person for one in requests(logbook)}
    for person, name in logbook.names().items():
        own = _certificate(logbook, person)
        if own is None:
            continue
        chain = chains.get(public_key_in(own))
        yield KeptKey(
            person,
            name,
            logbook.keys.is_closed(person),
            person in asking,
            ends(chain[0] if chain else own),
            standing(chain, known, claimed=now, now=now) if chain else None,
            now,
        )


def _certificate(logbook: Logbook, person: str) -> bytes | None:
    """The certificate of somebody's own key; None where there is none, or it cannot be read."""
    from observe.trust.keys import opened

    stem = file_stem(person)
    beside, path = (keys_of(logbook) / f"{stem}{suffix}" for suffix in (".crt", ".p12"))
    try:
        if logbook.keys.is_closed(person):
            return beside.read_bytes()
        return opened(path.read_bytes(), where=str(path)).certificate
    except (OSError, Trouble):
        return None


def department_key(logbook: Logbook) -> DepartmentKey | None:
    """The department whose daily key is on this machine, if there is one."""
    from observe.trust.department import ends, name_in

    try:
        root = (keys_of(logbook) / f"{DAILY}.root").read_bytes()
    except OSError:
        return None
    daily = [chain[1] for _, chain in answers(logbook) if chain[-1] == root and len(chain) > 2]
    now = datetime.fromisoformat(logbook.machine.stamp().at)
    return DepartmentKey(name_in(root), ends(root), ends(daily[-1]) if daily else None, now)
