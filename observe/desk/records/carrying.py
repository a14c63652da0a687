"""Packets in and out, as questions: which file, what of it, closed with which passphrase."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from observe.desk.asking import Answers, Choice, Field, Question
from observe.desk.blocks import Block
from observe.desk.running import Runner, Tick
from observe.domain.troubles import Refused, Stopped, Trouble
from observe.domain.workshop import Workshop
from observe.work.logbooks import Logbook
from observe.work.looking_into import needs_passphrase
from observe.work.merged import Merge
from observe.work.merging import merge_beside
from observe.work.packets import LEARNER, OBSERVER, SUFFIX, WORKSHOP, Scope, send_plan, send_record
from observe.work.people import find_person

PLAN = "plan"
Show = Callable[[Question], None]
STOPPED = "Stopped. Nothing of the packet was taken in."


class Carrying(QObject):
    """Takes packets in and writes them. show: shows the next question; done: nothing is left.

    where: asks for a file to write, with a suggested name; empty if nobody chose one. A packet is
    tried and taken in beside the window, in a logbook of its own.
    """

    changed = Signal()
    """A packet is being read, or no longer."""
    progressed = Signal(str)
    """How far it is, in words."""
    failed = Signal(object)
    """A trouble with the packet or the logbook, while no question is shown."""

    def __init__(
        self,
        logbook: Logbook,
        me: str,
        show: Show,
        done: Callable[[str], None],
        where: Callable[[str], str],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.logbook, self.me, self.show, self.done, self.where = logbook, me, show, done, where
        self.doing: Block | None = None
        self._stopped = threading.Event()
        self._next: Callable[[Merge], None] = lambda _: None
        self.runner = Runner(self)
        self.runner.progressed.connect(self._progress)
        self.runner.done.connect(self._made)
        self.runner.failed.connect(self._failed)

    # in

    def take_in(self, path: Path) -> None:
        """Say what a packet would bring; a closed one asks for its passphrase first.

        Raises the troubles of `observe.work.looking_into.needs_passphrase`; `failed` tells those
        of `observe.work.merging.merge`. One that is being taken in is stopped by nothing else.
        """
        if self.doing is not None:
            raise Refused(
                "A packet is being read already.", remedy="Wait until it is done, or stop it."
            )
        if not needs_passphrase(path):
            self._offer(path, "")
            return
        self.show(
            Question(
                "This packet is closed with a passphrase",
                (str(path), "Whoever made it has told it by another way."),
                "Open it",
                lambda answers: self._offer(path, answers["passphrase"]),
                (Field("passphrase", "Passphrase", secret=True),),
            )
        )

    def _offer(self, path: Path, passphrase: str) -> None:
        """Try what the packet would bring, then ask whether it is to be taken in."""

        def answer(_: Answers) -> None:
            by = self._person() if self.me else ""
            self._run(path, passphrase, by, lambda told: self.done(_summed_up(told)), dry=False)

        def offer(told: Merge) -> None:
            said = (str(path), *told.sentences, "Nothing was kept yet.")
            self.show(Question("Take this packet in?", said, "Take it in", answer))

        self._run(path, passphrase, "", offer, dry=True)

    def _run(
        self, path: Path, passphrase: str, by: str, then: Callable[[Merge], None], *, dry: bool
    ) -> None:
        place, machine = self.logbook.path, self.logbook.machine
        stopped = self._stopped = threading.Event()
        self._next = then
        self.runner.stop()

        def work(tick: Tick) -> Merge | None:
            def tick_or_stop(done: int, total: int) -> None:
                if stopped.is_set():
                    raise Stopped
                tick(done, total)

            try:
                return merge_beside(
                    place,
                    path,
                    tick_or_stop,
                    machine=machine,
                    by=by,
                    dry=dry,
                    passphrase=passphrase,
                )
            except Stopped:
                return None

        self.doing = _block(path, self.stop, dry=dry)
        self.runner.run(work)
        self.changed.emit()

    def stop(self) -> None:
        """Stop at the next moment; whether anything was taken in is told then."""
        self._stopped.set()

    def leave(self) -> None:
        """Stop, and wait until the logbook beside the window is closed: the page goes."""
        self._stopped.set()
        self.runner.stop()
        self.runner.wait()

    def _progress(self, done: int, total: int) -> None:
        if self.doing is not None and total:
            self.progressed.emit(f"{100 * done // total} % of it is read.")

    def _made(self, told: Merge | None) -> None:
        self.doing = None
        if told is None:
            self.done(STOPPED)
            return
        self._next(told)

    def _failed(self, trouble: Trouble) -> None:
        self.doing = None
        self.changed.emit()
        self.failed.emit(trouble)

    def _person(self) -> str:
        return find_person(self.logbook, self.me, among=self.logbook.names())

    # out

    def write(self, workshop: Workshop) -> None:
        """Ask what of a workshop goes, and write it."""
        names = self.logbook.names()
        observers = tuple((one, names.get(one, one)) for one in workshop.observers)
        learners = {seat.learner: names.get(seat.learner, seat.learner) for seat in workshop.seats}
        me = next((one for one, name in observers if name == self.me), "")

        whose = [(f"{OBSERVER} {one}", f"Record of {name}") for one, name in observers]

        def answer(answers: Answers) -> None:
            self._write(workshop, answers)

        self.show(
            Question(
                f"Write a packet of {workshop.title}",
                (
                    (
                        "A plan makes another machine ready. A record carries what was marked; "
                        "marks of an attempt with a second look stay here until all who watch "
                        "have sealed."
                    ),
                ),
                "Choose a file and write it",
                answer,
                (
                    Field("passphrase", "Passphrase, if it is to be closed", secret=True),
                    Field("again", "The same once more", secret=True),
                ),
                (
                    Choice("by", "Who writes it", observers, me),
                    Choice(
                        "what",
                        "What goes",
                        (
                            (PLAN, "The plan"),
                            (WORKSHOP, "The whole record"),
                            *whose,
                            *(
                                (f"{LEARNER} {one}", f"Only {name}")
                                for one, name in sorted(learners.items(), key=lambda one: one[1])
                            ),
                        ),
                    ),
                ),
            )
        )

    def _write(self, workshop: Workshop, answers: Answers) -> None:
        if answers["passphrase"] != answers["again"]:
            raise Refused("The two passphrases are not the same.", remedy="Type it twice alike.")
        if not answers["by"] or not answers["what"]:
            raise Refused(
                "It is open who writes the packet, or what goes.", remedy="Choose both above."
            )
        kind, _, of = answers["what"].partition(" ")
        chosen = self.where(f"{kind}{f'-{of}' if of else ''}{SUFFIX}")
        if not chosen:
            return
        path = Path(chosen)
        if kind == PLAN:
            sent = send_plan(
                self.logbook, workshop, path, by=answers["by"], passphrase=answers["passphrase"]
            )
        else:
            sent = send_record(
                self.logbook,
                workshop,
                path,
                by=answers["by"],
                scope=Scope(kind, of),
                passphrase=answers["passphrase"],
            )
        held = len(sent.withheld)
        stays = f" The marks of {held} attempts stay here until all have sealed." if held else ""
        self.done(f"Written: {path}.{stays}")


def _block(path: Path, stop: Callable[[], None], *, dry: bool) -> Block:
    """What is done with a packet, with the key that stops it."""
    said = (
        "Nothing is kept yet, and marks are taken meanwhile."
        if dry
        else "A mark that is refused meanwhile can be set again when it is done. Whoever stops "
        "it, or leaves the records, takes nothing in."
    )
    title = "Looking into the packet …" if dry else "Taking the packet in …"
    return Block(title, (str(path), said), (("Stop", stop),))


def _summed_up(told: Merge) -> str:
    if not told.is_news:
        return "Nothing in it was new here."
    return " ".join((f"Taken in: {told.counted}.", *told.changes))
