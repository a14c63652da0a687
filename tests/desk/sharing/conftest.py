"""A learner's screen, in the role of self or peer."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from pytestqt.qtbot import QtBot

from observe.desk.sharing.learner import LearnerScreen
from observe.desk.theme import Skin
from observe.work import pins
from observe.work.learner_screen import open_own, open_peer
from observe.work.logbooks import Logbook
from observe.work.pins import Pins, pins_path
from observe.work.session import Room
from tests.desk.people import HandClock, painted

OpenScreen = Callable[..., LearnerScreen]


@pytest.fixture
def held(logbook: Logbook, monkeypatch: pytest.MonkeyPatch) -> Pins:
    """The PINs beside the test's logbook, at little cost."""
    monkeypatch.setattr(pins, "COST", 4)
    return Pins(pins_path(logbook.path), logbook.machine)


@pytest.fixture
def open_screen(
    make_room: Callable[..., Room], held: Pins, skin: Skin, clock: HandClock, qtbot: QtBot
) -> OpenScreen:
    """The screen of the learner at seat 1, or of the one at seat 2 as their peer."""

    def make(*, peer: bool = False, **options: object) -> LearnerScreen:
        room = make_room(3, **options)
        seat = room.workshop.seats[0]
        if peer:
            other = room.workshop.seats[1].learner
            session = open_peer(room.logbook, room.workshop, seat, other)
        else:
            session = open_own(room.logbook, room.workshop, seat)
        name = room.name(seat.learner)
        made = LearnerScreen(skin, session, held, name=name, observer="o-1", seconds=clock.now)
        qtbot.addWidget(made)
        painted(made, 1280, 800)
        return made

    return make
