"""The desk as a process of its own: no screen, Ctrl+C, and a kill in the middle of a mark."""

from __future__ import annotations

import os
import signal
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from observe.desk.live.model import LiveModel
from observe.domain.marks import DONE, NOT_SEEN
from observe.work import surroundings
from observe.work.logbooks import open_logbook
from observe.work.session import Room

DRIVER = """
import sys
from pathlib import Path
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from observe.desk import app
from observe.desk.desk import Desk

opened = Desk.open_logbook

def open_and_drive(desk):
    opened(desk)
    print("ready", flush=True)
    if "mark" in sys.argv:
        desk.start.observer_keys[0].click()
        QTimer.singleShot(0, lambda: press(desk, 0))

def press(desk, count):
    card = desk.live.seats.cards[count % len(desk.live.seats.cards)]
    QTest.mouseClick(card.sentence, Qt.MouseButton.LeftButton)
    QApplication.processEvents()
    print("kept", desk.model.kept, flush=True)
    QTimer.singleShot(50, lambda: press(desk, count + 1))

Desk.open_logbook = open_and_drive
sys.exit(app.open_desk(Path(sys.argv[1])))
"""


def environment(**changed: str) -> Mapping[str, str]:
    kept = {name: value for name, value in os.environ.items() if name not in SCREEN}
    return {**kept, **changed}


SCREEN = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}


@pytest.mark.parametrize(
    ("screen", "said"),
    [({}, "No screen is attached"), ({"DISPLAY": ":4242"}, "The screen that is named")],
    ids=["no screen", "a screen that does not answer"],
)
def test_without_a_screen_it_says_so_before_qt_ends_the_process(
    python: str, checkout: Path, screen: Mapping[str, str], said: str
) -> None:
    ended = subprocess.run(
        [python, "-m", "observe"],
        cwd=checkout,
        env=environment(**screen),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    if screen and surroundings.missing_packages(surroundings.X_WINDOW):
        said = "Qt misses libraries"  # nothing here could ask that screen
    assert ended.returncode == 2
    assert said in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.fixture
def drive(python: str, checkout: Path) -> Callable[..., subprocess.Popen[str]]:
    """Start the desk on a logbook in a process of its own, drawn in memory."""

    def start(logbook: Path, *words: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [python, "-c", DRIVER, str(logbook), *words],
            cwd=checkout,
            env=environment(QT_QPA_PLATFORM="offscreen"),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    return start


def line(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    said = process.stdout.readline().strip()
    if not said:
        assert process.stderr is not None
        pytest.fail(process.stderr.read())
    return said


def test_ctrl_c_closes_it(
    drive: Callable[..., subprocess.Popen[str]], make_room: Callable[..., Room]
) -> None:
    path = make_room(2).logbook.path
    with drive(path) as process:
        assert line(process) == "ready"
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=30) == 0
        assert process.stderr is not None
        assert process.stderr.read() == ""


def test_killed_in_the_middle_no_acknowledged_mark_is_lost(
    drive: Callable[..., subprocess.Popen[str]], make_room: Callable[..., Room]
) -> None:
    room = make_room(6)
    path, workshop = room.logbook.path, room.workshop.id
    room.logbook.close()
    with drive(path, "mark") as process:
        said = line(process)
        while said != "kept 9":
            said = line(process)
        process.send_signal(signal.SIGKILL)
        process.wait(timeout=30)
    with open_logbook(path) as logbook:
        model = LiveModel(Room(logbook, logbook.workshops()[workshop], "o-1"))
        assert 9 <= model.kept <= 10
        marked = [model.state(seat).mark("LPX-01") for seat in range(6)]
        assert marked == [DONE] * 6
        assert model.state(4).mark("LPX-02") == NOT_SEEN or model.kept == 10
        assert model.front in (2, 3)


FIRST_PAINT = """
import sys
from PySide6.QtWidgets import QApplication
from observe.desk.desk import Desk
from observe.desk.theme import Skin, register_faces

application = QApplication([])
register_faces()
desk = Desk(Skin(), None)
desk.show()
application.processEvents()
late = ("sqlalchemy", "reportlab", "pyhanko", "cryptography", "numpy", "observe.domain.decision")
print([name for name in late if name in sys.modules])
"""


FIRST_MARK = """
import sys
from pathlib import Path
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from observe.desk.desk import Desk
from observe.desk.theme import Skin, register_faces

application = QApplication([])
register_faces()
desk = Desk(Skin(), Path(sys.argv[1]))
desk.show()
desk.open_logbook()
desk.enter(*sys.argv[2:])
application.processEvents()
QTest.mouseClick(desk.live.seats.cards[0].sentence, Qt.MouseButton.LeftButton)
late = ("sqlalchemy", "reportlab", "pyhanko", "cryptography", "numpy")
print(desk.model.kept, [name for name in late if name in sys.modules])
"""


def test_nothing_heavy_is_loaded_before_the_first_paint(python: str, checkout: Path) -> None:
    assert said(python, checkout, FIRST_PAINT) == "[]"


def test_nothing_heavy_is_loaded_before_the_first_mark(
    python: str, checkout: Path, make_room: Callable[..., Room]
) -> None:
    room = make_room(4)
    path, workshop = room.logbook.path, room.workshop.id
    assert said(python, checkout, FIRST_MARK, str(path), workshop, room.observer) == "1 []"


def said(python: str, checkout: Path, program: str, *arguments: str) -> str:
    """What a program prints in a process of its own."""
    ended = subprocess.run(
        [python, "-c", program, *arguments],
        cwd=checkout,
        env=environment(QT_QPA_PLATFORM="offscreen"),
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    return ended.stdout.strip()
