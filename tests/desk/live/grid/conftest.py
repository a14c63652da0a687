"""A Grid in a window, for tests of it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk.live.grid.view import GridView
from observe.desk.live.model import LiveModel
from observe.desk.theme import Skin
from tests.desk.live.grid.fingers import Fingers, OpenGrid
from tests.desk.people import HandClock


def without_motion(skin: Skin) -> Skin:
    """The same skin, on which the lens is at once where it goes."""
    skin.motion_reduced = True
    return skin


@pytest.fixture
def open_grid(
    make_model: Callable[..., LiveModel], skin: Skin, clock: HandClock, qtbot: QtBot
) -> OpenGrid:
    """A Grid under the bar of a tablet of 1280 × 800, shown."""

    def make(
        seats: int = 8,
        *,
        size: tuple[int, int] = (1280, 730),
        model: LiveModel | None = None,
        **options: object,
    ) -> Fingers:
        model = model or make_model(seats, **options)
        view = GridView(without_motion(skin), model, clock=clock.now)
        model.changed.connect(view.show_seat)
        model.refused.connect(view.show_seat)
        model.front_changed.connect(view.show_front)
        model.trouble_changed.connect(view.refresh)
        qtbot.addWidget(view)
        view.resize(*size)
        view.show()
        view.activateWindow()  # a screen without a window manager gives no window the keyboard
        qtbot.waitUntil(view.isActiveWindow)
        QApplication.processEvents()
        return Fingers(view, clock)

    return make
