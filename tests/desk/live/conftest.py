"""A room in a window, for tests of Live."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk.live.model import LiveModel
from observe.desk.live.page import LivePage
from observe.desk.theme import Skin
from tests.desk.live.hands import Hands, OpenRoom
from tests.desk.people import HandClock


@pytest.fixture
def open_room(
    make_model: Callable[..., LiveModel], skin: Skin, clock: HandClock, qtbot: QtBot
) -> OpenRoom:
    """A room at 1280 × 800 on a tablet's screen, shown."""

    def make(seats: int = 8, **options: object) -> Hands:
        view = LivePage(skin, make_model(seats, **options))
        qtbot.addWidget(view)
        view.resize(1280, 800)
        view.show()
        view.activateWindow()
        qtbot.waitUntil(view.isActiveWindow)
        QApplication.processEvents()
        return Hands(qtbot, view, clock)

    return make
