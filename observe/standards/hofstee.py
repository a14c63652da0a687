"""Hofstee's compromise: where the failure rate meets what the judges can bear."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from observe.domain.troubles import BadInput
from observe.standards.cut import CANDIDATES, PLAIN, Asking, Cut, Detail
from observe.standards.resampling import CELLS, Resampled, summed_up
from observe.standards.scores import Floats, candidates, scores_on

MEAN, MEDIAN = "mean", "median"
STATISTICS = (MEAN, MEDIAN)
RESAMPLES = 1000
ADVISED = 6
SMALL = 30
CLOSE = 1e-9
JUMP, STEP = "at a jump", "on a step"
ABOVE = "fail-rate curve is above the box"
BELOW = "fail-rate curve is below the box"


@dataclass(frozen=True, slots=True)
class Box:
    """What a judge can bear: the cut on the scores' scale, the share failing in percent.

    Raises BadInput if a lower limit is above the upper one or a rate is outside 0 to 100.
    """

    min_cut: float
    max_cut: float
    min_fail: float
    max_fail: float

    def __post_init__(self) -> None:
        fine = -1e100 < self.min_cut <= self.max_cut < 1e100
        if not (fine and 0 <= self.min_fail <= self.max_fail <= 100):
            raise BadInput(
                f"Cuts from {self.min_cut:g} to {self.max_cut:g} with {self.min_fail:g} to"
                f" {self.max_fail:g} % failing are no limits.",
                where="limits",
                remedy="Give each lower limit first, and failure rates from 0 to 100.",
            )

    def line(self, cut: Floats) -> Floats:
        """The failure rate on the line from (min cut, max fail) to (max cut, min fail)."""
        if self.max_cut == self.min_cut:
            return np.full_like(cut, self.max_fail)
        along = (cut - self.min_cut) / (self.max_cut - self.min_cut)
        return self.max_fail + along * (self.min_fail - self.max_fail)


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where line and curve meet; cut None where they do not, `where` then says on which side."""

    cut: float | None
    where: str


class Failing:
    """The failure rate as a step curve, in percent; cuts and rates of any one shape."""

    def __init__(self, scores: Floats) -> None:
        self.sorted = np.sort(scores)

    def at(self, cut: Floats | float) -> Floats:
        """Percent below the cut: those on it pass."""
        shift = CLOSE * np.maximum(1.0, np.abs(cut))
        return 100 * np.searchsorted(self.sorted, cut - shift, side="left") / len(self.sorted)

    def above(self, cut: Floats | float) -> Floats:
        """Percent failing just above: those on the cut fail too."""
        shift = CLOSE * np.maximum(1.0, np.abs(cut))
        return 100 * np.searchsorted(self.sorted, cut + shift, side="right") / len(self.sorted)


def crossing(scores: Floats, box: Box) -> Crossing:
    """Where the line meets the step curve of failures; scores of shape (n,), one or more.

    Going up from the lowest cut, the first that meets: at a score whose jump the line
    passes (who is on it passes), or on the level between two scores.
    """
    curve = Failing(scores)
    if box.min_cut == box.max_cut:
        return _one_cut(curve, box)
    inside = scores[(scores > box.min_cut) & (scores < box.max_cut)]
    points = np.concatenate([[box.min_cut], np.unique(inside), [box.max_cut]])
    rates, after, line = curve.at(points), curve.above(points), box.line(points)
    reached = np.flatnonzero(after >= line - CLOSE)
    if not len(reached):
        return Crossing(None, BELOW)
    first = int(reached[0])
    if rates[first] <= line[first] + CLOSE:
        return Crossing(float(points[first]), JUMP if after[first] > rates[first] else STEP)
    if not first:
        return Crossing(None, ABOVE)
    along = (box.max_fail - rates[first]) / (box.max_fail - box.min_fail)
    found = float(box.min_cut + along * (box.max_cut - box.min_cut))
    return Crossing(min(max(found, float(points[first - 1])), float(points[first])), STEP)


def _one_cut(curve: Failing, box: Box) -> Crossing:
    """Where the judges allow one cut only: it stands if its failure rate can be borne."""
    rate = float(curve.at(box.min_cut))
    if rate > box.max_fail + CLOSE:
        return Crossing(None, ABOVE)
    if rate < box.min_fail - CLOSE:
        return Crossing(None, BELOW)
    return Crossing(box.min_cut, STEP)


