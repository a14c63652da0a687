"""Packets in and out, as questions: which file, what of it, closed with which passphrase."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from observe.desk.asking import Answers, Choice, Field, Question
from observe.domain.troubles import Refused
from observe.domain.workshop import Workshop
from observe.work.logbooks import Logbook
from observe.work.looking_into import needs_passphrase
from observe.work.merged import Merge
from observe.work.merging import merge
from observe.work.packets import LEARNER, OBSERVER, SUFFIX, WORKSHOP, Scope, send_plan, send_record
from observe.work.people import find_person

PLAN = "plan"
Show = Callable[[Question], None]


class Carrying:
    """Takes packets in and writes them. show: shows the next question; done: nothing is left.

    where: asks for a file to write, with a suggested name; empty if nobody chose one.
    """

    def __init__(
        self,
        logbook: Logbook,
        me: str,
        show: Show,
        done: Callable[[str], None],
        where: Callable[[str], str],
    ) -> None:
        self.logbook, self.me, self.show, self.done, self.where = logbook, me, show, done, where

    # in

    def take_in(self, path: Path) -> None:
        """Say what a packet would bring; a closed one asks for its passphrase first.

        Raises the troubles of `observe.work.merging.merge`.
        """
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
        told = merge(self.logbook, path, dry=True, passphrase=passphrase)

        def answer(_: Answers) -> None:
            by = self._person() if self.me else ""
            done = merge(self.logbook, path, by=by, passphrase=passphrase)
            self.done(_summed_up(done))

        self.show(
            Question(
                "Take this packet in?",
                (str(path), *told.sentences, "Nothing was kept yet."),
                "Take it in",
                answer,
            )
        )

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


def _summed_up(told: Merge) -> str:
    if not told.is_news:
        return "Nothing in it was new here."
    told_of = " ".join(sentence for one in told.consequences for sentence in one.sentences)
    return f"Taken in: {told.intake.events} events. {told_of}".strip()
