"""The lens moves in a moment, or at once where less motion is asked for."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QObject

from observe.desk.live.grid.lens import OPENS_MS, Lens
from observe.desk.theme import Skin
from tests.desk.live.grid.conftest import without_motion


@pytest.fixture
def lens(skin: Skin) -> Lens:
    made = Lens(skin, skin)
    made.place(31, 658)
    return made


def test_it_opens_centred_on_a_row(lens: Lens) -> None:
    lens.open_at(20, at_once=True)
    assert (lens.top, lens.count) == (18, 5)
    assert lens.is_open(18)
    assert lens.is_open(22)
    assert not lens.is_open(23)


def test_it_moves_no_more_than_it_must_to_reach_a_row(lens: Lens) -> None:
    lens.open_at(10, at_once=True)
    lens.reach(11)
    assert lens.top == 8
    lens.reach(13)
    assert lens.top == 9


def test_its_motion_is_short_and_only_of_height(lens: Lens) -> None:
    seen: list[list[int]] = []
    lens.moved.connect(seen.append)
    lens.open_at(20)
    assert OPENS_MS <= 80
    lens.settle()
    assert seen[-1] == lens.heights
    assert all(sum(heights) == 658 for heights in seen)


def test_with_less_motion_it_is_there_at_once(skin: Skin, lens: Lens) -> None:
    without_motion(skin)
    seen: list[list[int]] = []
    lens.moved.connect(seen.append)
    lens.open_at(20)
    assert seen == [lens.heights]


def test_a_new_size_keeps_the_middle_row_open(lens: Lens) -> None:
    lens.open_at(20, at_once=True)
    lens.place(31, 1200)
    assert lens.is_open(20)
    assert isinstance(lens.parent(), QObject)
