"""The lamp in Live: asks where to look next, keeps each suggestion, and says what is lit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from observe.desk.live import reading
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.board import Entry
from observe.domain.bodies import Because
from observe.domain.form import Form
from observe.domain.observation import Observation
from observe.domain.troubles import Doubtful, Refused, Surroundings
from observe.planning.lamp import Lamp
from observe.planning.looking import (
    ON_BY_DEFAULT,
    Learner,
    Stage,
    Suggestion,
    stages_of,
    suggested,
)
from observe.planning.pace import Sighting

Keep = Callable[[Suggestion], bool]
"""Puts a suggestion on the disk; answers whether it is there."""
BECAUSE: Mapping[Because, str] = {
    Because.CRITICAL: ", watched for a critical item, is due",
    Because.ESSENTIAL: ", essential, is due",
    Because.UNSEEN: " or further",
}


class Lamplight(QObject):
    """The lamp over one model of Live. Seats are counted from 0 in seat order.

    keep: called with each suggestion before it is lit; what could not be kept is not
    lit (rule A5: what was suggested must be known afterwards). on: None for the
    default that was measured. changed: the seat that was lit and the one that is,
    None for dark.
    """

    changed = Signal(object, object)

    def __init__(
        self,
        model: LiveModel,
        keep: Keep,
        *,
        on: bool | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.model, self.keep = model, keep
        self.is_on = ON_BY_DEFAULT if on is None else on
        self.lamp = Lamp()
        self._stages: dict[tuple[str, ...], tuple[Stage, ...]] = {}
        model.changed.connect(self.touch)
        model.refused.connect(self.touch)
        model.front_changed.connect(lambda _, seat: self.touch(seat))

    # reading

    @property
    def lit(self) -> int | None:
        """The seat to look at, or None."""
        return None if self.lamp.lit is None else self.lamp.lit.seat

    def words(self) -> str:
        """What is suggested and why, in a sentence without its stop; empty where it is dark."""
        found = self.lamp.lit
        return "" if found is None else words(self.model, found)

    # deeds

    def turn(self, *, on: bool) -> None:
        """Switch the cue on or off; off is dark at once."""
        self.is_on = on
        if not on:
            self._become(self.lamp.out())

    def touch(self, seat: int) -> None:
        """A finger was on a seat."""
        self._become(self.lamp.touched(seat, self._now()))

    def tick(self) -> None:
        """A second went by: ask where to look, unless it is off or may not change."""
        now = self._now()
        if not self.is_on or self.model.trouble is not None or not self.lamp.may_change(now):
            return
        after = self.lamp.shown(suggested(self.learners()), now)
        found, before = after.lit, self.lamp.lit
        is_new = found is not None and (before is None or before.what != found.what)
        if found is not None and is_new and not self.keep(found):
            after = replace(self.lamp.out(), changed_ns=now)
        self._become(after)

    def _become(self, lamp: Lamp) -> None:
        before, self.lamp = self.lit, lamp
        if before != self.lit:
            self.changed.emit(before, self.lit)

    def _now(self) -> int:
        return self.model.room.logbook.machine.stamp().monotonic_ns

    # what the cue is told

    def learners(self) -> list[Learner]:
        """Every seat as the cue knows it, from this observer's own marks alone (rule T3)."""
        return [self._learner(seat) for seat in range(len(self.model))]

    def _learner(self, seat: int) -> Learner:
        state = self.model.state(seat)
        now = self.model.elapsed_ns(seat)
        places = {step.id: place for place, step in enumerate(state.steps)}
        marked = frozenset(
            places[step] for step, marks in state.board.placed.items() if marks and step in places
        )
        front = places.get(state.board.front, len(places))
        return Learner(
            seat=seat,
            running=state.clock.is_running and not (state.sealed or state.void or state.stopped),
            stages=self._known(state),
            marked=marked,
            front=front,
            since_ns=min(now, reached_ns(state, places, marked, front)),
            seen=sightings(state, places),
            now_ns=now,
            looked_ns=now - self.model.since_look_ns(seat),
        )

    def _known(self, state: Observation) -> tuple[Stage, ...]:
        form: Form = state.ground.form
        steps = state.steps
        key = (form.whole_digest, *(step.id for step in steps))
        if key not in self._stages:
            self._stages[key] = stages_of(form, steps)
        return self._stages[key]


def keeper(model: LiveModel) -> Keep:
    """Keeps suggestions in the logbook, in the observation of the learner suggested.

    Where one cannot be kept it is not lit, and nothing more is said: the next mark
    meets the same trouble and says so.
    """

    def keep(found: Suggestion) -> bool:
        session = model.sessions[found.seat]
        try:
            session.do(gestures.suggest_look, found.step, found.because, found.waited_ns)
        except (Refused, Surroundings, Doubtful):
            return False
        return True

    return keep


def words(model: LiveModel, found: Suggestion) -> str:
    """A suggestion in words: who, which step and why, and how long ago the last look was."""
    number = model.state(found.seat).numbers.get(found.step)
    since = f"last look {reading.ago(model.since_look_ns(found.seat))} ago"
    step = f"step {number}{BECAUSE[found.because]}; " if number else ""
    return f"{model.name(found.seat)}: {step}{since}"


def sightings(state: Observation, places: Mapping[str, int]) -> tuple[Sighting, ...]:
    """When each step was first marked as seen, in the order of time."""
    found = [
        (marks[0].observed_ns, places[step])
        for step, marks in state.board.placed.items()
        if marks and step in places
    ]
    return tuple((place, at) for at, place in sorted(found))


def reached_ns(
    state: Observation, places: Mapping[str, int], marked: frozenset[int], front: int
) -> int:
    """When a learner got to the step they are at: the clock at the mark or move that led there."""
    for entry in reversed(state.entries):
        place = places.get(str(entry.body.get("step", "")))
        if place is None:
            continue
        if entry.kind == "moved-to" and place == front:
            return entry.elapsed_ns
        if entry.kind == "mark-set" and _leads_to(place, front, marked):
            return _observed_ns(entry)
    return 0


def _leads_to(place: int, front: int, marked: frozenset[int]) -> bool:
    """Whether a mark at a place brought the learner to the front: all between is marked."""
    return place < front and all(between in marked for between in range(place, front))


def _observed_ns(entry: Entry) -> int:
    seen = entry.body.get("observed_ns", entry.elapsed_ns)
    return seen if isinstance(seen, int) else entry.elapsed_ns
