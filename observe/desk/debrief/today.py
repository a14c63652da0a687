"""The day's list: what each learner still lacks, and the deed that gets on with it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from observe.desk import plan_closing
from observe.desk.asking import Answers, Field, Question
from observe.desk.blocks import Act, Block
from observe.domain.decision import Outcome
from observe.domain.troubles import Stopped, Trouble
from observe.domain.words import counted
from observe.domain.workshop import Seat
from observe.work.debrief import attempt_result
from observe.work.issued import Handled, Lack, lacking
from observe.work.plans import close
from observe.work.press import Press, sheets_folder
from observe.work.printing import Batch, issue_all, print_together
from observe.work.retest import (
    agree,
    agreed,
    numbers_of,
    plan_sentence,
    steps_named,
)
from observe.work.session import Room

AGREE = "Agree on a day …"
DEEDS = {
    Lack.HAND: "Handed over",
    Lack.READ: "The learner has read it",
    Lack.ISSUE: "Issue its sheet",
    Lack.AGAIN: "Issue a new revision",
}


class Today:
    """Sheets of one room's workshop on the last stretch of the day.

    ask: shows a question; told: says how a deed went; where: asks for a file to write, empty if
    nobody chose one; tick: called between sheets, and may raise Stopped.
    """

    def __init__(
        self,
        room: Room,
        ask: Callable[[Question], None],
        told: Callable[[str], None],
        where: Callable[[str], str],
        tick: Callable[[int, int], None],
    ) -> None:
        self.room, self.ask, self.told, self.where, self.tick = room, ask, told, where, tick
        self.press = Press(room.logbook, room.workshop, sheets_folder(room.logbook, room.workshop))

    def blocks(self) -> list[Block]:
        """First all together, then each learner with what they lack."""
        names = self.room.logbook.names()
        found = lacking(self.room.logbook, self.room.workshop)
        waits = sum(lack is not Lack.NOTHING for _, lack in found)
        head = Block(
            f"{counted(waits, 'learner')} of {len(found)} still lack something"
            if waits
            else "Every learner has their sheet",
            (f"Sheets are in {self.press.folder}.",),
            (
                ("Issue all that can be issued", self.issue_all),
                ("One file for the printer …", self.print_together),
            ),
        )
        return [head, *(self._block(seat, lack, names) for seat, lack in found)]

    def _block(self, seat: Seat, lack: Lack, names: object) -> Block:
        name = self.room.name(seat.learner)
        word = DEEDS.get(lack)
        deeds: list[tuple[str, Act]] = [(word, partial(self._do, seat, lack))] if word else []
        said = [f"{lack.value[:1].upper()}{lack.value[1:]}."]
        if lack not in (Lack.SEAL, Lack.SIGN) and self._is_remediated(seat):
            found = agreed(self.room.logbook, seat)
            numbers = numbers_of(self.room.logbook, self.room.workshop, seat)
            said.append(plan_sentence(found, numbers) if found else "No day to show it again.")
            deeds.append((AGREE, lambda: self.ask(self._agree(seat))))
            if found is not None and found.closed is None:
                deeds.append((plan_closing.WORD, lambda: self.ask(self._close(seat))))
        return Block(f"{seat.number}  {name}", tuple(said), tuple(deeds))

    def _is_remediated(self, seat: Seat) -> bool:
        result = attempt_result(self.room.logbook, self.room.workshop, seat)
        return result.outcome is Outcome.REMEDIATE

    def _agree(self, seat: Seat) -> Question:
        room = self.room

        def answer(answers: Answers) -> None:
            result = attempt_result(room.logbook, room.workshop, seat)
            day, where = answers["day"], answers["where"]
            steps = steps_named(answers["steps"], room.logbook, room.workshop, seat)
            found = agree(
                room.logbook, room.workshop, result, day, where, by=room.observer, steps=steps
            )
            self.told(f"Kept: {room.name(seat.learner)} shows it again on {found.day}.")

        return Question(
            f"When does {room.name(seat.learner)} show it again?",
            ("It stands on the sheet; one that was issued before is followed by a new revision.",),
            "Keep the day",
            answer,
            (
                Field("day", "Day, as 2026-03-26"),
                Field("where", "Time and place, as they are to stand on the sheet (may be empty)"),
                Field("steps", "Steps to practise, as 3, 15 (empty: those of the decision)"),
            ),
        )

    def _close(self, seat: Seat) -> Question:
        room = self.room

        def answer(answers: Answers) -> None:
            ending = plan_closing.ending_in(answers)
            close(room.logbook, room.workshop, seat, ending, answers["reason"], by=room.observer)
            self.told(f"Kept: the plan of {room.name(seat.learner)} is closed, {ending}.")

        return Question(
            plan_closing.title(room.name(seat.learner)),
            (plan_closing.SAID,),
            plan_closing.CONFIRM,
            answer,
            (plan_closing.REASON,),
            (plan_closing.ENDINGS,),
        )

    def _do(self, seat: Seat, lack: Lack) -> None:
        if lack is Lack.HAND:
            self.press.handle(seat, Handled.HANDED_OVER, by=self.room.observer)
            self.told(f"Kept: {self.room.name(seat.learner)} has their sheet.")
        elif lack is Lack.READ:
            self.ask(self._read(seat))
        else:
            self.with_key(partial(self._issue, seat))

    def _issue(self, seat: Seat) -> None:
        result = attempt_result(self.room.logbook, self.room.workshop, seat)
        path = self.press.issue(result, by=self.room.observer)
        self.told(f"Issued: {path}")

    def _read(self, seat: Seat) -> Question:
        def answer(answers: Answers) -> None:
            path = self.press.acknowledge(
                seat,
                response=answers["response"],
                passphrase=answers["passphrase"],
                by=self.room.observer,
            )
            signed = f" The department signed it: {path}" if path else ""
            self.told(f"Kept: {self.room.name(seat.learner)} has seen it.{signed}")

        return Question(
            f"{self.room.name(seat.learner)} has read the sheet",
            (
                "It says seen, not agreed. The learner's own words are kept beside the record.",
                "Where the department's key is on this machine it signs that too.",
            ),
            "Keep it",
            answer,
            (
                Field("response", "What the learner says to it, in their words (may be empty)"),
                Field(
                    "passphrase",
                    "Passphrase of the department's key (empty: not signed)",
                    secret=True,
                ),
            ),
        )

    def issue_all(self) -> None:
        """Issue every sheet that one person can issue; what is left is told."""
        self.with_key(self._issue_all)

    def _issue_all(self) -> None:
        room = self.room
        try:
            done = issue_all(
                room.logbook, room.workshop, self.press, by=room.observer, tick=self.tick
            )
        except Stopped:
            return
        self.told(summed_up(done))

    def print_together(self) -> None:
        """Write one file for the printer, and keep that the sheets were printed."""
        chosen = self.where("sheets-to-print.pdf")
        if not chosen:
            return
        count = print_together(self.press, Path(chosen))
        for seat, sheet, _ in self.press.all_standing():
            if not sheet.printed:
                self.press.handle(seat, Handled.PRINTED, by=self.room.observer)
        self.told(f"{counted(count, 'sheet')} in {chosen}; the file is for paper and not signed.")

    def with_key(self, deed: Callable[[], None]) -> None:
        """Do what signs; where one's key is closed, ask for its passphrase first, once a day."""
        logbook, me = self.room.logbook, self.room.observer
        at = self.press.now()
        if not logbook.keys.needs_passphrase(me, at):
            deed()
            return

        def answer(answers: Answers) -> None:
            logbook.keys.unlock(me, answers["passphrase"], at)
            deed()

        self.ask(
            Question(
                "Open your signing key",
                ("Once a day is enough; it is not written down anywhere.",),
                "Open it",
                answer,
                (Field("passphrase", "Passphrase", secret=True),),
            )
        )


def summed_up(done: Batch) -> str:
    """How many were made, stood, and were left, in a sentence or two."""
    said = [f"Issued: {counted(len(done.made), 'sheet')}."]
    if done.stood:
        said.append(f"Standing already: {len(done.stood)}.")
    if done.left:
        seats = ", ".join(str(seat.number) for seat, _ in done.left)
        said.append(f"Not issued: seat {seats}; the list says why.")
    if done.stopped:
        said.append("Stopped before the end.")
    return " ".join(said)


def attempt(deed: Callable[[], None], told: Callable[[str], None]) -> None:
    """Do it; a trouble is told as a sentence."""
    try:
        deed()
    except Trouble as trouble:
        told(f"{trouble.what} {trouble.remedy}")
