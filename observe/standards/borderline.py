"""The borderline group: what those scored whom observers graded borderline."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from observe.domain.troubles import BadInput
from observe.standards.cut import CANDIDATES, HALO, PLAIN, STUDENT, Asking, Cut, Detail, student
from observe.standards.resampling import Resampled, bootstrap
from observe.standards.scores import Flags, Floats, Whole, below, candidates, paired

MEDIAN, MEAN = "median", "mean"
STATISTICS = (MEDIAN, MEAN)
FEWEST = 2
SMALL = 10
PERCENTILE = "bootstrap percentile"


def borderline_group(
    scores: Sequence[float | None],
    grades: Sequence[float | None],
    *,
    borderline: float,
    statistic: str = MEDIAN,
    asking: Asking = PLAIN,
) -> Cut:
    """The median, or the mean, of the scores that were graded borderline.

    The mean's standard error is SD/√n with Student's t; the median's is resampled within
    the group. Not estimable with fewer than 2 in the group. Raises BadInput for another
    statistic, and as `paired` does. Source: Livingston SA, Zieky MJ (1982), Passing Scores.
    """
    if statistic not in STATISTICS:
        raise BadInput(
            f"There is no statistic {statistic!r} of a borderline group.",
            where="statistic",
            remedy=f"Use {MEDIAN} or {MEAN}.",
        )
    y, g, dropped = paired(scores, grades, "grade", asking.scale)
    group = y[g == borderline]
    n = len(group)
    asked = Cut(
        "borderline_group",
        statistic,
        asking.scale,
        asking.level,
        n,
        CANDIDATES,
        len(scores),
        dropped=dropped,
        seed=asking.seed if statistic == MEDIAN else None,
    )
    if n < FEWEST:
        who = "nobody was" if not n else "one candidate was"
        need = "" if not n else f", and {FEWEST} are needed"
        return asked.without(f"{who} graded borderline{need}.", borderline_grade=borderline)
    again = _resampled(group, asking) if statistic == MEDIAN else None
    return _answer(asked, group, y, borderline, again)


def _resampled(group: Floats, asking: Asking) -> Resampled:
    def medians(places: Whole) -> tuple[Floats, Flags]:
        found = np.median(group[places], axis=1)
        return found, np.ones(len(found), dtype=bool)

    return bootstrap(medians, [len(group)], asking)


def _answer(
    asked: Cut, group: Floats, scores: Floats, borderline: float, again: Resampled | None
) -> Cut:
    n = len(group)
    mean, median = float(group.mean()), float(np.median(group))
    deviation = float(group.std(ddof=1)) if group.max() > group.min() else 0.0
    value = mean if again is None else median
    details: dict[str, Detail] = {
        "borderline_grade": borderline,
        "median": median,
        "mean": mean,
        "sd": deviation,
        "fail_count": int(below(scores, value).sum()),
    }
    se, limits, interval = None, None, STUDENT
    if deviation and again is None:
        se = deviation / math.sqrt(n)
        limits = student(value, se, n - 1, asked.level)
    elif deviation and again is not None:
        se, limits, interval = again.se, again.limits, PERCENTILE
    same = "" if deviation else "All scores of the group are the same: no standard error is given."
    few = f"{candidates(n)} in the borderline group: under {SMALL} the cut is unstable."
    answer = asked.found(value, se=se, limits=limits, interval=interval, details=details)
    return answer.warned(few if n < SMALL else "", HALO).noted(same)
