"""Long work beside the window: a plain function with a tick, progress, and a way to stop it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal

from observe.desk.posting import told_to
from observe.domain.troubles import Stopped, Trouble

Tick = Callable[[int, int], None]
Work = Callable[[Tick], Any]


class Runner(QObject):
    """Runs one piece of work at a time in a thread of its own; a newer one stops the older.

    The work touches no widget; what it comes to is told in the window's own thread.
    """

    progressed = Signal(int, int)
    done = Signal(object)
    failed = Signal(object)
    """A Trouble, or a defect."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._number = 0
        self._thread: threading.Thread | None = None
        self._told = told_to(self, self._tell)

    @property
    def is_running(self) -> bool:
        """Whether work is going on that nobody stopped."""
        return self._thread is not None and self._thread.is_alive()

    def run(self, work: Work) -> None:
        """Begin a piece of work; one that is going on is stopped."""
        self._number += 1
        number = self._number

        def tick(done: int, total: int) -> None:
            if number != self._number:
                raise Stopped("Stopped.")
            self._told(number, "progressed", (done, total))

        def go() -> None:
            try:
                found = work(tick)
            except Stopped:
                return
            except Trouble as trouble:
                self._told(number, "failed", trouble)
            except Exception as defect:  # noqa: BLE001 - told in the window's thread, raised there
                self._told(number, "failed", defect)
            else:
                self._told(number, "done", found)

        self._thread = threading.Thread(target=go, name="observe-work", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Stop what is going on, at its next tick; nothing more is told of it."""
        self._number += 1

    def wait(self, seconds: float = 10.0) -> None:
        """Wait until the thread has ended: before the window goes."""
        if self._thread is not None:
            self._thread.join(seconds)

    def _tell(self, number: int, what: str, content: object) -> None:
        if number != self._number:
            return
        if what == "progressed" and isinstance(content, tuple):
            self.progressed.emit(*content)
        elif what == "done":
            self.done.emit(content)
        elif isinstance(content, Trouble):
            self.failed.emit(content)
        elif isinstance(content, BaseException):
            raise content
