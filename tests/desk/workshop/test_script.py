"""One afternoon of eight learners and a late one, played by mouse, by keyboard and by touch.

What must come of it is worked out in plain dicts (`reference.py`); what came of it is read
from the disk anew. Every act is a press in a real window.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtTest import QTest

from tests.desk.people import HandClock
from tests.desk.workshop.bench import LAPTOP, TABLET, Bench
from tests.desk.workshop.disk import live_and_folded, on_disk
from tests.desk.workshop.keyboard import Keyboard
from tests.desk.workshop.players import FIRST_OBSERVER, Player
from tests.desk.workshop.pointing import Mouse, Touch
from tests.desk.workshop.reference import FIRST, SECOND, Reference
from tests.desk.workshop.script import SCRIPT, SEATED


def players(path: Path, clock: HandClock) -> dict[str, Callable[[], Player]]:
    return {
        "mouse": lambda: Mouse(Bench(path, TABLET, paints=5), clock),
        "keyboard": lambda: Keyboard(Bench(path, LAPTOP, paints=9), clock),
        "touch": lambda: Touch(Bench(path, TABLET, paints=9), clock, QTest.createTouchDevice()),
    }


def test_the_script_is_a_whole_afternoon() -> None:
    marked: dict[str, set[int]] = {}
    for act in SCRIPT:
        if act.deed in {"mark", "now here"}:
            marked.setdefault(act.who, set()).add(act.step)
    assert all(max(marked[who]) >= 24 for who in SEATED)
    given = {act.more[0] for act in SCRIPT if act.deed == "mark"}
    assert given == set("D1234INVAXU")


@pytest.mark.parametrize("by", ["mouse", "keyboard", "touch"])
def test_what_was_played_is_on_the_disk(by: str, planned: Path, hand: HandClock) -> None:
    reference = Reference()
    for act in SCRIPT:
        reference.play(act)
    player = players(planned, hand)[by]()
    player.enter(FIRST_OBSERVER)
    player.play_all(SCRIPT)
    held, folded = live_and_folded(player.bench.model.room)
    assert held == folded
    player.bench.die()
    seen, seats, absent = on_disk(planned, (FIRST, SECOND))
    assert seen == reference.expected()
    assert seats == reference.seats
    assert absent == reference.absent
    if isinstance(player, Touch):
        assert player.pairs > 20  # two fingers at once
