"""One observer, many learners: going round in turn against following the cue, on the same walks."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from observe.planning import grid
from observe.planning.grid import Cell
from observe.planning.lamp import Lamp
from observe.planning.looking import Learner, Stage, Suggestion, suggested
from observe.planning.walks import Happening, Walk, walks

S = 1_000_000_000
TICK_S = 4.0
"""How often the lamp is asked while a look lasts."""
Asked = Callable[[Sequence[Learner]], Suggestion | None]


@dataclass(frozen=True, slots=True)
class Shares:
    """Shares of what happened that was seen, in per cent, over all learners of a run.

    waited_s: the longest time that any learner went without a look.
    """

    critical: float
    essential: float
    every: float
    waited_s: float


@dataclass(frozen=True, slots=True)
class Difference:
    """Mean of a difference to going round in turn, in points, with its standard error."""

    mean: float
    error: float


@dataclass(frozen=True, slots=True)
class Result:
    """What came of a cell. turn: shares in turn; then by obedience, the differences to it."""

    cell: Cell
    runs: int
    turn: Shares
    critical: tuple[Difference, ...]
    essential: tuple[Difference, ...]
    every: tuple[Difference, ...]
    waited_s: tuple[float, ...]


@dataclass(slots=True)
class _Seat:
    """A learner in a run: what happens, what was seen of it, what the marks say."""

    walk: Walk
    started: bool = False
    done: int = 0
    marked: set[int] = field(default_factory=set)
    sightings: list[tuple[int, int]] = field(default_factory=list)
    front: int = 0
    since: float = 0.0
    looked: float = 0.0

    @property
    def begins(self) -> float:
        return self.walk[0].begins

    @property
    def ends(self) -> float:
        return self.walk[-1].ends

    def mark(self, place: int, now: float) -> None:
        """Note a step as the observer does: the next unmarked one comes to the front."""
        self.marked.add(place)
        self.sightings.append((place, round((now - self.begins) * S)))
        if place >= self.front:
            self.since = now
            self.front = place + 1
            while self.front in self.marked:
                self.front += 1

    def due(self, begins: float, ends: float) -> list[tuple[float, Happening]]:
        """What a look shows and when it is marked: at its end, or on leaving."""
        while self.done < len(self.walk) and self.walk[self.done].ends < begins:
            self.done += 1
        found = []
        for place in range(self.done, len(self.walk)):
            one = self.walk[place]
            if one.begins > ends:
                break
            if one.place not in self.marked and one.is_seen(begins, ends, grid.SHARE):
                found.append((min(one.ends, ends), one))
        return found


class Round:
    """One run: an observer walks from seat to seat until every learner has finished."""

    def __init__(
        self,
        stages: Sequence[Stage],
        walked: Sequence[Walk],
        look_s: float,
        seed: str,
        *,
        asked: Asked | None = None,
        obedience: float = 0.0,
    ) -> None:
        self.stages, self.look_s = stages, look_s
        self.seats = [_Seat(walk) for walk in walked]
        self.asked, self.obedience = asked, obedience
        self.draw = random.Random(seed)  # noqa: S311 - repeatable
        self.lamp = Lamp()
        self.longest = 0.0

    def run(self) -> Shares:
        """Walk to the end; the shares that were seen."""
        now, seat = 0.0, 0
        last = max(one.ends for one in self.seats)
        while now < last:
            now = self._look(seat, now)
            seat, walked = self._next(seat, now)
            now += walked
        return self._shares()

    def _look(self, seat: int, begins: float) -> float:
        """Look at a seat for a while, mark what is seen, ask the lamp; when the look ends."""
        ends = begins + self.look_s * self.draw.uniform(0.5, 1.5)
        here = self.seats[seat]
        if begins < here.ends:
            self.longest = max(self.longest, begins - max(here.looked, here.begins))
        here.looked = ends
        self.lamp = self.lamp.touched(seat, round(begins * S))
        shown = here.due(begins, ends)
        tick = begins + TICK_S
        for at, one in shown:
            tick = self._ticks(tick, at)
            here.mark(one.place, at)
            self.lamp = self.lamp.touched(seat, round(at * S))
        self._ticks(tick, ends)
        return ends

    def _ticks(self, tick: float, until: float) -> float:
        while tick < until:
            if self.asked and self.lamp.may_change(round(tick * S)):
                found = self.asked(list(self._learners(tick)))
                self.lamp = self.lamp.shown(found, round(tick * S))
            tick += TICK_S
        return tick

    def _learners(self, now: float) -> Iterator[Learner]:
        for number, one in enumerate(self.seats):
            yield Learner(
                seat=number,
                running=one.begins <= now < one.ends,
                stages=self.stages,
                marked=frozenset(one.marked),
                front=one.front,
                since_ns=round(max(0.0, one.since - one.begins) * S),
                seen=one.sightings,
                now_ns=round((now - one.begins) * S),
                looked_ns=round((min(one.looked, now) - one.begins) * S),
            )

    def _next(self, seat: int, now: float) -> tuple[int, float]:
        """The seat looked at next, and the seconds to walk there."""
        obeys = self.draw.random() < self.obedience
        lit = self.lamp.lit
        target = lit.seat if obeys and lit is not None else self._in_turn(seat, now)
        away = abs(target - seat)
        if away == 0:
            return target, 0.0
        further = min(away, grid.FURTHEST) - 1
        return target, grid.WALK_S + grid.FURTHER_S * further

    def _in_turn(self, seat: int, now: float) -> int:
        """The next seat whose learner has not finished."""
        places = [(seat + step) % len(self.seats) for step in range(1, len(self.seats) + 1)]
        return next((place for place in places if self.seats[place].ends > now), seat)

    def _shares(self) -> Shares:
        critical, essential, every = [], [], []
        for one in self.seats:
            for happened in one.walk:
                seen = happened.place in one.marked
                stage = self.stages[happened.place]
                every.append(seen)
                if stage.critical:
                    critical.append(seen)
                if stage.essential:
                    essential.append(seen)
        return Shares(_percent(critical), _percent(essential), _percent(every), self.longest)


def _percent(seen: Sequence[bool]) -> float:
    return 100 * sum(seen) / len(seen) if seen else 100.0


def played(
    cell: Cell, stages: Sequence[Stage], run: int, asked: Asked = suggested, seed: str = grid.SEED
) -> list[Shares]:
    """One run of a cell: in turn, then by each obedience, on the same walks."""
    walked = walks(cell.pace, cell.learners, len(stages), f"{seed}/{run}")
    looks = f"{seed}/{run}/{cell.look_s}"
    shares = [Round(stages, walked, cell.look_s, looks).run()]
    for obedience in grid.OBEDIENCE:
        led = Round(stages, walked, cell.look_s, looks, asked=asked, obedience=obedience)
        shares.append(led.run())
    return shares


def judged(
    cell: Cell, stages: Sequence[Stage], *, most: int = grid.MOST_RUNS, seed: str = grid.SEED
) -> Result:
    """Run a cell a batch at a time until the differences are known well enough."""
    runs: list[list[Shares]] = []
    while len(runs) < most:
        batch = min(grid.BATCH, most - len(runs))
        runs += [played(cell, stages, len(runs) + one, seed=seed) for one in range(batch)]
        result = _result(cell, runs)
        if all(one.error <= grid.ERROR_POINTS for one in result.critical):
            break
    return _result(cell, runs)


def _result(cell: Cell, runs: Sequence[Sequence[Shares]]) -> Result:
    led = range(1, 1 + len(grid.OBEDIENCE))
    turn = [one[0] for one in runs]
    return Result(
        cell=cell,
        runs=len(runs),
        turn=Shares(
            _mean([one.critical for one in turn]),
            _mean([one.essential for one in turn]),
            _mean([one.every for one in turn]),
            _mean([one.waited_s for one in turn]),
        ),
        critical=tuple(_difference([r[n].critical - r[0].critical for r in runs]) for n in led),
        essential=tuple(_difference([r[n].essential - r[0].essential for r in runs]) for n in led),
        every=tuple(_difference([r[n].every - r[0].every for r in runs]) for n in led),
        waited_s=tuple(_mean([r[n].waited_s for r in runs]) for n in led),
    )


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _difference(values: Sequence[float]) -> Difference:
    mean = _mean(values)
    if len(values) < 2:
        return Difference(mean, math.inf)
    spread = math.fsum((one - mean) ** 2 for one in values) / (len(values) - 1)
    return Difference(mean, math.sqrt(spread / len(values)))
