"""Who plays the script: what every player does alike, whatever they press with."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QWidget

from observe.desk.rating.page import RatingPage
from tests.desk.people import HandClock
from tests.desk.workshop.bench import Bench
from tests.desk.workshop.script import Act

FIRST_OBSERVER, SECOND_OBSERVER = "Dr Petra Lindqvale", "Dr Quill"
AFTER_A_PRESS_S = 1.0
ITEMS = tuple(f"LPX-C{number}" for number in range(1, 9))
VERDICTS = {"recovered": "Noticed and put right", "averted": "A hand stopped it"}


class Player(ABC):
    """One observer at the window. presses: how often something was pressed for an act."""

    name = ""

    def __init__(self, bench: Bench, clock: HandClock) -> None:
        self.bench, self.clock = bench, clock
        self.presses = 0

    def play(self, act: Act) -> int:
        """Do one act; how many presses it took."""
        self.presses = 0
        try:
            getattr(self, "_" + act.deed.replace(" ", "_"))(act)
        except Exception as met:
            met.add_note(f"while playing: {act}")
            raise
        return self.presses

    def play_all(self, acts: Sequence[Act]) -> None:
        """Do several acts."""
        for act in acts:
            self.play(act)

    @abstractmethod
    def press(self, widget: QWidget) -> None:
        """Press what is in sight, in its middle."""

    @abstractmethod
    def type_text(self, text: str) -> None:
        """Write into the field that has the cursor."""

    def settle(self) -> None:
        """A moment goes by."""
        self.presses += 1
        self.clock.go(AFTER_A_PRESS_S)
        self.bench.settle()

    def enter(self, observer: str) -> None:
        """Open the workshop as one of its observers; a PIN is not set today."""
        keys = self.bench.desk.start.observer_keys
        shown = [key for key in keys if key.isVisible()]
        self.press(next(key for key in shown if key.accessibleName().startswith(observer)))
        if self.bench.desk.tablet.switch is not None:
            self.press(self.bench.named("Not now"))

    # acts that go the same way for everybody

    def _crash(self, act: Act) -> None:
        """The tablet dies, and is started again a minute later."""
        bench = self.bench
        path, screen = bench.desk.path, bench.screen
        assert path is not None
        bench.die()
        self.clock.go(60)
        self.bench = Bench(path, screen, paints=bench.paints)
        self.enter(FIRST_OBSERVER)

    def _hand_over(self, act: Act) -> None:
        self.open_room("Hand over", SECOND_OBSERVER)
        self.press(self.bench.named("Good", self.bench.live.questions))
        self.press(self.bench.live.bar.leave_key)
        self.enter(SECOND_OBSERVER)

    def _rate_and_seal(self, act: Act) -> None:
        grade, strength, change = act.more
        self.ask_rating(act.who)
        page = self.rating
        self.go_to(lambda: page.sections[page.now].title.startswith("Overall") or page.now == 0)
        self.grade(page, int(grade))
        self.go_to(lambda: page.sections[page.now].title == "Strength and change")
        self.words(page, 0, strength)
        self.words(page, 1, change)
        self.go_to(lambda: page.now == len(page.sections) - 1)
        self.go_on(page)
        self.back_to_live()

    @property
    def rating(self) -> RatingPage:
        page = self.bench.desk.frame.page
        assert isinstance(page, RatingPage)
        return page

    def go_to(self, is_there: Callable[[], bool]) -> None:
        """On to a part of the rating."""
        for _ in range(9):
            if is_there():
                return
            self.go_on(self.rating)
        raise AssertionError("that part of the rating is not reached")

    def back_to_live(self) -> None:
        """From the debrief to the seats."""
        self.press(self.bench.desk.frame.bar.words[0])

    @abstractmethod
    def open_room(self, *answers: str) -> None:
        """Open the room's panel, and give one answer after another."""

    @abstractmethod
    def ask_rating(self, who: str) -> None: ...

    @abstractmethod
    def grade(self, page: RatingPage, value: int) -> None: ...

    @abstractmethod
    def words(self, page: RatingPage, column: int, text: str) -> None: ...

    @abstractmethod
    def go_on(self, page: RatingPage) -> None: ...
