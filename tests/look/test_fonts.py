"""Every face ships with its licence, and can be embedded."""

import struct
from pathlib import Path

import pytest

from observe.look.fonts import FACES, TEXT, Face
from observe.look.tokens import Weight


def table(data: bytes, name: bytes) -> bytes:
    """One table of a TrueType file (OpenType specification, "Table directory")."""
    count = struct.unpack(">H", data[4:6])[0]
    for place in range(12, 12 + 16 * count, 16):
        tag, _, offset, length = struct.unpack(">4sLLL", data[place : place + 16])
        if tag == name:
            return data[offset : offset + length]
    raise LookupError(name)


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.name)
def test_a_face_is_there_has_outlines_to_embed_and_may_be_embedded(face: Face) -> None:
    data = face.path().read_bytes()
    assert table(data, b"glyf")
    # OpenType specification, OS/2 table: fsType at offset 8; 0 is "installable embedding".
    assert struct.unpack(">H", table(data, b"OS/2")[8:10])[0] == 0
    assert struct.unpack(">H", table(data, b"OS/2")[4:6])[0] == face.css_weight


def test_every_weight_has_a_face() -> None:
    assert set(TEXT) == set(Weight)


def test_nothing_ships_without_its_licence(checkout: Path) -> None:
    folder = checkout / "resources" / "fonts"
    assert {path.name for path in folder.glob("*.ttf")} == {face.file_name for face in FACES}
    for name, words in [
        ("LICENSE-Lato.txt", "SIL OPEN FONT LICENSE Version 1.1"),
        ("LICENSE-DejaVu.txt", "Bitstream Vera"),
    ]:
        assert words in (folder / name).read_text(encoding="utf-8")
