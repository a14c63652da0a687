"""Rooms for tests of the desk: an invented workshop in a logbook of its own, a clock by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import cycle
from pathlib import Path

import pytest
from PySide6.QtCore import QUrl
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from observe import places
from observe.desk import paint
from observe.desk.debrief import page as debrief_page
from observe.desk.live import page
from observe.desk.live.model import LiveModel
from observe.desk.theme import Skin, register_faces
from observe.domain.form import Mode
from observe.look.tokens import LIGHT
from observe.work.logbooks import Logbook, open_logbook
from observe.work.planning import FormPlan, Person, Place, Plan, plan_workshop
from observe.work.session import Room
from tests.desk.people import HAND, NAMES, NEVER_MS, HandClock


@pytest.fixture
def qtbot(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Iterator[QtBot]:
    """The bot of pytest-qt, which here holds on to every window until the test is over.

    It keeps weak references only; a window that nobody else holds when the test's
    function has ended may be collected in the middle of its own painting.
    """
    held: list[QWidget] = []
    add = qtbot.addWidget

    def hold(widget: QWidget) -> None:
        held.append(widget)
        add(widget)

    monkeypatch.setattr(qtbot, "addWidget", hold)
    yield qtbot
    held.clear()


@pytest.fixture(autouse=True)
def no_second_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    """A second goes by when a test says so: its clock and the timer of a page do not agree."""
    monkeypatch.setattr(page, "TICK_MS", NEVER_MS)


class NoViewer:
    """Stands where the system's own viewer of files would be called."""

    @staticmethod
    def openUrl(address: QUrl) -> bool:  # noqa: N802 - Qt's name
        return address.isLocalFile()


@pytest.fixture(autouse=True)
def no_viewer_of_the_system(monkeypatch: pytest.MonkeyPatch) -> None:
    """No sheet is opened outside, in a program that the test would leave running."""
    monkeypatch.setattr(debrief_page, "QDesktopServices", NoViewer)


@pytest.fixture
def clock() -> HandClock:
    return HandClock()


@pytest.fixture(scope="session")
def faces(qapp: QApplication) -> QApplication:
    register_faces()
    return qapp


@pytest.fixture
def skin(faces: QApplication) -> Skin:
    if faces.style().name() != "fusion":  # to set it anew goes through every widget there is
        faces.setStyle("fusion")
    return Skin(LIGHT, HAND)


@pytest.fixture
def logbook(tmp_path: Path, clock: HandClock) -> Iterator[Logbook]:
    with open_logbook(tmp_path / "test.observe", create=True, machine=clock) as opened:
        yield opened


MakeRoom = Callable[..., Room]


@pytest.fixture
def make_room(logbook: Logbook) -> MakeRoom:
    """Plan a workshop with some learners, and open it as its first observer."""

    def make(
        seats: int = 8,
        *,
        names: tuple[str, ...] = NAMES,
        mode: Mode = Mode.FORMATIVE,
        looks: int = 0,
        form: str = "lumbar-puncture-adult",
        variant: str = "side-lying",
        other: tuple[str, str] | None = None,
        time_limit: int = 0,
        observers: tuple[str, ...] = ("Dr Petra Lindqvale", "Dr Quill"),
    ) -> Room:
        """other: a second form and its variant, for every second seat. time_limit: in minutes."""
        source = (places.forms() / f"{form}.toml").read_text(encoding="utf-8")
        if time_limit:
            limited = f"[rule]\ntime_limit_minutes = {time_limit}\n"
            source = source.replace("[rule]\n", limited, 1)
        kept = logbook.add_form(source, form)
        forms = [(kept.whole_digest, variant)]
        if other is not None:
            source = (places.forms() / f"{other[0]}.toml").read_text(encoding="utf-8")
            forms.append((logbook.add_form(source, other[0]).whole_digest, other[1]))
        people = [Person(f"p-{n}", name) for n, name in enumerate(names[:seats])]
        workshop = plan_workshop(
            logbook,
            Plan(
                title="Lumbar puncture",
                place="Tarn Valley Teaching Hospital",
                date="2026-03-14",
                mode=mode,
                form=kept.whole_digest,
                departures=(),
                observers=tuple(Person(f"o-{n}", one) for n, one in enumerate(observers, start=1)),
                places=tuple(
                    Place(one, used[1], "o-1", form=used[0])
                    for one, used in zip(people, cycle(forms), strict=False)
                ),
                looks=looks,
                seed="tests",
                further=tuple(FormPlan(one) for one, _ in forms[1:]),
            ),
        )
        return Room(logbook, workshop, "o-1")

    return make


@pytest.fixture
def make_model(make_room: MakeRoom, clock: HandClock) -> Callable[..., LiveModel]:
    """A model of Live over a planned room, on the clock by hand."""

    def make(seats: int = 8, **options: object) -> LiveModel:
        return LiveModel(make_room(seats, **options), clock=clock.now)

    return make


@pytest.fixture
def misfits() -> Iterator[list[paint.Misfit]]:
    """Every text that had no room while the test painted."""
    found: list[paint.Misfit] = []
    paint.misfits.append(found.append)
    yield found
    paint.misfits.remove(found.append)


@pytest.fixture
def parent(faces: QApplication, qtbot: QtBot) -> QWidget:
    """A bare widget to put a part of a page into."""
    assert faces is not None
    widget = QWidget()
    qtbot.addWidget(widget)
    return widget
