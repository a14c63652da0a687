"""Personal signing keys on this machine: made on first use, readable by their owner only (K1)."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import secrets
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from observe import places
from observe.domain.canonical import digest
from observe.domain.troubles import Trouble

if TYPE_CHECKING:
    from observe.trust.keys import Key


def keys_folder() -> Path:
    """Where the keys beside the person's own logbook are; it may not exist yet."""
    return places.data() / "keys"


def personal_key(folder: Path, person: str, name: str, at: datetime) -> Key:
    """A person's own key from the key folder, made there on first use.

    folder: created if missing, for its owner only. name: stands in the
    certificate. at: from when a new key is valid. Raises Refused or BadInput if the
    file does not open as a key; a file that is there is never replaced.
    """
    from observe.trust import keys

    path = folder / f"{file_stem(person)}.p12"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        folder.chmod(0o700)
        write_new(path, keys.make(name, at))
    return keys.opened(path.read_bytes(), where=str(path))


def known_keys(folder: Path) -> Mapping[str, str]:
    """Fingerprint of each key kept in a folder, with what is known of it, in words."""
    return {hashlib.sha256(one).hexdigest(): label for one, label in own_certificates(folder)}


def own_certificates(folder: Path) -> Iterator[tuple[bytes, str]]:
    """The certificate of each key kept in a folder, DER, with what is known of it.

    Of closed keys it is the one beside them. Files that do not open are left out.
    """
    from observe.trust.department import name_in
    from observe.trust.keys import UNCONFIRMED, opened

    found: dict[bytes, None] = {}
    for path in sorted(folder.glob("*.p12")):
        with contextlib.suppress(Trouble, OSError):
            found[opened(path.read_bytes(), where=str(path)).certificate] = None
    for path in sorted(folder.glob("*.crt")):
        with contextlib.suppress(OSError):
            found[path.read_bytes()] = None
    for der in found:
        with contextlib.suppress(ValueError):
            yield der, f"{UNCONFIRMED}, kept on this machine for {name_in(der)}"


def file_stem(person: str) -> str:
    """A file name for a person id; ids that are no plain words get a digest beside them."""
    plain = re.sub(r"[^A-Za-z0-9_-]", "_", person)[:60]
    return plain if plain == person else f"{plain}-{digest(person)[:8]}"


def write_new(path: Path, data: bytes) -> None:
    """Write a file whole or not at all, for its owner only; one that is there stays as it is."""
    draft = path.with_name(f".{secrets.token_hex(8)}.new")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        with contextlib.suppress(FileExistsError):
            os.link(draft, path)
    finally:
        draft.unlink()
