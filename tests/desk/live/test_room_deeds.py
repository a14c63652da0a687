"""The panel of the room's deeds."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.live.bar import SHIELD, TOGETHER
from observe.desk.live.model import LiveModel
from observe.desk.live.questions import Questions
from observe.desk.live.room_deeds import KEYS_TABLE, RoomDeeds
from observe.desk.theme import Skin


@pytest.fixture
def deeds(make_model: Callable[..., LiveModel], skin: Skin, parent: QWidget) -> RoomDeeds:
    parent.resize(700, 500)
    questions = Questions(skin, parent)
    questions.setGeometry(0, 0, 631, 478)
    parent.show()
    return RoomDeeds(make_model(2), questions)


def names(deeds: RoomDeeds) -> list[str]:
    keys = deeds.questions.choices.answers
    return [key.accessibleName().partition(".")[0] for key in keys if key.isVisible()]


def test_what_has_no_room_in_the_bar_is_offered_first(deeds: RoomDeeds) -> None:
    deeds.offer({SHIELD, TOGETHER})
    assert names(deeds)[:2] == [TOGETHER, SHIELD]


def test_a_deed_is_said_by_its_name(deeds: RoomDeeds) -> None:
    said: list[str] = []
    deeds.struck.connect(said.append)
    deeds.offer(())
    deeds.questions.answer(names(deeds).index(KEYS_TABLE) + 1)
    assert said == [KEYS_TABLE]
