"""The desk as a process of its own that plays a part of the script by mouse, then waits.

Says the number of each act once it was done. Arguments: logbook, first act, last act,
seconds since the workshop began.
"""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from observe.desk.theme import register_faces
from tests.desk.people import HandClock
from tests.desk.workshop.bench import DESKTOP, Bench, by_hand
from tests.desk.workshop.players import FIRST_OBSERVER
from tests.desk.workshop.pointing import Mouse
from tests.desk.workshop.script import morning


def main(path: str, first: int, last: int, began: int) -> None:
    """Play, and wait to be killed."""
    application = QApplication([])
    application.setStyle("fusion")
    register_faces()
    clock = HandClock()
    clock.go(began)
    clock.made = began * 1000
    with by_hand(clock):
        player = Mouse(Bench(Path(path), DESKTOP, paints=20), clock)
        player.enter(FIRST_OBSERVER)
        note = player.bench.live.note
        if note.isVisible():
            player.press(note.nothing_key)
        for number, act in enumerate(list(morning())[first : last + 1], start=first):
            player.play(act)
            sys.stdout.write(f"{number}\n")
            sys.stdout.flush()
        sys.stdin.read()


if __name__ == "__main__":
    main(sys.argv[1], *(int(word) for word in sys.argv[2:5]))
