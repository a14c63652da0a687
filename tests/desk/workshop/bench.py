"""The desk in a real window, on one logbook and a clock by hand."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from PySide6.QtCore import QPoint
from PySide6.QtGui import QWindow
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from observe.desk.desk import Desk
from observe.desk.keys import Key
from observe.desk.live import page
from observe.desk.live.model import LiveModel
from observe.desk.live.page import LivePage
from observe.desk.live.seat import SeatCard
from observe.desk.live.well import WellPanel
from observe.desk.theme import Skin
from observe.look.tokens import LIGHT
from observe.work import logbooks
from tests.desk.people import DESK, HAND, NEVER_MS, HandClock

TABLET = (1280, 800, HAND)
DESKTOP = (1920, 1080, DESK)
LAPTOP = (1366, 768, 112.0)
OPEN = logbooks.open_logbook


@contextmanager
def by_hand(clock: HandClock) -> Iterator[None]:
    """While this runs, every logbook and every finger goes by a clock that stands until moved."""
    defaults = LiveModel.__init__.__kwdefaults__ or {}
    before = dict(defaults)
    defaults["clock"] = clock.now
    logbooks.open_logbook = partial(OPEN, machine=clock)
    tick, page.TICK_MS = page.TICK_MS, NEVER_MS
    try:
        yield
    finally:
        page.TICK_MS = tick
        defaults.update(before)
        logbooks.open_logbook = OPEN


class Bench:
    """One window on one logbook. paints: after how many presses the window is painted."""

    def __init__(
        self, path: Path, screen: tuple[int, int, float] = TABLET, *, paints: int = 1
    ) -> None:
        self.screen = wide, high, dots = screen
        self.desk = Desk(Skin(LIGHT, dots), path)
        self.paints, self._pressed = paints, 0
        self.desk.open_logbook()
        self.frame.resize(wide, high)
        self.frame.show()
        self.frame.activateWindow()
        QTest.qWaitForWindowActive(self.frame, 5000)
        QApplication.processEvents()

    @property
    def frame(self) -> QWidget:
        return self.desk.frame

    @property
    def window(self) -> QWindow:
        """The window itself: events sent to it find their own way, as from the system."""
        return self.frame.windowHandle()

    @property
    def live(self) -> LivePage:
        found = self.desk.live
        assert found is not None
        return found

    @property
    def model(self) -> LiveModel:
        found = self.desk.model
        assert found is not None
        return found

    def seat(self, who: str) -> int:
        """Where a learner is in the model."""
        return next(at for at in range(len(self.model)) if self.model.name(at) == who)

    @property
    def front(self) -> str:
        return self.model.name(self.model.front)

    def card(self, who: str) -> SeatCard | None:
        """The card of a learner; None where each seat has a well of its own."""
        seat = self.seat(who)
        over = self.live.over
        cards = over.cards if over is not None else self.live.seats.cards
        return next((card for card in cards if card.seat == seat), None)

    def own_well(self, who: str) -> WellPanel | None:
        """The well that a learner has to themselves; None where it is shared."""
        if self.live.seats.cards:
            return None
        seat = self.seat(who)
        return next((one for one in self.live.seats.wells if one.seat == seat), None)

    def named(self, words: str, within: QWidget | None = None) -> Key:
        """The key in sight whose name begins so."""
        inside = within or self.frame
        keys = [one for one in inside.findChildren(Key) if one.isVisible() and one.isEnabled()]
        found = [one for one in keys if one.accessibleName().startswith(words)]
        assert found, f"no key says {words!r}: {[one.accessibleName() for one in keys]}"
        return found[0]

    def where(self, widget: QWidget, at: QPoint | None = None) -> QPoint:
        """A place in the window; what is there must be the widget itself, not what lies over it."""
        place = widget.mapTo(self.frame, at or widget.rect().center())
        found = self.frame.childAt(place)
        inside = found is not None and (found is widget or widget.isAncestorOf(found))
        assert inside, f"{widget.accessibleName()!r} is covered by {found!r}"
        return place

    def settle(self) -> None:
        """Let the window do what a press set off; paint it if it is time for that."""
        self._pressed += 1
        self.frame.setUpdatesEnabled(self._pressed % self.paints == 0)
        QApplication.processEvents()

    def die(self) -> None:
        """The tablet loses its power: nothing is asked, nothing is kept that was not."""
        self.desk.close_logbook()
        live, self.desk.live = self.desk.live, None
        if live is not None:
            live.setParent(None)
            live.deleteLater()
        self.frame.hide()
        self.frame.deleteLater()
        QApplication.sendPostedEvents()
