"""A planned workshop of eight, and the desk on a clock by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from observe.work.session import Room
from tests.desk.people import HandClock
from tests.desk.workshop.bench import by_hand
from tests.desk.workshop.script import SEATED


@pytest.fixture
def planned(make_room: Callable[..., Room]) -> Path:
    """A logbook with a workshop of eight, planned and closed."""
    room = make_room(8, names=SEATED)
    room.logbook.close()
    return room.logbook.path


@pytest.fixture
def hand(clock: HandClock, faces: QApplication) -> Iterator[HandClock]:
    """The clock that everything goes by, the desk's fingers included."""
    faces.setStyle("fusion")
    with by_hand(clock):
        yield clock
