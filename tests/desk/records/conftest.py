"""A page of records on a machine that has met another one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from observe.desk.records.page import RecordsPage
from observe.desk.theme import Skin
from tests.work.machines import Desk, lead_desk

Opened = Callable[..., RecordsPage]


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path)
    yield desk
    desk.logbook.close()


@pytest.fixture
def opened(skin: Skin, qtbot: QtBot) -> Opened:
    """Opens the page on a machine's logbook."""

    def open_page(desk: Desk, me: str = "Anna") -> RecordsPage:
        page = RecordsPage(skin, desk.logbook, me)
        qtbot.addWidget(page)
        page.resize(1280, 690)
        page.show()
        return page

    return open_page
