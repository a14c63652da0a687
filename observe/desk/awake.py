"""Keeps the screen on while an attempt runs: no idle lock between a finger and a mark."""

from __future__ import annotations

import contextlib
import subprocess
import sys
from collections.abc import Sequence
from typing import Protocol

from PySide6.QtCore import QObject, QTimer
from PySide6.QtDBus import QDBusConnection, QDBusMessage

from observe.desk.live.model import LiveModel
from observe.work import awake

WHY = "An attempt is running"
BUS_NAME = "observe-awake"
SERVICES = (
    ("org.freedesktop.ScreenSaver", "/org/freedesktop/ScreenSaver", "org.freedesktop.ScreenSaver"),
    (
        "org.freedesktop.PowerManagement",
        "/org/freedesktop/PowerManagement/Inhibit",
        "org.freedesktop.PowerManagement.Inhibit",
    ),
)
"""Service, path and interface of those that inhibit idleness (freedesktop.org, Idle Inhibition)."""
END_S = 1.0

ES_CONTINUOUS, ES_SYSTEM_REQUIRED, ES_DISPLAY_REQUIRED = 0x80000000, 0x1, 0x2
"""Windows: flags of SetThreadExecutionState."""


class Hold(Protocol):
    """One way to keep the screen on. Neither call raises or waits long."""

    def begin(self) -> bool:
        """Hold the screen on; False where nothing was there to do it."""

    def end(self) -> None:
        """Let go; harmless if nothing is held."""


class SessionBus:
    """The desktop's own services, over a connection of our own.

    They let go when the connection that asked goes away, so nothing is held after
    a crash, and letting go needs no answer to the first call.
    """

    def begin(self) -> bool:
        if not awake.has_session_bus():
            return False
        bus = QDBusConnection.connectToBus(QDBusConnection.BusType.SessionBus, BUS_NAME)
        if not bus.isConnected():
            QDBusConnection.disconnectFromBus(BUS_NAME)
            return False
        sent = [bus.send(_call(*service)) for service in SERVICES]
        return any(sent)

    def end(self) -> None:
        QDBusConnection.disconnectFromBus(BUS_NAME)


def _call(service: str, path: str, interface: str) -> QDBusMessage:
    message = QDBusMessage.createMethodCall(service, path, interface, "Inhibit")
    message.setAutoStartService(False)
    message.setArguments(["Observe", WHY])
    return message


class Child:
    """A command of the system that keeps the screen on for as long as it runs."""

    def __init__(self, command: Sequence[str] | None) -> None:
        self._command = command
        self._running: subprocess.Popen[bytes] | None = None

    def begin(self) -> bool:
        if self._command is None:
            return False
        try:
            self._running = subprocess.Popen(  # noqa: S603 - a fixed command of the system
                self._command,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
        except OSError:
            return False
        return True

    def end(self) -> None:
        running, self._running = self._running, None
        if running is None:
            return
        running.terminate()
        try:
            running.wait(END_S)
        except subprocess.TimeoutExpired:
            running.kill()
            running.wait()


class WindowsState:
    """Windows: what this thread needs, until it says otherwise or ends."""

    def begin(self) -> bool:
        return self._set(ES_CONTINUOUS | ES_SYSTEM_REQUIRED | ES_DISPLAY_REQUIRED)

    def end(self) -> None:
        self._set(ES_CONTINUOUS)

    @staticmethod
    def _set(state: int) -> bool:
        if sys.platform == "win32":
            import ctypes

            return bool(ctypes.windll.kernel32.SetThreadExecutionState(state))
        return False


def holds() -> tuple[Hold, ...]:
    """The ways of this system, the best first."""
    if sys.platform == "win32":
        return (WindowsState(),)
    if sys.platform == "darwin":
        return (Child(awake.command()),)
    return (SessionBus(), Child(awake.command()))


class Awake(QObject):
    """Holds the screen on while any clock runs. Where nothing can, it quietly does not.

    ways: tried in order; all that answer are held, since a desktop may hear one of them only.
    """

    def __init__(self, ways: Sequence[Hold] | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._ways = holds() if ways is None else tuple(ways)
        self._held: list[Hold] = []
        self._wanted = False
        self._model: LiveModel | None = None
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._settle)

    @property
    def is_held(self) -> bool:
        """Whether something keeps the screen on now."""
        return bool(self._held)

    def follow(self, model: LiveModel | None) -> None:
        """Heed the clocks of a room from now on, instead of those of the one before; or none."""
        if self._model is not None:
            with contextlib.suppress(RuntimeError):  # it may be gone already
                self._model.changed.disconnect(self._look)
                self._model.front_changed.disconnect(self._look)
        self._model = model
        if model is not None:
            model.changed.connect(self._look)
            model.front_changed.connect(self._look)
        self._look()

    def _look(self) -> None:
        sessions = () if self._model is None else self._model.sessions
        self.want(wanted=any(one.state.clock.is_running for one in sessions))

    def want(self, *, wanted: bool) -> None:
        """Keep the screen on, or let it go; done after the tap that asked was painted."""
        if wanted != self._wanted:
            self._wanted = wanted
            self._soon.start(0)

    def _settle(self) -> None:
        if self._wanted and not self._held:
            self._held = [way for way in self._ways if way.begin()]
        elif not self._wanted:
            self.close()

    def close(self) -> None:
        """Let go at once, as when the program ends."""
        self._soon.stop()
        held, self._held = self._held, []
        for way in held:
            way.end()
