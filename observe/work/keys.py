"""Personal signing keys on this machine: made on first use, readable by their owner only (K1)."""

from __future__ import annotations

import contextlib
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

    path = folder / f"{_file_stem(person)}.p12"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        folder.chmod(0o700)
        _write_new(path, keys.make(name, at))
    return keys.opened(path.read_bytes(), where=str(path))


def known_keys(folder: Path) -> Mapping[str, str]:
    """Fingerprint of each key kept in a folder, with what is known of it, in words."""
    return {key.fingerprint: label for key, label in opened_keys(folder)}


def opened_keys(folder: Path) -> Iterator[tuple[Key, str]]:
    """Each key kept in a folder, with what is known of it; files that do not open are left out."""
    from observe.trust import keys

    for path in sorted(folder.glob("*.p12")):
        with contextlib.suppress(Trouble, OSError):
            key = keys.opened(path.read_bytes(), where=str(path))
            yield key, f"{key.label}, kept on this machine for {key.name}"


def _file_stem(person: str) -> str:
    """A file name for a person id; ids that are no plain words get a digest beside them."""
    plain = re.sub(r"[^A-Za-z0-9_-]", "_", person)[:60]
    return plain if plain == person else f"{plain}-{digest(person)[:8]}"


def _write_new(path: Path, data: bytes) -> None:
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
