"""A list of blocks with keys for what can be done."""

from __future__ import annotations

from pytestqt.qtbot import QtBot

from observe.desk.blocks import Block, BlockList
from observe.desk.theme import Skin
from observe.look.tokens import ROUTINE_TARGET_MM


def test_each_key_does_its_own_deed_and_says_of_what(skin: Skin, qtbot: QtBot) -> None:
    done: list[str] = []
    parts = BlockList(skin)
    qtbot.addWidget(parts)
    parts.resize(500, 600)
    blocks = [
        Block("One", ("First.",), (("Do", lambda: done.append("one")),)),
        Block("Two", (), (("Do", lambda: done.append("two")), ("Else", lambda: done.append("3")))),
    ]
    parts.show_blocks(blocks)
    parts.show()
    for key in parts.keys:
        key.click()
    assert done == ["one", "two", "3"]
    assert [key.accessibleName() for key in parts.keys] == ["Do: One", "Do: Two", "Else: Two"]
    assert all(key.height() >= skin.mm(ROUTINE_TARGET_MM) for key in parts.keys)
    parts.show_blocks(blocks[:1])
    assert [key.isVisible() for key in parts.keys] == [True, False, False]


def test_a_narrow_list_is_higher_and_its_keys_stay_in_it(skin: Skin, qtbot: QtBot) -> None:
    parts = BlockList(skin)
    qtbot.addWidget(parts)
    deeds = tuple((f"Deed number {n}", lambda: None) for n in range(6))
    parts.show_blocks([Block("A title", ("A sentence that is rather long. " * 8,), deeds)])
    assert parts.needed(300) > parts.needed(900)
    parts.resize(300, parts.needed(300))
    parts.show()
    boxes = [key.geometry() for key in parts.keys]
    assert all(parts.rect().contains(box) for box in boxes)
    assert not any(a.intersects(b) for n, a in enumerate(boxes) for b in boxes[:n])
