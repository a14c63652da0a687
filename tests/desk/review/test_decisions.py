"""Decisions and critical items."""

from PySide6.QtWidgets import QWidget

from observe.desk.review.decisions import DecisionsPanel, sentence
from observe.desk.theme import Skin
from observe.work.reviewing import Review


def test_decisions_are_said_with_their_interval(made: Review) -> None:
    said = sentence(made)
    assert said.startswith("Same decision: ")
    assert f"Opposite decisions: {made.opposite}." in said


def test_the_table_and_every_critical_item_are_read_out(
    made: Review, skin: Skin, parent: QWidget
) -> None:
    panel = DecisionsPanel(skin, parent)
    panel.resize(640, 270)
    panel.show_review(made, ("", ""))
    said = panel.read_out()
    assert all(one.label in said for one in made.criticals)
    panel.grab()
