"""The personal keys beside one logbook: open, or closed with a passphrase for all but a day (K1).

A key is made on first use and opens to whoever may read its file, until its owner closes it. A
closed key is opened once with its passphrase and stays open in this program until the day ends;
neither the passphrase nor the opened key is ever written down. The recovery key, which is shown
once to be printed, opens a second copy where the passphrase was forgotten.
"""

from __future__ import annotations

import contextlib
import secrets
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput, Refused
from observe.work.keys import file_stem, personal_key, write_new
from observe.work.whole_file import write_whole

if TYPE_CHECKING:
    from observe.trust.keys import Key

GROUPS, GROUP = 8, 4
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
"""Of a recovery key: none that is taken for another one (I, O, 0, 1)."""
LEAST_LETTERS = 8
"""Of a passphrase."""
_RECOVERY, _CERTIFICATE, _EARLIER = ".recovery.p12", ".crt", ".earlier"


def new_recovery_key() -> str:
    """160 bits in letters and figures that can be read out: eight groups of four."""
    return "-".join("".join(secrets.choice(LETTERS) for _ in range(GROUP)) for _ in range(GROUPS))


def recovery_key_from(typed: str) -> str:
    """A recovery key as it was printed, from what somebody typed: any case, any gaps."""
    letters = "".join(one for one in typed.upper() if one.isalnum())
    return "-".join(letters[at : at + GROUP] for at in range(0, len(letters), GROUP))


