"""Replaying the script through the same sessions as the window, on a clock of its own."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.events import Stamp
from observe.domain.form import Step
from observe.domain.marks import DID_NOT_ARISE, INCORRECT, NOT_APPLICABLE, NOT_DONE, Mark, State
from observe.domain.observation import Slot, open_reasons
from observe.work.demo.script import Part
from observe.work.machine import iso, time_ordered_id
from observe.work.session import Session

Act = Callable[[], object]

SHORTEST_S, LONGEST_S = 18, 44
"""Seconds a step takes, at least and at most."""


class RehearsalMachine:
    """A machine whose time and chance are those of the script: same script, same logbook.

    name: tells several machines apart, so that none makes an id of another one's.
    """

    def __init__(self, starts_at: str, name: str = "") -> None:
        self._name = name.encode("utf-8")
        self._start = datetime.fromisoformat(starts_at)
        self.seconds = 0.0
        self._made = 0

    def stamp(self) -> Stamp:
        moment = self._start + timedelta(seconds=self.seconds)
        return Stamp(iso(moment), round(self.seconds * 1e9), "rehearsal")

    def gesture(self) -> str:
        milliseconds = round((self._start.timestamp() + self.seconds) * 1000)
        return time_ordered_id(milliseconds, self._noise(b"gesture")[:10])

    def salt(self) -> str:
        return self._noise(b"salt")[:16].hex()

    def _noise(self, purpose: bytes) -> bytes:
        self._made += 1
        return hashlib.sha256(self._name + purpose + self._made.to_bytes(8, "big")).digest()


@dataclass(frozen=True, order=True)
class Cue:
    """One act at its time, in seconds from the start of the workshop."""

    seconds: float
    place: int
    act: Act


def play(
    machine: RehearsalMachine, parts: Sequence[tuple[Session, Part]], *, begins: float = 0
) -> None:
    """Play all parts of a workshop in the order of time, one gesture after another.

    begins: seconds of the machine's clock at which the workshop begins.
    """
    cues: list[Cue] = []
    for session, part in parts:
        start = begins + (session.seat.number - 1) * 25 + (7 if part.overall else 0)
        for seconds, act in _acts(session, part):
            cues.append(Cue(start + seconds, len(cues), act))
    for cue in sorted(cues):
        machine.seconds = max(machine.seconds, cue.seconds)
        cue.act()


def _acts(session: Session, part: Part) -> Iterator[tuple[float, Act]]:
    pace = random.Random(f"{session.seat.number} {session.state.observer}")  # noqa: S311 - a pace
    steps = iter(session.state.steps)
    seconds = 0.0
    for word in part.marks.split():
        if word.startswith("@"):
            yield seconds + 5, _critical(session, word)
            continue
        seconds += pace.randint(SHORTEST_S, LONGEST_S)
        for act in _step_acts(session, next(steps), word):
            yield seconds, act
    if part.ends != "seal":
        yield seconds + 20, lambda: session.do(gestures.stop_for_safety)
        reason = part.ends.removeprefix("void:").strip()
        yield seconds + 60, lambda: session.do(gestures.void, reason)
    else:
        yield from _rating(session, part, seconds + 40)
    yield seconds + 240, lambda: session.do(gestures.seal)


def _step_acts(session: Session, step: Step, word: str) -> Iterator[Act]:
    if word == ".":
        yield lambda: session.do(gestures.pass_unseen)
        return
    if word == "o":
        yield lambda: session.do(gestures.claim_order, step.id)
    yield lambda: session.do(gestures.mark, step.id, _MARKS[word])


_MARKS = {
    "d": Mark(State.DONE),
    "o": Mark(State.DONE),
    "v": Mark(State.DONE, voiced=True),
    "1": Mark(State.DONE, 1),
    "2": Mark(State.DONE, 2),
    "3": Mark(State.DONE, 3),
    "4": Mark(State.DONE, 4),
    "i": INCORRECT,
    "n": NOT_DONE,
    "/": NOT_APPLICABLE,
    "-": DID_NOT_ARISE,
}


def _critical(session: Session, word: str) -> Act:
    item, verdict = word.removeprefix("@").split(":")

    def act() -> None:
        session.do(gestures.record_critical)
        occurrence = session.state.occurrences[-1].id
        session.do(gestures.name_critical, occurrence, item)
        session.do(gestures.classify, occurrence, Verdict(verdict))

    return act


def _rating(session: Session, part: Part, seconds: float) -> Iterator[tuple[float, Act]]:
    state = session.state
    yield seconds, lambda: session.do(gestures.pause_clock)
    yield seconds + 20, lambda: session.do(gestures.give_overall, part.overall)
    for place, (dimension, value) in enumerate((part.dimensions or {}).items()):
        yield seconds + 25 + place, _rate(session, dimension, value)
    level = part.independence
    yield seconds + 40, lambda: session.do(gestures.give_independence, level)
    yield seconds + 60, lambda: _give_reasons(session)
    yield seconds + 90, lambda: session.do(gestures.write, Slot.STRENGTH, part.strength)
    yield seconds + 120, lambda: session.do(gestures.write, Slot.CHANGE, part.change)
    if part.attests:
        items = [item.id for item in state.ground.form.criticals]
        yield seconds + 130, lambda: session.do(gestures.attest_watched, items)


def _rate(session: Session, dimension: str, value: int) -> Act:
    return lambda: session.do(gestures.rate_dimension, dimension, value)


def _give_reasons(session: Session) -> None:
    for step_id in open_reasons(session.state):
        reasons = session.state.ground.form.step[step_id].reasons
        session.do(gestures.give_reason, step_id, reasons[0])
