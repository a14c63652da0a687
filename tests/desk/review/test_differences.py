"""The plot of score differences."""

from PySide6.QtWidgets import QWidget

from observe.desk.review.differences import DifferencesPanel, _ticks, sentence
from observe.desk.theme import Skin
from observe.work.reviewing import Review


def test_ticks_are_round_and_few() -> None:
    assert _ticks(-30, 30) == [-30, -20, -10, 0, 10, 20, 30]
    assert _ticks(50, 100) == [50, 60, 70, 80, 90, 100]
    assert len(_ticks(-100, 100)) <= 7


def test_bias_and_limits_are_said_with_how_many_they_rest_on(
    made: Review, skin: Skin, parent: QWidget
) -> None:
    said = sentence(made.totals)
    assert f"n {len(made.totals.points)}." in said
    assert "rough under 40" in said
    panel = DifferencesPanel(skin, parent)
    panel.resize(330, 360)
    panel.show_review(made, ("", ""))
    assert panel.read_out() == said
    panel.grab()
