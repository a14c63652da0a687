"""Personal keys closed with a passphrase, recovered, renewed and backed up (rule K1)."""

from __future__ import annotations

import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from observe.domain.troubles import BadInput, Refused
from observe.work.keyring import Keyring, new_recovery_key, recovery_key_from
from observe.work.keys import known_keys

AT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
WORDS = "amber window quiet harbour"


@pytest.fixture
def ring(tmp_path: Path) -> Keyring:
    return Keyring(tmp_path / "keys")


def test_a_key_without_a_passphrase_opens_to_its_owner_at_once(ring: Keyring) -> None:
    first = ring.key("o1", "Anna", AT)
    assert ring.key("o1", "Anna", AT).fingerprint == first.fingerprint
    assert not ring.is_closed("o1")


def test_k1_a_closed_key_opens_once_a_day_and_no_file_holds_it_open(ring: Keyring) -> None:
    key = ring.key("o1", "Anna", AT)
    ring.close("o1", "Anna", WORDS, AT)
    assert ring.key("o1", "Anna", AT).fingerprint == key.fingerprint
    again = Keyring(ring.folder)
    assert again.needs_passphrase("o1", AT)
    with pytest.raises(Refused, match="is closed"):
        again.key("o1", "Anna", AT)
    with pytest.raises(Refused, match="does not open"):
        again.unlock("o1", "amber", AT)
    again.unlock("o1", WORDS, AT)
    assert not again.needs_passphrase("o1", AT + timedelta(hours=5))
    assert again.needs_passphrase("o1", AT + timedelta(days=1))
    with pytest.raises(Refused, match="is closed"):
        again.key("o1", "Anna", AT + timedelta(days=1))
    held = b"".join(path.read_bytes() for path in ring.folder.iterdir())
    assert WORDS.encode() not in held
    assert key.private not in held


def test_a_closed_key_is_still_known_as_ones_own(ring: Keyring) -> None:
    key = ring.key("o1", "Anna", AT)
    ring.close("o1", "Anna", WORDS, AT)
    assert key.fingerprint in known_keys(ring.folder)
    assert {stat.S_IMODE(path.stat().st_mode) for path in ring.folder.iterdir()} == {0o600}


def test_a_short_passphrase_is_refused(ring: Keyring) -> None:
    with pytest.raises(Refused, match="at least 8"):
        ring.close("o1", "Anna", "amber", AT)
    assert not ring.is_closed("o1")


def test_a_forgotten_passphrase_is_made_good_by_the_recovery_key(ring: Keyring) -> None:
    key = ring.key("o1", "Anna", AT)
    recovery = ring.close("o1", "Anna", WORDS, AT)
    again = Keyring(ring.folder)
    typed = recovery.lower().replace("-", " ")
    new = again.recover("o1", "Anna", typed, "another passphrase", AT)
    assert new != recovery
    third = Keyring(ring.folder)
    assert third.unlock("o1", "another passphrase", AT).fingerprint == key.fingerprint
    with pytest.raises(Refused, match="does not open"):
        third.recover("o1", "Anna", recovery, WORDS, AT)


def test_recovery_keys_are_read_as_they_are_printed() -> None:
    key = new_recovery_key()
    assert len(key) == 39
    assert recovery_key_from(key.lower().replace("-", "")) == key
    assert not set(key) & set("IO01")


def test_a_renewed_key_leaves_the_old_one_known(ring: Keyring) -> None:
    old = ring.key("o1", "Anna", AT)
    new, _ = ring.rotate("o1", "Anna", WORDS, AT)
    assert new.fingerprint != old.fingerprint
    assert ring.key("o1", "Anna", AT).fingerprint == new.fingerprint
    assert {old.fingerprint, new.fingerprint} <= set(known_keys(ring.folder))


def test_a_backup_comes_back_and_never_over_a_key(ring: Keyring, tmp_path: Path) -> None:
    key = ring.key("o1", "Anna", AT)
    stick = tmp_path / "stick"
    with pytest.raises(Refused, match="no passphrase"):
        ring.back_up("o1", stick)
    ring.close("o1", "Anna", WORDS, AT)
    assert len(ring.back_up("o1", stick)) == 3
    with pytest.raises(Refused, match="already"):
        ring.back_up("o1", stick)
    with pytest.raises(Refused, match="here already"):
        ring.restore("o1", stick)
    other = Keyring(tmp_path / "other")
    other.restore("o1", stick)
    assert other.unlock("o1", WORDS, AT).fingerprint == key.fingerprint
    (stick / "o1.crt").unlink()
    with pytest.raises(BadInput, match="not whole"):
        Keyring(tmp_path / "third").restore("o1", stick)


def test_nobody_recovers_or_opens_what_is_not_here(ring: Keyring) -> None:
    with pytest.raises(BadInput):
        ring.unlock("o1", WORDS, AT)
    with pytest.raises(BadInput):
        ring.recover("o1", "Anna", new_recovery_key(), WORDS, AT)
