"""Rule E5: a copied, moved or restored logbook goes on under a new device id."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from observe.domain.events import Draft
from observe.work.logbooks import open_logbook
from observe.work.whereabouts import NAME


def written(path: Path) -> str:
    """Open a logbook and write into it; the device id that it went on under."""
    with open_logbook(path, create=True) as logbook:
        logbook.append([Draft("person-named", {"person": "p"}, texts={"name": "Pia"})])
        return logbook.log.device


def moved(path: Path) -> Path:
    return path.rename(path.with_name("moved.observe"))


def copied(path: Path) -> Path:
    return Path(shutil.copy(path, path.with_name("copy.observe")))


def test_the_same_logbook_goes_on_as_itself(tmp_path: Path) -> None:
    path = tmp_path / "l.observe"
    assert len({written(path) for _ in range(3)}) == 1


@pytest.mark.parametrize("carried", [moved, copied])
def test_e5_a_copy_names_the_head_that_it_goes_on_from(
    tmp_path: Path, carried: Callable[[Path], Path]
) -> None:
    path = tmp_path / "l.observe"
    device = written(path)
    with open_logbook(path) as logbook:
        head = logbook.log.head()
    elsewhere = carried(path)
    assert written(elsewhere) != device
    with open_logbook(elsewhere) as logbook:
        (named,) = logbook.log.read(kinds=("device-named",))
        assert named.body["follows"] == {"device": device, "seq": head.seq, "hash": head.hash}
        assert named.body["turn"] == head.seq
        assert list(logbook.log.devices()) == [device, logbook.log.device]


def test_e5_a_restored_backup_that_goes_on_forks_with_nobody(tmp_path: Path) -> None:
    path, backup = tmp_path / "l.observe", tmp_path / "backup.observe"
    device = written(path)
    shutil.copy(path, backup)
    lost = written(path)
    shutil.copy(backup, path)  # Over the file: it is the same one to the disk.
    restored = written(path)
    assert lost == device != restored


def test_e5_another_machine_knows_nothing_of_the_logbook(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "l.observe"
    device = written(path)
    monkeypatch.setenv("OBSERVE_HOME", str(tmp_path / "another"))
    assert written(path) != device


@pytest.mark.parametrize("held", [b"", b"[]", b"{", b'{"d": 1}', b"\xff"])
def test_notes_that_cannot_be_read_are_as_none(tmp_path: Path, own_home: Path, held: bytes) -> None:
    path = tmp_path / "l.observe"
    device = written(path)
    (own_home / NAME).write_bytes(held)
    assert written(path) != device


def test_where_no_note_can_be_kept_the_logbook_opens_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "file"
    blocked.write_bytes(b"")
    monkeypatch.setenv("OBSERVE_HOME", str(blocked / "home"))
    path = tmp_path / "l.observe"
    assert written(path) == written(path)


def test_reading_only_changes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "l.observe"
    device = written(path)
    with open_logbook(copied(path), read_only=True) as logbook:
        assert logbook.log.device == device
