"""From a thread beside the window to the window's own: what was found there is told here.

Signals of a window's parts must not be emitted from another thread: the part may be destroyed at
that very moment. One object that lives as long as the program carries everything instead, and
calls nobody who has gone.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from PySide6.QtCore import QObject, Signal
from shiboken6 import isValid


class _Carrier(QObject):
    carried = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.carried.connect(self._do)

    def _do(self, deed: Callable[[], None]) -> None:
        deed()


@cache
def _carrier() -> _Carrier:
    """The only one; it is made, and lives, in the window's thread."""
    return _Carrier()


def told_to(receiver: QObject, hear: Callable[..., None]) -> Callable[..., None]:
    """What any thread may call, so that `hear` is called in the window's thread with the same.

    To be asked for in the window's thread. Nothing happens once the receiver was destroyed.
    """
    carrier = _carrier()

    def tell(*found: Any) -> None:  # noqa: ANN401 - whatever `hear` takes
        def deed() -> None:
            if isValid(receiver):
                hear(*found)

        carrier.carried.emit(deed)

    return tell
