"""What tests of the desk share: invented people, screens, and a clock that a test moves."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from PySide6.QtWidgets import QApplication, QWidget

from observe.desk.keys import Key
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.events import Stamp
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, Mark, PromptSource, State
from observe.work.machine import iso

NAMES = (
    "Amara Voss",
    "Idris Kalnin",
    "Lucía Marrek",
    "Tove Halden",
    "Ravi Senapathi",
    "Mina Oduya",
    "Pascal Orrin",
    "Hanae Toma",
    "Bela Quist",
    "Ines Farrow",
    "Jonas Adair",
    "Maximiliane Oberholtzer",
)
LONG_NAMES = (
    "Bartholomäus Featherstonehaugh",
    "Anne-Katharina Wolfeschlegelstein-Marrek",
    "Wilhelmina Papadimitrakopoulou",
    "Maximiliane Oberholtzer",
) * 3
ARABIC_NAMES = (
    "عبد الرحمن المصطفى الهاشمي",
    "فاطمة الزهراء بنت عبد العزيز",
    "محمد",
) * 4
CHINESE_NAMES = (
    "欧阳慧敏",
    "司马相如",
    "李娜",
    "马克西米利安·奥伯霍尔策",
) * 3
NEVER_MS = 10**8
"""A timer of this length does not go off while a test runs."""
HAND = 149.0
DESK = 96.0
SCREENS = {
    "tablet": (1280, 800, HAND),
    "desktop": (1920, 1080, DESK),
    "laptop": (1366, 768, 112.0),
    "small laptop": (1280, 800, 113.0),
    "big": (2560, 1440, 109.0),
    "least on a tablet": (1200, 620, HAND),
    "least on a desktop": (960, 620, DESK),
    "least on a laptop": (1120, 677, 112.0),
}
"""Width and height in px, dots an inch."""


class HandClock:
    """A machine whose clock stands until a test moves it."""

    def __init__(self) -> None:
        self.moment = datetime(2026, 3, 14, 9, 0, tzinfo=UTC)
        self.seconds = 1000.0
        self.made = 0

    def go(self, seconds: float) -> None:
        self.seconds += seconds
        self.moment += timedelta(seconds=seconds)

    def now(self) -> float:
        return self.seconds

    def stamp(self) -> Stamp:
        return Stamp(iso(self.moment), int(self.seconds * 1e9), "one-boot")

    def gesture(self) -> str:
        self.made += 1
        return f"00000000-0000-7000-8000-{self.made:012d}"

    def salt(self) -> str:
        self.made += 1
        return f"{self.made:032x}"


def work_through(model: LiveModel, clock: HandClock) -> None:
    """Marks of every kind, a critical event in each state, a wrong order, a stop, a pause."""
    prompted = [Mark(State.DONE, level, PromptSource.OBSERVER) for level in range(1, 5)]
    marks = [DONE, DONE, INCORRECT, NOT_DONE, *prompted]
    for seat in range(len(model)):
        for place in range(5 + 2 * seat):
            clock.go(7)
            if place % 9 == 8:
                model.pass_unseen(seat)
            else:
                model.mark(seat, marks[(place + seat) % len(marks)])
    last = len(model) - 1
    clock.go(5)
    model.critical(0)
    model.critical(last)
    named = model.state(last).occurrences[0].id
    model.do(last, gestures.name_critical, named, "LPX-C7")
    clock.go(100)


def painted(view: QWidget, width: int, height: int) -> None:
    """Show a view at a size and paint it."""
    view.resize(width, height)
    view.show()
    QApplication.processEvents()
    view.grab()


def keys_of(view: QWidget) -> list[Key]:
    """Every key that can be seen."""
    return [key for key in view.findChildren(Key) if key.isVisible()]


def ready_to_seal(model: LiveModel, seat: int) -> None:
    """Give what rules C3 and D3 ask before the seal."""
    for one in model.state(seat).occurrences:
        model.do(seat, gestures.name_critical, one.id, "LPX-C2")
        model.do(seat, gestures.classify, one.id, Verdict.RECOVERED)
    model.do(seat, gestures.give_overall, 3)
    model.do(seat, gestures.write, "strength", "Steady hands")
    model.do(seat, gestures.write, "change", "Slower at the second drape")