class Keyring:
    """Keys in one folder. Those opened today stay open while the program runs."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._open: dict[str, tuple[date, Key]] = {}

    def key(self, person: str, name: str, at: datetime) -> Key:
        """A person's key, made on first use. at: now.

        Raises Refused for a closed one that was not opened today, BadInput for a damaged file.
        """
        kept = self._open.get(person)
        if kept and kept[0] == at.date():
            return kept[1]
        self._open.pop(person, None)
        if self.is_closed(person):
            raise Refused(
                f"The signing key of {name} is closed.",
                where=str(self._path(person)),
                remedy="Open it with its passphrase; once a day is enough.",
            )
        return personal_key(self.folder, person, name, at)

    def is_closed(self, person: str) -> bool:
        """Whether a person closed their key with a passphrase."""
        return self._recovery(person).exists()

    def needs_passphrase(self, person: str, at: datetime) -> bool:
        """Whether a person has to be asked for a passphrase before they sign."""
        kept = self._open.get(person)
        return self.is_closed(person) and not (kept and kept[0] == at.date())

    def unlock(self, person: str, passphrase: str, at: datetime) -> Key:
        """Open a closed key until the day of `at` ends. Raises Refused if it does not open."""
        from observe.trust.keys import opened

        path = self._path(person)
        if not path.exists():
            raise BadInput(
                "There is no key of this person on this machine.",
                where=str(path),
                remedy="It is made when they sign for the first time here.",
            )
        key = opened(path.read_bytes(), passphrase, where=str(path))
        self._open[person] = (at.date(), key)
        return key

    def lock(self, person: str = "") -> None:
        """Forget what was opened: one person's key, or all."""
        for one in [person] if person else list(self._open):
            self._open.pop(one, None)

    def close(self, person: str, name: str, passphrase: str, at: datetime) -> str:
        """Close a person's key with a passphrase; the recovery key, which is kept nowhere.

        Raises Refused for a short passphrase, and where a closed key was not opened today.
        """
        from observe.trust.keys import packed_again

        require_long(passphrase)
        key = self.key(person, name, at)
        recovery = new_recovery_key()
        self._keep_certificate(person, key)
        self._write(self._recovery(person), packed_again(key, recovery))
        self._write(self._path(person), packed_again(key, passphrase))
        self._open[person] = (at.date(), key)
        return recovery

    def recover(self, person: str, name: str, recovery: str, passphrase: str, at: datetime) -> str:
        """Open a key with its recovery key, and close it anew; the new recovery key.

        Raises Refused if it does not open, BadInput where the person has closed no key here.
        """
        from observe.trust.keys import opened

        require_long(passphrase)
        path = self._recovery(person)
        if not path.exists():
            raise BadInput(
                "This person closed no key on this machine.",
                where=str(path),
                remedy="Restore the backup of the key folder first.",
            )
        key = opened(path.read_bytes(), recovery_key_from(recovery), where=str(path))
        self._open[person] = (at.date(), key)
        return self.close(person, name, passphrase, at)

    def rotate(self, person: str, name: str, passphrase: str, at: datetime) -> tuple[Key, str]:
        """A new key in place of a person's old one, closed with a passphrase; and its recovery key.

        The old one is set aside: what it signed stays what it was. A department has to confirm
        the new one. Raises as `close`.
        """
        require_long(passphrase)
        old = self.key(person, name, at)
        for path in (self._path(person), self._recovery(person), self._certificate(person)):
            if path.exists():
                aside = f"{path.name}.{old.fingerprint[:16]}{_EARLIER}"
                path.rename(path.with_name(aside))
        write_new(self.folder / f"{file_stem(person)}.{old.fingerprint[:16]}.crt", old.certificate)
        self.lock(person)
        key = personal_key(self.folder, person, name, at)
        return key, self.close(person, name, passphrase, at)

    def back_up(self, person: str, folder: Path) -> tuple[Path, ...]:
        """Copy a closed key and its recovery copy to another folder, never over a file there.

        Raises Refused for a key that is open to anybody, or where a file is there already.
        """
        if not self.is_closed(person):
            raise Refused(
                "This key has no passphrase: a copy would open to anybody who finds it.",
                where=str(self._path(person)),
                remedy="Close it first, then back it up.",
            )
        pairs = [
            (path, folder / path.name)
            for path in (self._path(person), self._recovery(person), self._certificate(person))
        ]
        there = next((target for _, target in pairs if target.exists()), None)
        if there is not None:
            raise Refused(
                "There is a backup of this name already.",
                where=str(there),
                remedy="Name another folder.",
            )
        for path, target in pairs:
            write_whole(target, path.read_bytes())
        return tuple(target for _, target in pairs)

    def restore(self, person: str, folder: Path) -> None:
        """Take a backed-up key back, never over one that is here. Raises Refused, BadInput."""
        names = [self._path(person), self._recovery(person), self._certificate(person)]
        if names[0].exists():
            raise Refused(
                "There is a key of this person here already.",
                where=str(names[0]),
                remedy="Move it away first if it is not to be used any more.",
            )
        held = {path: folder / path.name for path in names}
        lost = next((source for source in held.values() if not source.is_file()), None)
        if lost is not None:
            raise BadInput("The backup is not whole.", where=str(lost), remedy="Use another copy.")
        self.folder.mkdir(parents=True, exist_ok=True)
        self.folder.chmod(0o700)
        for path, source in held.items():
            self._write(path, source.read_bytes())

    def _write(self, path: Path, data: bytes) -> None:
        write_whole(path, data)
        path.chmod(0o600)

    def _keep_certificate(self, person: str, key: Key) -> None:
        """Keep whose key it is readable, so that its signatures are known while it is closed."""
        path = self._certificate(person)
        if not path.exists():
            with contextlib.suppress(FileExistsError):
                write_new(path, key.certificate)
        path.chmod(0o600)

    def _path(self, person: str) -> Path:
        return self.folder / f"{file_stem(person)}.p12"

    def _recovery(self, person: str) -> Path:
        return self.folder / f"{file_stem(person)}{_RECOVERY}"

    def _certificate(self, person: str) -> Path:
        return self.folder / f"{file_stem(person)}{_CERTIFICATE}"


def require_long(passphrase: str) -> None:
    """Raises Refused for a passphrase that is too short for any key."""
    if len(passphrase) < LEAST_LETTERS:
        raise Refused(
            f"A passphrase has at least {LEAST_LETTERS} letters.",
            remedy="Take several words that do not belong together.",
        )
