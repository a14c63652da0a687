"""A workshop as its events planned it: who, where, with which form, watched by whom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from observe.domain.arrangement import NOWHERE, Spot
from observe.domain.canonical import digest
from observe.domain.form import Mode
from observe.domain.profile import Profile
from observe.domain.troubles import Doubtful


@dataclass(frozen=True, slots=True)
class Station:
    """The station card, hidden from the learner (rule W2). Empty where not set."""

    trainer: str = ""
    insert: str = ""
    position: str = ""
    depth: str = ""


NOT_SET = Station()
IN_A_TAIL = (
    "Where two machines wrote on under one id, a person adopts one of the two tails under Records; "
    "else compare the logbook with a backup."
)


@dataclass(frozen=True, slots=True)
class Seat:
    """One planned attempt in its place in the room.

    number: from 1, up the left side, across the back, down the right; no two seats
    of a workshop share one. first and second are observer ids; second is empty where
    no second look was drawn. form: whole digest; empty means the workshop's first.
    room: 1 or 2. absent: the learner is not here. Room and number are 0 for an absent
    learner whose place was given to another. after_first, after_second: who took the
    watch over from them, in turn (rule T5). linked: observer and attempt, where somebody
    recorded the same attempt under another id, or planned it under the same one on another
    machine (rule E7). dropped: whose second look was given up; restored: whether one was taken
    back in. reattributed: whether the attempt was found to be another learner's after the seal.
    """

    number: int
    attempt: str
    learner: str
    ordinal: int
    variant: str
    first: str
    second: str
    station: Station = NOT_SET
    form: str = ""
    room: int = 1
    absent: bool = False
    after_first: tuple[str, ...] = ()
    after_second: tuple[str, ...] = ()
    linked: tuple[tuple[str, str], ...] = ()
    dropped: str = ""
    restored: bool = False
    reattributed: bool = False

    @property
    def attempts(self) -> tuple[str, ...]:
        """The attempt's own id, then those under which others recorded the same one."""
        return tuple(dict.fromkeys((self.attempt, *(attempt for _, attempt in self.linked))))

    def observation_of(self, observer: str) -> str:
        """The id of an observer's observation of this attempt."""
        return observation_id(dict(self.linked).get(observer, self.attempt), observer)

    @property
    def is_second_planned(self) -> bool:
        """Whether the second look was drawn before the day, and not joined on it (rule T4).

        Nor given up and taken back in: between the two, the other's marks were no secret.
        """
        return bool(self.second) and self.second not in dict(self.linked) and not self.restored

    @property
    def is_planned_twice(self) -> bool:
        """Whether two machines planned the attempt alike (rule E7)."""
        return any(attempt == self.attempt for _, attempt in self.linked)

    @property
    def watches(self) -> tuple[tuple[str, ...], ...]:
        """Who watches: the first look, then the second; each by one observer after another."""
        first = (self.first, *self.after_first)
        return (first, (self.second, *self.after_second)) if self.second else (first,)

    @property
    def observers(self) -> tuple[str, ...]:
        """All who watch or watched, those of the first look first."""
        return tuple(one for watch in self.watches for one in watch)

    def before(self, observer: str) -> str:
        """From whom an observer took over; empty if from nobody."""
        for watch in self.watches:
            if observer in watch[1:]:
                return watch[watch.index(observer) - 1]
        return ""

    @property
    def spot(self) -> Spot:
        """Room and number; `NOWHERE` without a place."""
        return Spot(self.room, self.number)


@dataclass(frozen=True, slots=True)
class FormInUse:
    """A form of a workshop. form: whole digest; scoring: scoring digest; profile: rule W1."""

    form: str
    scoring: str
    profile: Profile


class Unheard(StrEnum):
    """What somebody said that did not apply, since another machine had it otherwise."""

    LEARNER = "same learner"
    EXCHANGE = "exchange"
    VARIANT = "variant"


@dataclass(frozen=True, slots=True)
class Contrary:
    """One such word. event: which says it; attempt: whose it is about, empty for a learner's."""

    kind: Unheard
    event: str
    attempt: str
    by: str


@dataclass(frozen=True)
class Workshop:
    """One occasion. Build it with `workshops`.

    forms: those in use, at least one; the first is meant where a seat names none.
    seats: in seat order, learners without a place last. vacated: numbers that nobody
    has now, each with the room in which it stands. aliases: learner and who they are the
    same as (rule E7). contrary: what was said of it and did not apply, in the common order.
    """

    id: str
    title: str
    place: str
    date: str
    mode: Mode
    forms: tuple[FormInUse, ...]
    seed: str
    observers: tuple[str, ...]
    seats: tuple[Seat, ...] = ()
    vacated: tuple[tuple[int, int], ...] = ()
    aliases: tuple[tuple[str, str], ...] = ()
    contrary: tuple[Contrary, ...] = ()

    def seat_of(self, attempt: str) -> Seat:
        """The seat of an attempt, or of the one that it is the same as.

        Raises Doubtful if none is planned, as where a merge put that into a tail of a fork.
        """
        for seat in self.seats:
            if attempt in seat.attempts:
                return seat
        raise Doubtful(
            "This attempt is not in the plan that is in force.",
            where=f"{self.title}, attempt {attempt}",
            remedy=IN_A_TAIL,
        )

    def in_use(self, seat: Seat) -> FormInUse:
        """The form of a seat with its profile. Raises Doubtful if the workshop has none such."""
        digest = self.form_of(seat)
        for one in self.forms:
            if one.form == digest:
                return one
        raise Doubtful(
            "A seat names a form that was never added to this workshop.",
            where=f"{self.title}, seat {seat.number}",
            remedy="Keep the logbook as it is, and compare it with a backup.",
        )

    def form_of(self, seat: Seat) -> str:
        """Whole digest of the form of a seat."""
        return seat.form or self.forms[0].form

    def profile_of(self, seat: Seat) -> Profile:
        """What is performed, voiced or left out at a seat (rule W1)."""
        return self.in_use(seat).profile

    @property
    def rooms(self) -> tuple[int, ...]:
        """The rooms in which anybody has a place."""
        return tuple(sorted({seat.room for seat in self.seats} - {NOWHERE.room}))

    def in_room(self, room: int) -> tuple[Seat, ...]:
        """The seats of a room, in seat order."""
        return tuple(seat for seat in self.seats if seat.room == room)

    @property
    def spots(self) -> Mapping[str, Spot]:
        """Attempt id to its place."""
        return {seat.attempt: seat.spot for seat in self.seats}


def attempt_id(workshop: str, learner: str, form_id: str, ordinal: int) -> str:
    """The id every machine derives for a planned attempt (rule E7)."""
    return "a-" + digest([workshop, learner, form_id, ordinal])[:20]


def observation_id(attempt: str, observer: str) -> str:
    """The id of one observer's observation of one attempt."""
    return "o-" + digest([attempt, observer])[:20]
