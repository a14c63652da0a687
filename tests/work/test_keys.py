import stat
from datetime import UTC, datetime
from pathlib import Path

import pytest

from observe.domain.troubles import Trouble
from observe.work.keys import known_keys, personal_key, write_new

AT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def test_k1_a_key_is_made_on_first_use_and_is_the_same_ever_after(tmp_path: Path) -> None:
    folder = tmp_path / "keys"
    first = personal_key(folder, "o1", "Dr Anna", AT)
    assert first.name == "Dr Anna"
    assert personal_key(folder, "o1", "Dr Anna", AT).fingerprint == first.fingerprint
    assert personal_key(folder, "o2", "Dr Ben", AT).fingerprint != first.fingerprint


def test_k1_only_its_owner_can_read_a_key(tmp_path: Path) -> None:
    folder = tmp_path / "keys"
    personal_key(folder, "o1", "Dr Anna", AT)
    (path,) = folder.iterdir()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_a_person_id_never_leads_out_of_the_key_folder(tmp_path: Path) -> None:
    folder = tmp_path / "keys"
    personal_key(folder, "../../etc/passwd", "Dr Anna", AT)
    personal_key(folder, "..", "Dr Ben", AT)
    assert {one.parent for one in tmp_path.rglob("*.p12")} == {folder}


def test_a_damaged_key_file_is_named_and_never_replaced(tmp_path: Path) -> None:
    folder = tmp_path / "keys"
    personal_key(folder, "o1", "Dr Anna", AT)
    (path,) = folder.iterdir()
    path.write_bytes(b"garbage")
    with pytest.raises(Trouble) as told:
        personal_key(folder, "o1", "Dr Anna", AT)
    assert str(path) in str(told.value)
    assert path.read_bytes() == b"garbage"


def test_k1_known_keys_are_those_that_open_here(tmp_path: Path) -> None:
    key = personal_key(tmp_path, "o1", "Dr Anna", AT)
    (tmp_path / "spoiled.p12").write_bytes(b"garbage")
    known = known_keys(tmp_path)
    assert list(known) == [key.fingerprint]
    assert "not confirmed by a department" in known[key.fingerprint]
    assert known_keys(tmp_path / "nowhere") == {}


def test_two_who_make_a_key_at_once_end_with_one(tmp_path: Path) -> None:
    write_new(tmp_path / "o1.p12", b"first")
    write_new(tmp_path / "o1.p12", b"second")
    assert (tmp_path / "o1.p12").read_bytes() == b"first"
    assert [path.name for path in tmp_path.iterdir()] == ["o1.p12"]
