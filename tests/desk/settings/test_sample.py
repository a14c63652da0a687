"""The sample seat follows the settings."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.paint import Misfit
from observe.desk.settings.sample import SeatSample
from observe.desk.theme import Skin
from observe.work.settings import TEXT_SIZES, Settings, WritingHand
from tests.desk.people import painted


@pytest.mark.parametrize("text", TEXT_SIZES)
def test_every_text_of_the_sample_has_room(
    skin: Skin, parent: QWidget, misfits: list[Misfit], text: int
) -> None:
    skin.apply(Settings(text=text))
    sample = SeatSample(skin, parent)
    sample.resize(max(skin.mm(62), skin.px(300)), 10)
    sample.resize(sample.width(), sample.high())
    painted(parent, sample.width(), sample.high())
    assert misfits == []


def test_the_critical_key_changes_sides_with_the_hand(skin: Skin, parent: QWidget) -> None:
    sample = SeatSample(skin, parent)
    sample.resize(400, 10)
    sample.resize(400, sample.high())
    painted(parent, 400, sample.height())
    right = sample.grab().toImage()
    skin.apply(Settings(hand=WritingHand.LEFT))
    assert sample.grab().toImage() != right
