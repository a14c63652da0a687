"""A packet's file: written whole or not at all, and read with limits."""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from observe.domain.troubles import BadInput, Doubtful, Surroundings
from observe.store.packet import container
from observe.store.packet.container import MANIFEST, SIGNATURE, opened, write
from observe.store.packet.manifest import LOG, Manifest
from tests.store.packet.test_manifest import ONE

LINES = [b'{"a":1}', b'{"b":2}']
DIGEST = "0a" * 32


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "one.packet"


def made(path: Path, lines: list[bytes] = LINES) -> Manifest:
    return write(path, replace(ONE, members={}), lines, {DIGEST: 'title = "Ö"\n'}, lambda _: b"s")


def read(path: Path) -> tuple[Manifest, list[bytes], dict[str, str]]:
    with opened(path) as packet:
        return packet.manifest, [*packet.lines()], dict(packet.forms())


def members(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def repacked(
    path: Path, kept: Mapping[str, bytes], *more: tuple[str, bytes], packing: int = 8
) -> None:
    with zipfile.ZipFile(path, "w", packing) as packed:
        for name, data in (*kept.items(), *more):
            packed.writestr(name, data)


def test_what_was_written_comes_back(path: Path) -> None:
    manifest = made(path)
    assert read(path) == (manifest, LINES, {DIGEST: 'title = "Ö"\n'})
    assert path.stat().st_mode & 0o077 == 0
    assert [*path.parent.iterdir()] == [path]


def test_the_same_record_gives_the_same_bytes(path: Path) -> None:
    made(path)
    other = path.with_name("other.packet")
    made(other)
    assert other.read_bytes() == path.read_bytes()


def test_no_lines_at_all_are_a_log_too(path: Path) -> None:
    made(path, [])
    assert read(path)[1] == []


def test_many_lines_are_read_a_piece_at_a_time(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lines = [f'{{"n":{number}}}'.encode() for number in range(5000)]
    monkeypatch.setattr(container, "_CHUNK", 777)
    made(path, lines)
    assert read(path)[1] == lines


def test_a_file_that_is_there_is_never_replaced(path: Path) -> None:
    path.write_bytes(b"mine")
    with pytest.raises(Surroundings, match="already"):
        made(path)
    assert path.read_bytes() == b"mine"
    assert [*path.parent.iterdir()] == [path]


def test_nothing_half_written_stays_behind(path: Path) -> None:
    def broken() -> object:
        yield b"{}"
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        write(path, ONE, broken(), {}, lambda _: b"s")  # type: ignore[arg-type]  # a generator
    assert [*path.parent.iterdir()] == []


def test_a_file_that_is_not_there_is_told(path: Path) -> None:
    with pytest.raises(Surroundings):
        read(path)


@pytest.mark.parametrize("data", [b"", b"PK", b"no packet at all", b"\x00" * 5000])
def test_another_kind_of_file_is_no_packet(path: Path, data: bytes) -> None:
    path.write_bytes(data)
    with pytest.raises(BadInput, match="no packet"):
        read(path)


def test_cut_anywhere_it_is_refused(path: Path) -> None:
    made(path)
    data = path.read_bytes()
    for end in range(len(data)):
        path.write_bytes(data[:end])
        with pytest.raises((BadInput, Doubtful)):
            read(path)


def test_with_any_bit_turned_it_is_refused_or_says_the_same(path: Path) -> None:
    """A few bits of an archive mean nothing, such as those of a time; no other gets through."""
    manifest = made(path)
    data = path.read_bytes()
    for place in range(len(data)):
        for bit in (1, 128):
            path.write_bytes(data[:place] + bytes([data[place] ^ bit]) + data[place + 1 :])
            try:
                found = read(path)
            except (BadInput, Doubtful):
                continue
            assert found == (manifest, LINES, {DIGEST: 'title = "Ö"\n'})


Twist = Callable[[Path, dict[str, bytes]], None]


def traversing(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, kept, ("../../escape.toml", b"x"))


def absolute(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, kept, ("/etc/passwd", b"x"))


def another(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, kept, ("more.txt", b"x"))


def another_form(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, kept, (f"forms/{'0b' * 32}.toml", b"x"))


@pytest.mark.filterwarnings("ignore:Duplicate name")
def twice(path: Path, kept: dict[str, bytes]) -> None:
    with pytest.warns(UserWarning, match="Duplicate"):
        repacked(path, kept, (LOG, b"{}\n"))


def without_log(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, {name: data for name, data in kept.items() if name != LOG})


def without_signature(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, {name: data for name, data in kept.items() if name != SIGNATURE})


def other_log(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, {**kept, LOG: b'{"a":1}\n{"b":3}\n'})


def longer_log(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, {**kept, LOG: kept[LOG] + b"{}\n"})


def other_form(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, {**kept, f"forms/{DIGEST}.toml": b"title = 1"})


def bomb(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, {**kept, LOG: b"0" * (64 << 20)})


def long_line(path: Path, kept: dict[str, bytes]) -> None:
    del kept
    made(path.with_name("l"), [bytes(range(33, 127)) * 40_000])
    path.write_bytes(path.with_name("l").read_bytes())


def long_manifest(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, {**kept, MANIFEST: b'{"a":"' + b"x" * (5 << 20) + b'"}'}, packing=0)


def strange_packing(path: Path, kept: dict[str, bytes]) -> None:
    repacked(path, kept, packing=zipfile.ZIP_LZMA)


TWISTS = (
    *(traversing, absolute, another, another_form, twice, without_log, without_signature),
    *(other_log, longer_log, other_form, bomb, long_line, long_manifest, strange_packing),
)


@pytest.mark.parametrize("twist", TWISTS, ids=lambda one: one.__name__)
def test_what_no_packet_holds_is_refused(path: Path, twist: Twist) -> None:
    made(path)
    twist(path, members(path))
    with pytest.raises((BadInput, Doubtful)):
        read(path)


def test_a_later_format_is_told_with_what_to_do(path: Path) -> None:
    made(path)
    kept = members(path)
    kept[MANIFEST] = kept[MANIFEST].replace(b'"format":1', b'"format":2')
    repacked(path, kept)
    with pytest.raises(BadInput, match="newer version") as told:
        read(path)
    assert "install" in told.value.remedy
