"""Angoff: judges say, item by item, what a borderline learner would earn; in rounds if wished."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from observe.domain.troubles import BadInput
from observe.standards.cut import JUDGES, PLAIN, STUDENT, Asking, Cut, Detail, Scale, student
from observe.standards.panel import Seen, outlying
from observe.standards.scores import Floats

ADVISED, ADVISED_WITH_TALK = 10, 6


@dataclass(frozen=True, slots=True)
class Judgement:
    """What one judge expects of one item: a share of its points, 0 to 1; None if missing."""

    judge: str
    item: str
    value: float | None
    round: int = 1


@dataclass(frozen=True, slots=True)
class JudgedItem:
    """One item. mean, sd: of the judges' shares; None where too few judged it."""

    item: str
    points: float
    judges: int
    mean: float | None
    sd: float | None


@dataclass(frozen=True, slots=True)
class Judge:
    """One judge.

    total: in points, None with a gap. lean: how far their shares lie above the other
    judges' on the same items, on average; None where nobody else judged one of them.
    outlier: whether `outlying` says so.
    """

    judge: str
    judged: int
    total: float | None
    lean: float | None
    outlier: bool


@dataclass(frozen=True, slots=True)
class Round:
    """One round: its cut, items in order of appearance, and judges likewise."""

    round: int
    cut: Cut
    items: tuple[JudgedItem, ...]
    judges: tuple[Judge, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """From one round to the next.

    cut: its move. sd_before, sd_after: of the judges' totals. All in points, None where a
    round has none. changed: judgements that differ, of those compared, made in both.
    """

    before: int
    after: int
    cut: float | None
    sd_before: float | None
    sd_after: float | None
    changed: int
    compared: int


@dataclass(frozen=True, slots=True)
class Angoff:
    """All rounds, and what changed between them; the last round makes the cut."""

    rounds: tuple[Round, ...]
    changes: tuple[Change, ...]

    @property
    def cut(self) -> Cut:
        return self.rounds[-1].cut


def angoff(
    judgements: Iterable[Judgement],
    *,
    points: Mapping[str, float] | None = None,
    asking: Asking = PLAIN,
) -> Angoff:
    """The sum over items of the mean judgement, in points; of each round, the last one counts.

    points: what each item can earn; 1 where it is not named. Its sum is the scale's
    maximum, whatever `asking` says. Means are over the judges present at each item. The
    standard error is a jackknife over judges; without gaps it is the SD of their totals
    over the root of their number. Raises BadInput if there is no judgement, one is outside
    0 to 1, is given twice, or an item's points are not above 0. Sources: Angoff WH (1971),
    in Thorndike RL (ed.), Educational Measurement, 508-600; Efron B, Tibshirani RJ (1993),
    An Introduction to the Bootstrap, chapter 11.
    """
    rounds = _by_round(judgements)
    worth = dict(points or {})
    items = list(dict.fromkeys(item for table in rounds.values() for _, item in table))
    _check_points(worth, items)
    weights = np.array([worth.get(item, 1.0) for item in items], dtype=np.float64)
    found = tuple(
        _round(number, rounds[number], items, weights, asking) for number in sorted(rounds)
    )
    changes = tuple(_change(first, second, rounds) for first, second in pairwise(found))
    return Angoff(found, changes)


def _by_round(
    judgements: Iterable[Judgement],
) -> dict[int, dict[tuple[str, str], float | None]]:
    rounds: dict[int, dict[tuple[str, str], float | None]] = {}
    for one in judgements:
        table = rounds.setdefault(one.round, {})
        if one.value is not None and not 0 <= one.value <= 1:
            raise BadInput(
                f"{one.judge} expects {one.value:g} of {one.item}: no share of its points.",
                where=one.item,
                remedy="Give shares from 0 to 1.",
            )
        if (one.judge, one.item) in table:
            raise BadInput(
                f"{one.judge} judged {one.item} twice in round {one.round}.",
                where=one.item,
                remedy="Keep one of the two, or number the rounds.",
            )
        table[one.judge, one.item] = one.value
    if not rounds:
        raise BadInput(
            "There is no judgement.", where="judgements", remedy="Give one for each judge and item."
        )
    return rounds


def _check_points(worth: Mapping[str, float], items: Sequence[str]) -> None:
    for item in items:
        if not 0 < worth.get(item, 1.0) < 1e100:
            raise BadInput(
                f"{item} is worth {worth[item]:g} points.",
                where=item,
                remedy="Give each item points above 0.",
            )


def _round(
    number: int,
    table: Mapping[tuple[str, str], float | None],
    items: list[str],
    points: Floats,
    asking: Asking,
) -> Round:
    names = list(dict.fromkeys(judge for judge, _ in table))
    places = {item: place for place, item in enumerate(items)}
    values = np.full((len(names), len(items)), np.nan)
    rows = {name: row for row, name in enumerate(names)}
    for (judge, item), value in table.items():
        values[rows[judge], places[item]] = np.nan if value is None else value
    silent = [name for name in names if np.isnan(values[rows[name]]).all()]
    kept = [name for name in names if name not in silent]
    seen = Seen(values[[rows[name] for name in kept]], points)
    said = (f"Without any judgement, left out: {', '.join(silent)}.",) if silent else ()
    asked = Cut(
        "angoff",
        "",
        Scale("raw", float(points.sum())),
        asking.level,
        len(kept),
        JUDGES,
        len(names),
        dropped=said,
    )
    flags = outlying(seen.leans)
    judges = tuple(
        Judge(name, int(count), total, lean, flag)
        for name, count, total, lean, flag in zip(
            kept, seen.per_judge, seen.totals, seen.leans, flags, strict=True
        )
    )
    judged = tuple(
        JudgedItem(item, float(worth), int(count), mean, sd)
        for item, worth, count, mean, sd in zip(
            items, points, seen.per_item, seen.means, seen.deviations, strict=True
        )
    )
    return Round(
        number,
        _cut(asked, seen, items, [one.judge for one in judges if one.outlier]),
        judged,
        judges,
    )


def _cut(asked: Cut, seen: Seen, items: list[str], outliers: list[str]) -> Cut:
    unjudged = [item for item, count in zip(items, seen.per_item, strict=True) if not count]
    if unjudged:
        verb = "was" if len(unjudged) == 1 else "were"
        return asked.without(f"{', '.join(unjudged)} {verb} judged by nobody.")
    value = seen.cut
    se = seen.jackknife()
    details: dict[str, Detail] = {
        "item_means": seen.means,
        "judge_totals": seen.totals,
        "cut_percent": 100 * value / float(seen.points.sum()),
        "missing": seen.missing,
    }
    if seen.sd is not None:
        details["sd_judges"] = seen.sd
    if se:
        details["se_cut"] = se
        details["se_percent"] = 100 * se / float(seen.points.sum())
    limits = student(value, se, asked.n - 1, asked.level) if se else None
    answer = asked.found(value, se=se or None, limits=limits, interval=STUDENT, details=details)
    return answer.warned(*_warnings(asked.n, outliers)).noted(*_notes(asked.n, seen, se))


def _warnings(judges: int, outliers: list[str]) -> list[str]:
    said = []
    if judges < ADVISED:
        noun = "judge" if judges == 1 else "judges"
        said.append(
            f"{judges} {noun}: {ADVISED} are advised without discussion, {ADVISED_WITH_TALK} with"
            " it (Fowell and others 2008)."
        )
    if outliers:
        said.append(f"Far from the other judges, and kept: {', '.join(outliers)}.")
    return said


def _notes(judges: int, seen: Seen, se: float | None) -> list[str]:
    said = []
    if seen.missing:
        noun = "judgement is" if seen.missing == 1 else "judgements are"
        few, most = min(seen.per_item), max(seen.per_item)
        span = f"{few}" if few == most else f"{few} to {most}"
        said.append(
            f"{seen.missing:,} {noun} missing: means are over the {span} judges of each item;"
            " totals of judges with a gap are not summed."
        )
    if se is None and judges < 2:
        said.append("One judge has no spread: no standard error is given.")
    elif se is None:
        said.append("An item was judged by one judge only: no standard error is given.")
    elif not se:
        said.append("The judges agree exactly: no standard error is given.")
    return said


def _change(
    first: Round,
    second: Round,
    rounds: Mapping[int, Mapping[tuple[str, str], float | None]],
) -> Change:
    old, new = rounds[first.round], rounds[second.round]
    both = [
        (old[key], new[key]) for key in old if old[key] is not None and new.get(key) is not None
    ]
    values = first.cut.value, second.cut.value
    moved = None if values[0] is None or values[1] is None else values[1] - values[0]
    spreads = [
        value if isinstance(value, float) and math.isfinite(value) else None
        for value in (one.cut.details.get("sd_judges") for one in (first, second))
    ]
    return Change(
        before=first.round,
        after=second.round,
        cut=moved,
        sd_before=spreads[0],
        sd_after=spreads[1],
        changed=sum(before != after for before, after in both),
        compared=len(both),
    )