def hofstee(
    scores: Sequence[float | None],
    judges: Sequence[Box],
    *,
    statistic: str = MEAN,
    asking: Asking = PLAIN,
) -> Cut:
    """The cut where the judges' line meets the failure curve of these scores.

    judges: each one's limits; their mean, or median, is the box. The standard error
    resamples candidates, and judges where there are two or more. Not estimable without
    scores, and where line and curve do not meet. Raises BadInput without a judge, for
    another statistic, and for scores outside the scale. Source: Hofstee WKB (1983), in
    Anderson SB, Helmick JS (eds), On Educational Testing, 109-127.
    """
    if statistic not in STATISTICS:
        raise BadInput(
            f"There is no statistic {statistic!r} of judges' limits.",
            where="statistic",
            remedy=f"Use {MEAN} or {MEDIAN}.",
        )
    if not judges:
        raise BadInput("There is no judge.", where="judges", remedy="Give one judge's limits.")
    given = scores_on(scores, asking.scale)
    kept = given[~np.isnan(given)]
    gone = len(given) - len(kept)
    dropped = (f"{candidates(gone)} without a score left out.",) if gone else ()
    limits = np.array([[one.min_cut, one.max_cut, one.min_fail, one.max_fail] for one in judges])
    box = _box(limits, statistic)
    kind = statistic if len(judges) > 1 else ""
    asked = Cut(
        "hofstee",
        kind,
        asking.scale,
        asking.level,
        len(kept),
        CANDIDATES,
        len(given),
        dropped=dropped,
        seed=asking.seed,
    )
    if not len(kept):
        return asked.without("no candidate has a score.", judges=len(judges))
    met = crossing(kept, box)
    details = _details(kept, box, met, limits)
    if met.cut is None:
        return asked.without(f"no intersection: the {met.where}.", **details)
    again = resampled(kept, limits, statistic, asking)
    answer = asked.found(
        met.cut,
        se=again.se,
        limits=again.limits,
        interval="bootstrap percentile",
        details=details,
    )
    over = "candidates and judges" if len(judges) > 1 else "candidates"
    return answer.warned(*_warnings(len(kept), judges, box)).noted(
        f"Standard error and interval resample {over}.", again.note
    )


def resampled(
    scores: Floats, limits: Floats, statistic: str, asking: Asking, times: int = RESAMPLES
) -> Resampled:
    """Candidates resampled, and judges where there are two or more; the cut each time."""
    random = np.random.default_rng(asking.seed)
    times = max(100, min(times, CELLS * 20 // max(1, len(scores))))
    values, defined = np.zeros(times), np.zeros(times, dtype=bool)
    for turn in range(times):
        drawn = scores[random.integers(len(scores), size=len(scores))]
        judged = limits[random.integers(len(limits), size=len(limits))]
        met = crossing(drawn, _box(judged, statistic))
        if met.cut is not None:
            values[turn], defined[turn] = met.cut, True
        if asking.tick is not None and (turn + 1) % 50 == 0:
            asking.tick(turn + 1, times)
    return summed_up(values, defined, asking.level)


def _box(limits: Floats, statistic: str) -> Box:
    middle = limits.mean(axis=0) if statistic == MEAN else np.median(limits, axis=0)
    return Box(*(float(value) for value in middle))


def _details(scores: Floats, box: Box, met: Crossing, limits: Floats) -> dict[str, Detail]:
    curve = Failing(scores)
    details: dict[str, Detail] = {
        "judges": len(limits),
        "min_cut": box.min_cut,
        "max_cut": box.max_cut,
        "min_fail": box.min_fail,
        "max_fail": box.max_fail,
        "crosses": met.cut is not None,
        "where": met.where,
        "fail_rate_at_min_cut": float(curve.at(box.min_cut)),
        "fail_rate_at_max_cut": float(curve.at(box.max_cut)),
    }
    if met.cut is not None:
        details["fail_rate_line"] = float(box.line(np.array(met.cut)))
        details["fail_rate_at_cut"] = float(curve.at(met.cut))
        details["fail_rate_just_above_cut"] = float(curve.above(met.cut))
    return details


def _warnings(count: int, judges: Sequence[Box], box: Box) -> list[str]:
    said = []
    if count < SMALL:
        said.append(f"{candidates(count)}: one learner more or less moves the failure curve much.")
    if 1 < len(judges) < ADVISED:
        said.append(f"{len(judges)} judges: {ADVISED} or more are advised.")
    if box.max_fail <= 1:
        said.append("Failure rates are read in percent, and none is above 1 %.")
    return said
