"""Looks at battery and disk each minute, off the path of a tap, and says what is worth a word."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, QThreadPool, QTimer, Signal

from observe.desk.live.model import LiveModel
from observe.desk.live.reading import NS, front_place
from observe.desk.posting import told_to
from observe.work.cautions import Caution, Reading, Reminder
from observe.work.disk import disk_caution, free_bytes
from observe.work.power import Battery, battery, battery_caution, minutes_needed

EVERY_MS = 60_000
KEPT = 60
"""Readings that are kept: those of the last hour."""
Run = Callable[[Callable[[], None]], None]
"""Does a piece of work, here or elsewhere."""


@dataclass(frozen=True, slots=True)
class Machine:
    """What was read of the machine at one time. free: bytes, None where it does not tell."""

    battery: Battery | None
    free: int | None


def read_machine(folder: Path) -> Machine:
    """Battery, and the disk under a folder. May take long where the disk is a network's."""
    return Machine(battery(), free_bytes(folder))


def needed_by(model: LiveModel) -> int | None:
    """Minutes that a room still takes at its own pace; None while that cannot be told."""
    open_ones = [one.state for one in model.sessions if not one.state.sealed]
    passed = sum(front_place(state) for state in open_ones)
    steps = sum(len(state.steps) for state in open_ones)
    return minutes_needed(passed, steps, model.session_ns() / NS, len(open_ones))


def _elsewhere(work: Callable[[], None]) -> None:
    QThreadPool.globalInstance().start(work)


class Watch(QObject):
    """Asks each minute. `cautioned` is emitted when a sentence is to be said, also again.

    cautions: what stands now, the worst first; `changed` when that is no longer the same.
    read: asks the machine; needed: minutes that the workshop still takes. clock: seconds
    that never go back. run: does the asking, in a thread of its own if not said otherwise.
    """

    cautioned = Signal(Caution)
    changed = Signal()

    def __init__(
        self,
        read: Callable[[], Machine],
        *,
        needed: Callable[[], int | None] = lambda: None,
        clock: Callable[[], float] = time.monotonic,
        run: Run = _elsewhere,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.needed = needed
        self.cautions: tuple[Caution, ...] = ()
        self._read, self._clock, self._run = read, clock, run
        self._asking = False
        self._reminder = Reminder()
        self._percents: deque[Reading] = deque(maxlen=KEPT)
        self._frees: deque[Reading] = deque(maxlen=KEPT)
        self._tell = told_to(self, self._hear)
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.ask)

    def start(self) -> None:
        """Ask now, and each minute from now on."""
        self._timer.start(EVERY_MS)
        self.ask()

    def stop(self) -> None:
        """Ask no more."""
        self._timer.stop()

    @property
    def sentence(self) -> str:
        """The worst that stands, in a sentence; empty if all is well."""
        return self.cautions[0].sentence if self.cautions else ""

    def ask(self) -> None:
        """Ask the machine, unless it has not answered the last time yet."""
        if not self._asking:
            self._asking = True
            self._run(self._answer)

    def _answer(self) -> None:
        """Runs in another thread: only asks, and hands over what was told."""
        self._tell(self._read())

    def _hear(self, told: Machine) -> None:
        self._asking = False
        now = self._clock()
        if told.battery is None or told.battery.plugged:
            self._percents.clear()
        else:
            self._percents.append(Reading(now, told.battery.percent))
        if told.free is not None:
            self._frees.append(Reading(now, told.free))
        found = (
            battery_caution(told.battery, readings=tuple(self._percents), needed=self.needed()),
            disk_caution(told.free, tuple(self._frees)),
        )
        standing = [one for one in found if one is not None]
        standing.sort(key=lambda one: -one.level)
        before, self.cautions = self.cautions, tuple(standing)
        if before != self.cautions:
            self.changed.emit()
        for one in self._reminder.due(self.cautions, now):
            self.cautioned.emit(one)
