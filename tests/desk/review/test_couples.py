"""Two observers at a time."""

from PySide6.QtWidgets import QWidget

from observe.desk.review.couples import CouplesPanel
from observe.desk.theme import Skin
from observe.work.reviewing import Review


def test_every_two_observers_are_read_out(made: Review, skin: Skin, parent: QWidget) -> None:
    panel = CouplesPanel(skin, parent)
    panel.resize(320, 360)
    panel.show_review(made, ("", ""))
    said = panel.read_out()
    assert said.count(" attempts") == len(made.couples)
    panel.grab()
    assert panel.needed(320) > 200


def test_who_shares_most_comes_first(made: Review, skin: Skin, parent: QWidget) -> None:
    panel = CouplesPanel(skin, parent)
    panel.show_review(made, ("", ""))
    shared = {
        name: sum(one.shared for one in made.couples if name in one.observers)
        for name in made.gathered.observers
    }
    names = panel._names()
    assert [shared[one] for one in names] == sorted(shared.values(), reverse=True)
