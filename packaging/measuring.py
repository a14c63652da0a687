"""The measurements of bench.py; runs inside the program's environment.

Every number stands beside its floor from the same run. Nothing here passes or fails: machines
differ, so the ratios are for people to read.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

if TYPE_CHECKING:
    from observe.desk.live.page import LivePage
    from observe.domain.events import Event
    from observe.work.logbooks import Logbook
    from observe.work.session import Change, Room, Session

LEARNERS, STEPS = 12, 60
SIZE = (1280, 800)
GOALS = {
    "mark p50": 2.0,
    "mark p99": 3.0,
    "first paint": 2.0,
    "first mark": 4.5,
}
LOOK_GOAL_MS = 16
MEMORY_GOAL_MB = 100


def main(arguments: Sequence[str]) -> int:
    """Measure what was asked for and print it; returns the exit code."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--events", type=int, default=150_000, help="events in the logbook")
    parser.add_argument("--taps", type=int, default=600, help="marks to set")
    parser.add_argument("--starts", type=int, default=7, help="starts of each program")
    parser.add_argument("--json", action="store_true", help="print the figures for a program")
    parser.add_argument("--start", choices=("bare", "desk"), help=argparse.SUPPRESS)
    parser.add_argument("--logbook", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args(arguments)
    if asked.start:
        return _start_one(asked.start, asked.logbook)
    with tempfile.TemporaryDirectory(prefix="observe-bench-") as folder:
        path = Path(folder) / "logbook.observe"
        _note(f"Filling a logbook with {asked.events:,} events")
        filled(path, asked.events)
        _note(f"Starting each program {asked.starts} times")
        figures = starts(path, asked.starts)
        _note(f"Setting {asked.taps} marks, {LEARNERS} learners, {STEPS} steps")
        figures |= marks(path, asked.taps)
    figures |= looking()
    figures["events"] = asked.events
    print(json.dumps(figures, indent=1) if asked.json else table(figures))
    return 0


def _note(sentence: str) -> None:
    print(sentence, file=sys.stderr, flush=True)


# the logbook


def form_text() -> str:
    """A form of 60 steps, in the program's own format."""
    steps = "".join(
        f'[[steps]]\nid = "S{n}"\nphase = "all"\ndomain = "hands"\n'
        f'label = "Does the action number {n} in full view"\ndone = "It is seen."\n'
        f'weight = 1\nsources = ["C"]\n{"essential = true" if n == 1 else ""}\n'
        for n in range(1, STEPS + 1)
    )
    grades = "".join(
        f'[[overall.grades]]\nvalue = {n}\nlabel = "Grade {n}"\nanchor = "Seen {n}."\n'
        for n in range(1, 6)
    )
    return (
        'format = 1\nid = "BENCH"\nversion = "1.0"\ntitle = "A procedure"\nshort = "Procedure"\n'
        'purpose = "Measures."\ncautions = ["Not for teaching."]\nreview = "none"\n'
        '[[domains]]\nid = "hands"\nlabel = "Hands"\n[[phases]]\nid = "all"\nlabel = "All"\n'
        f"{steps}"
        '[[critical]]\nid = "C1"\nlabel = "Harm"\ndefinition = "Harm."\nrecognise = "Seen."\n'
        'harm = "Harms."\nkind = "absolute"\nwatch = ["S2"]\nsources = ["C"]\n'
        f'[overall]\nlabel = "Overall grade"\nborderline = 2\n{grades}'
        '[credit]\ndone = [1, 0.75, 0.5, 0.25, 0]\n[rule]\nkind = "compensatory"\ncut = 0.8\n'
        '[[sources]]\ncode = "C"\ntext = "None."\nstatus = "common practice, no source"\n'
    )


def filled(path: Path, events: int) -> None:
    """Make a logbook with a workshop to mark and many events of earlier ones."""
    from observe.domain.events import Draft
    from observe.domain.form import Mode
    from observe.work.logbooks import open_logbook
    from observe.work.planning import Person, Place, Plan, plan_workshop

    with open_logbook(path, create=True) as logbook:
        form = logbook.add_form(form_text(), "bench.toml")
        variant = form.variants[0].id if form.variants else ""
        for start in range(0, events, 5000):
            drafts = [
                Draft(
                    "mark-set",
                    {"step": f"S{n % STEPS + 1}", "mark": {"state": "done"}},
                    workshop=f"w-old-{n // 700}",
                    attempt=f"a-old-{n // 70}",
                    observation=f"o-old-{n // 70}",
                    by="o1",
                )
                for n in range(start, min(start + 5000, events))
            ]
            logbook.append(drafts)
        places = tuple(
            Place(Person(f"l{n}", f"Learner {n}"), variant, "o1") for n in range(LEARNERS)
        )
        observer = Person("o1", "Observer")
        plan = Plan(
            title="Bench",
            place="Here",
            date="2026-03-02",
            mode=Mode.FORMATIVE,
            form=form.whole_digest,
            departures=(),
            observers=(observer,),
            places=places,
            looks=0,
            seed="bench",
        )
        plan_workshop(logbook, plan)


# starts


def starts(path: Path, times: int) -> dict[str, Any]:
    """Milliseconds from spawning a process to what it shows first; memory of both."""
    found: dict[str, list[dict[str, float]]] = {"bare": [], "desk": []}
    for _ in range(times):
        for program, seen in found.items():
            seen.append(_spawned(program, path))
    bare, desk = found["bare"], found["desk"]
    floor = statistics.median(one["paint"] for one in bare)
    return {
        "bare first paint ms": round(floor, 1),
        "first paint ms": _median(desk, "paint"),
        "first paint ratio": round(statistics.median(one["paint"] for one in desk) / floor, 2),
        "first mark ms": _median(desk, "mark"),
        "first mark ratio": round(statistics.median(one["mark"] for one in desk) / floor, 2),
        "bare memory MB": _median(bare, "memory"),
        "Live memory MB": _median(desk, "memory"),
    }


def _median(seen: Sequence[dict[str, float]], name: str) -> float:
    return round(statistics.median(one[name] for one in seen), 1)


def _spawned(program: str, path: Path) -> dict[str, float]:
    command = [sys.executable, __file__, "--start", program, "--logbook", str(path)]
    began = time.perf_counter()
    seen: dict[str, float] = {}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        if process.stdout is None:
            raise RuntimeError("the program that is measured has no output")
        for line in process.stdout:
            name, _, value = line.strip().partition(" ")
            took = (time.perf_counter() - began) * 1000
            seen[name] = float(value) if value else took
    return seen


def _start_one(program: str, path: Path) -> int:
    from PySide6.QtCore import QEvent, QObject, QTimer
    from PySide6.QtWidgets import QApplication, QLabel, QMainWindow, QWidget

    if program == "desk":
        from observe.desk.app import look_seldom_for_garbage

        look_seldom_for_garbage()

    class FirstPaint(QObject):
        """Says once that a widget was painted, then goes on to `after`."""

        def __init__(self, widget: QWidget, after: Callable[[], None]) -> None:
            super().__init__(widget)
            self.widget, self.after = widget, after
            widget.installEventFilter(self)

        def eventFilter(self, watched: QObject, event: QEvent) -> bool:
            if event.type() == QEvent.Type.Paint:
                self.widget.removeEventFilter(self)
                QTimer.singleShot(0, self._painted)
            return super().eventFilter(watched, event)

        def _painted(self) -> None:
            print("paint", flush=True)
            self.after()

    def end() -> None:
        print(f"memory {resident_mb()}", flush=True)
        QApplication.exit(0)

    application = QApplication(sys.argv[:1])
    if program == "bare":
        window = QMainWindow()
        label = QLabel("A window")
        window.setCentralWidget(label)
        window.resize(*SIZE)
        _watch = FirstPaint(label, end)
        window.show()
        return application.exec()
    return _start_desk(application, path, FirstPaint, end)


def _start_desk(application: Any, path: Path, first_paint: Any, end: Callable[[], None]) -> int:
    from observe.desk.theme import Skin, dots_per_inch, register_faces, system_theme

    application.setStyle("fusion")
    register_faces()
    skin = Skin(system_theme(), dots_per_inch(application.primaryScreen()))
    application.setPalette(skin.palette())
    from observe.desk.desk import Desk

    desk = Desk(skin, path)

    def mark() -> None:
        desk.open_logbook()
        if desk.logbook is None:
            raise RuntimeError("the logbook did not open")
        (workshop,) = desk.logbook.workshops()
        desk.enter(workshop, "o1")
        if desk.live is None or desk.model is None:
            raise RuntimeError("the room did not open")
        application.processEvents()
        _tap(desk.live, 0)
        if not desk.model.kept:
            raise RuntimeError("the first mark was not kept")
        application.processEvents()
        print("mark", flush=True)
        end()

    _watch = first_paint(desk.frame, mark)
    desk.show()
    code: int = application.exec()
    desk.close_logbook()
    return code


def resident_mb() -> float:
    """Memory of this process that is in use, in MB."""
    for line in Path("/proc/self/status").read_text(encoding="ascii").splitlines():
        if line.startswith("VmRSS:"):
            return round(int(line.split()[1]) / 1024, 1)
    return 0.0


# marks


def marks(path: Path, taps: int) -> dict[str, Any]:
    """From the press of a key to its repaint, with the commit between; and the floor of both."""
    from PySide6.QtWidgets import QApplication

    from observe.desk.theme import Skin, register_faces
    from observe.look.tokens import LIGHT
    from observe.work.logbooks import open_logbook
    from observe.work.session import Room

    application = QApplication.instance() or QApplication(sys.argv[:1])
    register_faces()
    skin = Skin(LIGHT, 149)
    with open_logbook(path) as logbook:
        (workshop,) = logbook.workshops().values()
        room = Room(logbook, workshop, "o1")
        opening = room.sessions
        kept: list[Change] = []
        room.every = room.sessions = _recording(opening, kept)
        ours = list(_timed(application, skin, room, taps))
        plain = PlainCommit(path.with_name("floor.sqlite"), kept)
        room.every = room.sessions = _replaying(opening, plain)
        floor = list(_timed(application, skin, room, taps))
        commit = plain.alone(path.with_name("commit.sqlite"))
        append = _append_alone(logbook, kept)
    return _mark_figures(ours, floor, commit, append)


def _mark_figures(
    ours: list[float], floor: list[float], commit: list[float], append: list[float]
) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, share in (("p50", 0.5), ("p99", 0.99)):
        found |= {
            f"mark {name} ms": round(_quantile(ours, share), 2),
            f"floor {name} ms": round(_quantile(floor, share), 2),
            f"mark {name} ratio": round(_quantile(ours, share) / _quantile(floor, share), 2),
            f"append {name} ms": round(_quantile(append, share), 2),
            f"plain commit {name} ms": round(_quantile(commit, share), 2),
        }
    return found


def _quantile(seen: list[float], share: float) -> float:
    return sorted(seen)[min(len(seen) - 1, int(len(seen) * share))] * 1000


def _recording(sessions: Sequence[Session], kept: list[Change]) -> tuple[Session, ...]:
    """The same sessions, keeping each change that they make."""
    from observe.work.session import Session

    class Recording(Session):
        def do(self, gesture: Any, *args: Any, **kwargs: Any) -> Change:
            change = super().do(gesture, *args, **kwargs)
            kept.append(change)
            return change

    return tuple(Recording(s.logbook, s.workshop, s.seat, _events_of(s)) for s in sessions)


def _replaying(sessions: Sequence[Session], plain: PlainCommit) -> tuple[Session, ...]:
    """Sessions that compute nothing: what was kept, and a plain commit of the same bytes."""
    from observe.work.session import Session

    class Replaying(Session):
        def do(self, gesture: Any, *args: Any, **kwargs: Any) -> Change:
            del gesture, args, kwargs
            change = plain.next()
            self.state = change.after
            return change

    return tuple(Replaying(s.logbook, s.workshop, s.seat, _events_of(s)[:1]) for s in sessions)


def _events_of(session: Session) -> list[Event]:
    return session.logbook.log.read(observation=session.state.id)


def _timed(application: Any, skin: Any, room: Room, taps: int) -> Iterator[float]:
    """Seconds from each press to the end of its repaint."""
    from observe.desk.live.model import LiveModel
    from observe.desk.live.page import LivePage

    ticks = iter(range(10**9))
    model = LiveModel(room, clock=lambda: float(next(ticks)))
    view = LivePage(skin, model)
    view.resize(*SIZE)
    view.show()
    application.processEvents()
    gc.collect()
    for tap in range(taps):
        seat = tap % len(room.sessions)
        application.processEvents()
        began = time.perf_counter()
        _tap(view, seat)
        application.processEvents()
        yield time.perf_counter() - began
    view.close()


def _tap(view: LivePage, seat: int) -> None:
    """Press the sentence of a seat, as a mouse does."""
    from PySide6.QtCore import Qt
    from PySide6.QtTest import QTest

    from observe.desk.live.seat import SeatCard

    card = next(one for one in view.findChildren(SeatCard) if one.seat == seat)
    QTest.mouseClick(card.sentence, Qt.MouseButton.LeftButton)


class PlainCommit:
    """The bytes of kept changes, committed one gesture at a time with nothing around it."""

    def __init__(self, path: Path, kept: list[Change]) -> None:
        self.kept = kept
        self.rows = [[_row(event) for event in change.events] for change in kept]
        self.connection = _plain_file(path)
        self.place = 0

    def next(self) -> Change:
        """Commit the next gesture's bytes; the change it was."""
        _commit(self.connection, self.rows[self.place])
        change = self.kept[self.place]
        self.place += 1
        return change

    def alone(self, path: Path) -> list[float]:
        """Seconds of each commit with no window at all."""
        connection = _plain_file(path)
        return [_took(_commit, connection, rows) for rows in self.rows]


def _append_alone(logbook: Logbook, kept: list[Change]) -> list[float]:
    """Seconds of each append to the real logbook with no window at all."""
    from observe.domain.events import Draft

    return [
        _took(
            logbook.append,
            [
                Draft(one.kind, one.body, "w-alone", "a-alone", "o-alone", one.by)
                for one in change.events
            ],
        )
        for change in kept
    ]


def _took(work: Callable[..., object], *args: object) -> float:
    began = time.perf_counter()
    work(*args)
    return time.perf_counter() - began


def _plain_file(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    columns = ", ".join(f"c{n}" for n in range(16))
    connection.execute(f"CREATE TABLE event (position INTEGER PRIMARY KEY, {columns})")
    return connection


def _commit(connection: sqlite3.Connection, rows: list[tuple[object, ...]]) -> None:
    marks = ", ".join("?" * 16)
    connection.execute("BEGIN IMMEDIATE")
    connection.executemany(f"INSERT INTO event VALUES (NULL, {marks})", rows)  # noqa: S608 - ours
    connection.execute("COMMIT")


def _row(event: Any) -> tuple[object, ...]:
    body = json.dumps(event.body, separators=(",", ":"))
    return (
        event.device, event.seq, event.kind, event.version, event.gesture, event.part,
        event.workshop, event.attempt, event.observation, event.by, event.stamp.at,
        event.stamp.monotonic_ns, event.stamp.boot, body, event.prev, event.hash,
    )  # fmt: skip


# where to look


def looking(times: int = 300) -> dict[str, Any]:
    """Milliseconds of one question where to look next, every learner somewhere in the middle."""
    from observe.planning.looking import Learner, Stage, suggested

    second = 10**9
    stages = [Stage(f"S{n}", critical=n % 3 == 0, essential=n % 7 == 0) for n in range(STEPS)]
    learners = [
        Learner(
            seat=seat,
            running=True,
            stages=stages,
            marked=frozenset(range(0, 5 + seat, 2)),
            front=5 + seat,
            since_ns=(5 + seat) * 30 * second,
            seen=[(place, place * 30 * second) for place in range(0, 5 + seat, 2)],
            now_ns=(12 + seat) * 30 * second,
            looked_ns=(6 + seat) * 30 * second,
        )
        for seat in range(LEARNERS)
    ]
    seen = [_took(suggested, learners) for _ in range(times)]
    return {f"look p{share}": round(_quantile(seen, share / 100), 2) for share in (50, 99)}


# printing


def table(figures: dict[str, Any]) -> str:
    """The figures to read: what, here, floor, ratio, goal."""
    rows = [
        ("mark to paint, p50", "mark p50 ms", "floor p50 ms", "mark p50 ratio", "mark p50"),
        ("mark to paint, p99", "mark p99 ms", "floor p99 ms", "mark p99 ratio", "mark p99"),
        (
            "first paint",
            "first paint ms",
            "bare first paint ms",
            "first paint ratio",
            "first paint",
        ),
        ("first mark", "first mark ms", "bare first paint ms", "first mark ratio", "first mark"),
    ]
    lines = [f"{figures['events']:,} events in the logbook; milliseconds, medians unless said", ""]
    lines.append(f"{'':22}{'here':>9}{'floor':>9}{'ratio':>8}{'goal':>8}")
    for title, here, floor, ratio, goal in rows:
        lines.append(
            f"{title:22}{figures[here]:>9}{figures[floor]:>9}"
            f"{figures[ratio]:>8}{'≤ ' + str(GOALS[goal]):>8}"
        )
    for share in ("p50", "p99"):
        took, least = figures[f"append {share} ms"], figures[f"plain commit {share} ms"]
        times = round(took / least, 2) if least else 0
        lines.append(f"{'append alone, ' + share:22}{took:>9}{least:>9}{times:>8}")
    for share in ("p50", "p99"):
        title, goal = f"where to look, {share}", f"≤ {LOOK_GOAL_MS} ms"
        lines.append(f"{title:22}{figures[f'look {share}']:>9}{'':>9}{'':>8}{goal:>8}")
    bare, live = figures["bare memory MB"], figures["Live memory MB"]
    most = round(1.5 * bare + MEMORY_GOAL_MB, 1)
    lines.append(
        f"{'memory in Live, MB':22}{live:>9}{bare:>9}{round(live / bare, 2):>8}"
        f"{'≤ ' + str(most):>9}"
    )
    lines += ["", "Floors: a bare window of the same library; the same view repainted from a"]
    lines.append("recording, with a plain commit of the same bytes to a new file.")
    return "\n".join(lines)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
