"""The signing keys kept on this machine: one for each person, made on first use (rule K1)."""

from __future__ import annotations

import contextlib
import hashlib
import os
import secrets
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from observe import places

if TYPE_CHECKING:
    from observe.sheets.keys import Key

_OWNER_ONLY_FILE = 0o600
_OWNER_ONLY_FOLDER = 0o700


def keys_folder() -> Path:
    """Where keys are kept; it may not exist yet."""
    return places.data() / "keys"


def personal_key(
    person: str, name: str, at: datetime, passphrase: str = "", folder: Path | None = None
) -> Key:
    """The key of a person, made now if there is none yet, labelled unconfirmed.

    person: an identifier that stays when the name changes. name: as it shall stand in
    the certificate. Raises `Refused` for a wrong passphrase, `BadInput` for a file
    that holds no key.
    """
    from observe.sheets import keys

    path = _path(person, folder or keys_folder())
    if not path.exists():
        _keep(path, keys.make(name, at, passphrase))
    key = keys.opened(path.read_bytes(), passphrase, str(path))
    note = path.with_suffix(".txt")
    if not note.exists():
        _keep(note, f"{key.fingerprint} {key.label}, of {key.name}, kept here\n".encode())
    return key


def known_keys(folder: Path | None = None) -> Mapping[str, str]:
    """Fingerprints of the keys kept here, each with what is known of it, in words."""
    kept = folder or keys_folder()
    known: dict[str, str] = {}
    for path in sorted(kept.glob("*.txt")):
        fingerprint, _, label = path.read_text(encoding="utf-8").strip().partition(" ")
        known[fingerprint] = label
    return known


def _path(person: str, folder: Path) -> Path:
    return folder / f"{hashlib.sha256(person.encode('utf-8')).hexdigest()[:24]}.p12"


def _keep(path: Path, data: bytes) -> None:
    """Write a new key whole or not at all, for its owner only; another's is never replaced."""
    path.parent.mkdir(mode=_OWNER_ONLY_FOLDER, parents=True, exist_ok=True)
    draft = path.with_name(f".{secrets.token_hex(8)}.new")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _OWNER_ONLY_FILE)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        with contextlib.suppress(FileExistsError):
            os.link(draft, path)
    finally:
        draft.unlink()
