"""The desk's entrance: one application, one window, opened on a logbook."""

from __future__ import annotations

import ctypes
import gc
import os
import signal
import socket
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtCore import QSocketNotifier, QTimer
from PySide6.QtWidgets import QApplication

from observe.desk.theme import Skin, dots_per_inch, register_faces, system_theme
from observe.domain.troubles import Surroundings
from observe.work import surroundings

GARBAGE_AFTER = 100_000
"""Objects made since the last look for garbage, before Python looks again."""


def open_desk(logbook: Path | None) -> int:
    """Open the window on a logbook, the person's own if None; returns the exit code.

    Raises Surroundings where no window can be shown: Qt would end the process.
    """
    look_seldom_for_garbage()
    surroundings.require_window()
    with _answering_display():
        application = QApplication(sys.argv[:1])
    application.setApplicationName("observe")
    application.setApplicationDisplayName("Observe")
    application.setStyle("fusion")
    register_faces()
    skin = Skin(system_theme(), dots_per_inch(application.primaryScreen()))
    from observe.desk.desk import Desk

    desk = Desk(skin, logbook)
    sys.excepthook = desk.meet_defect
    interrupts = Interrupts(application)
    desk.show()
    QTimer.singleShot(0, desk.open_logbook)
    code = application.exec()
    interrupts.close()
    desk.close()
    sys.excepthook = sys.__excepthook__
    return code


def look_seldom_for_garbage() -> None:
    """Let Python look for garbage after many new objects only.

    A start makes hundreds of thousands and drops none; looking through them again and
    again took a tenth of the time to the first mark.
    """
    gc.set_threshold(GARBAGE_AFTER)


class Interrupts:
    """Lets Ctrl+C in the terminal close the window as its own key would."""

    def __init__(self, application: QApplication) -> None:
        self._read, self._write = socket.socketpair()
        for end in (self._read, self._write):
            end.setblocking(False)
        self._before = signal.signal(signal.SIGINT, lambda *_: None)
        signal.set_wakeup_fd(self._write.fileno(), warn_on_full_buffer=False)
        self._notifier = QSocketNotifier(self._read.fileno(), QSocketNotifier.Type.Read)
        self._notifier.activated.connect(application.quit)

    def close(self) -> None:
        """Give the signal back."""
        self._notifier.setEnabled(False)
        signal.set_wakeup_fd(-1)
        signal.signal(signal.SIGINT, self._before)
        self._read.close()
        self._write.close()


@contextmanager
def _answering_display() -> Iterator[None]:
    """Hold a connection to the X display that is named; raise `Surroundings` where none answers.

    It is held until Qt has its own: a server whose last client leaves may reset, and Qt would
    meet the reset and end the process.
    """
    display = os.environ.get("DISPLAY", "")
    if not display or "QT_QPA_PLATFORM" in os.environ or os.environ.get("WAYLAND_DISPLAY"):
        yield
        return
    library = ctypes.CDLL("libX11.so.6")
    library.XOpenDisplay.restype = ctypes.c_void_p
    opened = library.XOpenDisplay(None)
    if not opened:
        raise Surroundings(
            "The screen that is named does not answer, so the desk cannot open.",
            where=f"DISPLAY={display}",
            remedy="Open it in a graphical session that is yours.",
        )
    try:
        yield
    finally:
        library.XCloseDisplay(ctypes.c_void_p(opened))
