"""Several machines that exchange packets and nothing else."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from observe import places
from observe.domain import gestures
from observe.domain.marks import DONE, Mark
from observe.domain.observation import Slot
from observe.domain.workshop import Workshop
from observe.store.log import Log
from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.logbooks import Logbook, open_logbook, open_trial
from observe.work.merged import Merge
from observe.work.merging import merge
from observe.work.packets import Scope, Sent, send_plan, send_record
from observe.work.planning import plan_workshop
from observe.work.session import Session, open_session
from observe.work.state import state_digest
from tests.work.conftest import a_plan

START = "2026-03-02T09:00:00.000+00:00"
_numbers = count(1)


@dataclass
class Desk:
    """One machine with its own folder, clock and logbook."""

    folder: Path
    machine: RehearsalMachine
    logbook: Logbook
    sent: list[Path] = field(default_factory=list)

    @property
    def workshop(self) -> Workshop:
        """The only workshop there is."""
        (only,) = self.logbook.workshops().values()
        return only

    @property
    def digest(self) -> str:
        return state_digest(self.logbook)

    def session(self, seat: int, observer: str) -> Session:
        return open_session(self.logbook, self.workshop, self.workshop.seats[seat - 1], observer)

    def watch(self, seat: int, observer: str, *, mark: Mark = DONE, upto: int = 99) -> Session:
        """Mark the first steps of a learner."""
        session = self.session(seat, observer)
        for step in session.state.steps[:upto]:
            self.machine.seconds += 5
            session.do(gestures.mark, step.id, mark)
        return session

    def seal(self, session: Session, overall: int = 4) -> None:
        session.do(gestures.give_overall, overall)
        session.do(gestures.write, Slot.STRENGTH, f"Seen by {session.state.observer}.")
        session.do(gestures.write, Slot.CHANGE, "Speak to the helper.")
        session.do(gestures.seal)

    def plan_packet(self, by: str = "o1") -> Path:
        return self._kept(send_plan(self.logbook, self.workshop, self._path(), by=by))

    def packet(self, by: str, scope: Scope | None = None) -> Path:
        sent = send_record(self.logbook, self.workshop, self._path(), by=by, scope=scope)
        return self._kept(sent)

    def take(self, *packets: Path) -> list[Merge]:
        return [merge(self.logbook, one) for one in packets]

    def try_out(self, *packets: Path) -> list[Merge]:
        """What they would bring, one after another; nothing of it is kept."""
        with open_trial(self.logbook.path, machine=self.machine) as trial:
            return [merge(trial, one) for one in packets]

    def _path(self) -> Path:
        return self.folder / f"{next(_numbers)}.packet"

    def _kept(self, sent: Sent) -> Path:
        self.sent.append(sent.path)
        return sent.path


def lead_desk(folder: Path, *, looks: int = 2) -> Desk:
    """The lead's machine with a planned workshop: two learners, `looks` of them seen twice."""
    desk = new_desk(folder, "lead")
    source = places.forms() / "lumbar-puncture-adult.toml"
    form = desk.logbook.add_form(source.read_text(encoding="utf-8"), source.name)
    plan_workshop(desk.logbook, a_plan(form.whole_digest, looks=looks))
    return desk


def copy_of(desk: Desk, folder: Path) -> Desk:
    """A copy of a machine's logbook that goes on under the same id, as if nothing was noted."""
    home = folder / "copy"
    shutil.copytree(desk.folder, home)
    machine = RehearsalMachine(START, "copy")
    machine.seconds = 500
    path = home / "l.observe"
    return Desk(home, machine, Logbook(Log.open(path), path, machine))


def new_desk(folder: Path, name: str) -> Desk:
    """A machine with an empty logbook."""
    home = folder / name
    home.mkdir()
    machine = RehearsalMachine(START, name)
    return Desk(home, machine, open_logbook(home / "l.observe", create=True, machine=machine))
