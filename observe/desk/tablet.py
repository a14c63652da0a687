"""The machine in the hand: who holds it, what it has left, and that it does not fall asleep."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from observe.desk.frame import Frame
from observe.desk.theme import Skin

if TYPE_CHECKING:
    from observe.desk.awake import Awake
    from observe.desk.live.model import LiveModel
    from observe.desk.sharing.learner import LearnerScreen
    from observe.desk.sharing.switch import SwitchPanel
    from observe.desk.watch import Watch
    from observe.domain.workshop import Workshop
    from observe.work.logbooks import Logbook
    from observe.work.pins import Pins
    from observe.work.session import Session

LATER_MS = 3000
"""How long after a room was opened battery, disk and screen are first looked after."""


class Tablet(QObject):
    """One for a window. What the first paint does not need is loaded when it is first asked for.

    `let_in`: workshop and observer who may go on. `left`: nobody was let in. `returned`:
    a learner gave the tablet back. `warned`: what will stand in the way, or empty.
    """

    let_in = Signal(str, str)
    left = Signal()
    returned = Signal()
    warned = Signal(str)

    def __init__(self, skin: Skin, frame: Frame, parent: QObject) -> None:
        super().__init__(parent)
        self.skin, self.frame = skin, frame
        self.switch: SwitchPanel | None = None
        self.learner: LearnerScreen | None = None
        self.model: LiveModel | None = None
        self.logbook: Logbook | None = None
        self._pins: Pins | None = None
        self._watch: Watch | None = None
        self._awake: Awake | None = None
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self.look_after)

    def take_up(self, logbook: Logbook) -> None:
        """Another logbook is open: its PINs, and soon the disk that it lies on."""
        self._stop_watching()
        self.logbook, self._pins = logbook, None
        self._later.start(LATER_MS)

    def put_down(self) -> None:
        """Nothing is watched any more, and the screen may go dark."""
        self._later.stop()
        self._stop_watching()
        self.logbook = self._pins = None
        if self._awake is not None:
            self._awake.close()

    def follow(self, model: LiveModel | None) -> None:
        """Keep the screen on while a clock of this room runs, soon after it was opened."""
        self.model = model
        if self._awake is not None:
            self._awake.follow(model)
        elif not self._later.isActive():
            self._later.start(LATER_MS)
        self._warn()

    def look_after(self) -> None:
        """Begin to look after battery, disk and screen: the first mark does not wait for it."""
        from observe.desk.awake import Awake
        from observe.desk.watch import Watch, read_machine

        if self._awake is None:
            self._awake = Awake(parent=self)
        self._awake.follow(self.model)
        if self._watch is None and self.logbook is not None:
            folder = self.logbook.path.parent
            self._watch = Watch(partial(read_machine, folder), needed=self._needed, parent=self)
            self._watch.changed.connect(self._warn)
            self._watch.start()

    @property
    def pins(self) -> Pins | None:
        """The PINs beside the logbook that is open; kept for the run, who declined is not asked."""
        from observe.work.pins import Pins, pins_path

        if self._pins is None and self.logbook is not None:
            self._pins = Pins(pins_path(self.logbook.path), self.logbook.machine)
        return self._pins

    @property
    def warning(self) -> str:
        """What will stand in the way before it does; empty if all is well."""
        return self._watch.sentence if self._watch is not None else ""

    def _needed(self) -> int | None:
        from observe.desk.watch import needed_by

        return needed_by(self.model) if self.model is not None else None

    def _warn(self) -> None:
        self.warned.emit(self.warning)

    def _stop_watching(self) -> None:
        if self._watch is not None:
            self._watch.stop()
            self._watch.deleteLater()
            self._watch = None

    # who holds it

    def ask_who(self, logbook: Logbook, workshop: Workshop, *, now: str, chosen: str = "") -> None:
        """Ask who goes on in a workshop. now: who does at present; chosen: who was pressed."""
        from observe.desk.sharing.switch import SwitchPanel, watchers

        if self.pins is None:
            return
        people = watchers(workshop, logbook.names())
        panel = SwitchPanel(self.skin, self.pins, people, now=now)
        panel.switched.connect(partial(self.let_in.emit, workshop.id))
        panel.left.connect(self.left)
        self.switch = panel
        if chosen:
            panel.choose(chosen)
        if self.switch is panel:
            self.frame.show_page(panel, whole=True)
            self.frame.setWindowTitle("Who observes · Observe")

    def confirm(self, logbook: Logbook, person: str, then: Callable[[], None]) -> None:
        """Go on once somebody has entered their PIN; at once where they have none (rule M6)."""
        from observe.desk.sharing.switch import SwitchPanel, Watcher

        if self.pins is None or not self.pins.has(person):
            then()
            return
        watcher = Watcher(person, logbook.names().get(person, person), 0)
        panel = SwitchPanel(self.skin, self.pins, (watcher,))

        def confirmed() -> None:
            self.done_asking()
            self.returned.emit()
            then()

        panel.switched.connect(confirmed)
        panel.left.connect(self.left)
        self.switch = panel
        panel.choose(person)
        self.frame.show_page(panel, whole=True)

    def done_asking(self) -> None:
        """The panel is not needed any more."""
        panel, self.switch = self.switch, None
        if panel is not None:
            panel.hide()
            panel.deleteLater()

    def hand_to_learner(self, session: Session, *, name: str, observer: str) -> None:
        """Show a learner's own locked screen (rule P2)."""
        from observe.desk.sharing.learner import LearnerScreen

        if self.pins is None:
            return
        page = LearnerScreen(self.skin, session, self.pins, name=name, observer=observer)
        page.returned.connect(self._returned)
        self.learner = page
        self.frame.show_page(page, whole=True)
        self.frame.setWindowTitle(f"{page.title()} · Observe")

    def _returned(self) -> None:
        page, self.learner = self.learner, None
        self.returned.emit()
        if page is not None:
            page.hide()
            page.deleteLater()
