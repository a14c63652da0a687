"""A learner's own words: kept as they stand, and never too many."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from observe.desk.sharing.own_words import LONGEST, WordsPage
from observe.desk.theme import Skin
from observe.domain.observation import Slot

SLOTS = ((Slot.STRENGTH, "Keep doing"), (Slot.CHANGE, "Change one thing"))


def test_only_what_changed_is_kept_and_what_failed_is_tried_again(
    skin: Skin, parent: QWidget
) -> None:
    kept: list[tuple[Slot, str]] = []
    able = False

    def write(slot: Slot, text: str) -> bool:
        if able:
            kept.append((slot, text))
        return able

    page = WordsPage(skin, "In your own words", SLOTS, {Slot.STRENGTH: "Calm"}, write, parent)
    page.keep()
    assert kept == []
    page.fields[Slot.CHANGE].setPlainText("  Slower ")
    page.keep()
    able = True
    page.keep()
    page.keep()
    page.fields[Slot.STRENGTH].setPlainText("")
    page.keep()
    assert kept == [(Slot.CHANGE, "Slower"), (Slot.STRENGTH, "")]


def test_too_many_letters_are_not_taken(skin: Skin, parent: QWidget) -> None:
    page = WordsPage(skin, "In your own words", SLOTS, {}, lambda *_: True, parent)
    page.fields[Slot.CHANGE].setPlainText("x" * LONGEST)
    cursor = page.fields[Slot.CHANGE].textCursor()
    cursor.insertText("yz")
    assert len(page.fields[Slot.CHANGE].toPlainText()) == LONGEST
