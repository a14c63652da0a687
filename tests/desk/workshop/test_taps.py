"""How many presses a deed takes, counted at the widgets: a lost second is a lost mark."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication

from observe.desk.keys import Key
from tests.desk.people import HandClock
from tests.desk.workshop.bench import TABLET, Bench
from tests.desk.workshop.players import FIRST_OBSERVER
from tests.desk.workshop.pointing import Mouse
from tests.desk.workshop.script import AMARA, IDRIS, Act

Before = Callable[[Mouse], object]


@pytest.fixture
def mouse(planned: Path, hand: HandClock) -> Iterator[Mouse]:
    """At the table of eight, with Amara in front, who did two steps."""
    player = Mouse(Bench(planned, TABLET, paints=50), hand)
    player.enter(FIRST_OBSERVER)
    for step in (1, 2):
        player.play(Act("mark", AMARA, step, ("D",)))
    yield player
    player.bench.desk.close()


@pytest.mark.parametrize("who", [AMARA, IDRIS], ids=["in front", "at another seat"])
def test_a_routine_mark_is_one_press(mouse: Mouse, who: str) -> None:
    step = 3 if who == AMARA else 1
    assert mouse.play(Act("mark", who, step, ("D",))) == 1
    assert marked(mouse, who) == step


@pytest.mark.parametrize("who", [AMARA, IDRIS], ids=["in front", "at another seat"])
def test_any_other_mark_is_two_presses_at_the_most(mouse: Mouse, who: str) -> None:
    already = marked(mouse, who)
    for count, code in enumerate("V1234IN", start=1):
        mouse.play(Act("look", AMARA))
        presses = mouse.play(Act("mark", who, more=(code,)))
        assert presses == (1 if who == AMARA else 2)
        assert marked(mouse, who) == already + count


@pytest.mark.parametrize("who", [AMARA, IDRIS], ids=["in front", "at another seat"])
def test_catching_up_is_two_presses_at_the_most(mouse: Mouse, who: str) -> None:
    state = mouse.bench.model.state
    for step in (4, 9, 31):
        mouse.play(Act("look", AMARA))
        assert mouse.play(Act("now here", who, step)) <= 2
        now = state(mouse.bench.seat(who))
        assert now.numbers[now.board.at] == step


def marked(mouse: Mouse, who: str) -> int:
    return len(mouse.bench.model.state(mouse.bench.seat(who)).board.placed)


def asking(mouse: Mouse) -> None:
    mouse.play(Act("critical", AMARA))
    assert mouse.bench.live.well.panel.isVisible()


def judging(mouse: Mouse) -> None:
    asking(mouse)
    mouse.play(Act("name", AMARA, more=("LPX-C2",)))
    assert mouse.bench.live.well.panel.isVisible()


def ending(mouse: Mouse) -> None:
    mouse.play(Act("stop", AMARA))
    mouse.press(mouse.bench.live.well.end)


def writing(mouse: Mouse) -> None:
    mouse.more(AMARA, "Note on the attempt")
    mouse.type_text("Left-handed")


def away(mouse: Mouse) -> None:
    mouse.clock.go(900)
    mouse.bench.live.tick()
    assert mouse.bench.live.note.isVisible()


STATES: Mapping[str, Before] = {
    "marking": lambda _: None,
    "the well asks which one": asking,
    "the well asks what became of it": judging,
    "the well asks how it ended": ending,
    "stopped": lambda mouse: mouse.play(Act("stop", AMARA)),
    "paused": lambda mouse: mouse.play(Act("pause", AMARA)),
    "all paused": lambda mouse: mouse.play(Act("pause all")),
    "the room's panel": lambda mouse: mouse.open_room(),
    "the learner's panel": lambda mouse: mouse.more(AMARA),
    "a text is written": writing,
    "Together": lambda mouse: mouse.open("Together"),
    "the seats are arranged": lambda mouse: mouse.open("Seats and arrivals"),
    "the shield is up": lambda mouse: mouse.open("Shield"),
    "back after a while": away,
    "the table of keys": lambda mouse: mouse.open_room("Keys"),
    "the Grid": lambda mouse: mouse.open("Grid"),
}


@pytest.mark.parametrize("state", STATES)
def test_a_critical_event_is_one_press_from_any_state(mouse: Mouse, state: str) -> None:
    """Of the learner in front, then of another; what it was may wait (rule C2)."""
    STATES[state](mouse)
    for who in (AMARA, IDRIS):
        seat = mouse.bench.seat(who)
        before = len(mouse.bench.model.state(seat).occurrences)
        mouse.press(in_reach(mouse, who))
        assert len(mouse.bench.model.state(seat).occurrences) == before + 1


def in_reach(mouse: Mouse, who: str) -> Key:
    """A critical key of a learner that is in sight, and not covered in its middle."""
    frame = mouse.bench.frame
    QApplication.processEvents()
    keys = [key for key in frame.findChildren(Key) if key.isVisible() and key.isEnabled()]
    found = [
        key
        for key in keys
        if "ritical" in key.accessibleName()
        and who in key.accessibleName()
        and frame.childAt(key.mapTo(frame, QPoint(key.width() // 2, key.height() // 2))) is key
    ]
    assert found, [key.accessibleName() for key in keys]
    return found[0]
