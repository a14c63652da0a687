"""Contrasting groups: the cut that parts those judged qualified from those judged not."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from types import MappingProxyType

import numpy as np

from observe.domain.troubles import BadInput
from observe.standards import logistic
from observe.standards.cut import CANDIDATES, HALO, PLAIN, Asking, Cut, Detail
from observe.standards.errors import Loss, fewest
from observe.standards.resampling import bootstrap
from observe.standards.scores import Flags, Floats, Whole, below, candidates, paired

LOGISTIC, NORMAL, MIDPOINT, MEDIANS, ERRORS = (
    "logistic",
    "normal",
    "midpoint",
    "median midpoint",
    "fewest errors",
)
STATISTICS = (LOGISTIC, NORMAL, MIDPOINT, MEDIANS, ERRORS)
PERCENTILE, DELTA = "bootstrap percentile", "normal, by the delta method"
SMALL = 10
EVEN = Loss()


@dataclass(frozen=True, slots=True)
class Groups:
    """Scores of the two groups, each of shape (its size,)."""

    qualified: Floats
    others: Floats

    @property
    def all(self) -> Floats:
        """All scores, the qualified first."""
        return np.concatenate([self.qualified, self.others])


def contrasting_groups(
    scores: Sequence[float | None],
    qualified: Sequence[bool | None],
    *,
    statistic: str = LOGISTIC,
    loss: Loss = EVEN,
    asking: Asking = PLAIN,
) -> Cut:
    """The cut that parts those judged qualified (True) from those judged not (False).

    statistic: where the logistic curve passes one half, where two normal densities cross,
    midway between means or medians, or with the fewest wrong decisions.
    loss: what a false pass and a false fail cost, for the last. Standard errors resample
    within the groups, but the logistic one is by the delta method. Not estimable where a
    group is empty, and as each kind says. Raises BadInput for another statistic, and as
    `paired` does. Source: Livingston SA, Zieky MJ (1982), Passing Scores.
    """
    if statistic not in STATISTICS:
        raise BadInput(
            f"There is no statistic {statistic!r} of contrasting groups.",
            where="statistic",
            remedy=f"Use one of: {', '.join(STATISTICS)}.",
        )
    flags = [None if one is None else float(one) for one in qualified]
    y, q, dropped = paired(scores, flags, "group", asking.scale)
    groups = Groups(y[q == 1], y[q == 0])
    asked = Cut(
        "contrasting_groups",
        statistic,
        asking.scale,
        asking.level,
        len(y),
        CANDIDATES,
        len(scores),
        dropped=dropped,
        seed=None if statistic == LOGISTIC else asking.seed,
    )
    counts: dict[str, Detail] = {
        "n_qualified": len(groups.qualified),
        "n_not_qualified": len(groups.others),
    }
    for size, name in ((len(groups.qualified), "qualified"), (len(groups.others), "not qualified")):
        if not size:
            return asked.without(f"nobody was judged {name}.", **counts)
    details = {**counts, **_described(groups)}
    answer = _of_kind(asked, groups, details, loss, asking)
    return answer.warned(*_warnings(groups), HALO)


def _of_kind(
    asked: Cut, groups: Groups, details: dict[str, Detail], loss: Loss, asking: Asking
) -> Cut:
    if asked.statistic == LOGISTIC:
        return _logistic(asked, groups, details)
    if asked.statistic == ERRORS:
        return _errors(asked, groups, details, loss, asking)
    if asked.statistic == NORMAL:
        reason = no_crossing(groups)
        if reason:
            return asked.without(reason, **details)
    return _answer(asked, groups, details, VALUES[asked.statistic], asking)


def _logistic(asked: Cut, groups: Groups, details: dict[str, Detail]) -> Cut:
    reason = logistic.no_curve(groups.qualified, groups.others)
    if reason:
        if groups.others.max() < groups.qualified.min():
            between = float(groups.others.max() + groups.qualified.min()) / 2
            details["midpoint_between_groups"] = between
            reason += f" Midway between the groups is {between:g}."
        return asked.without(reason, **details)
    flags = np.repeat([1.0, 0.0], [len(groups.qualified), len(groups.others)])
    curve = logistic.fitted(groups.all, flags)
    if curve is None:
        return asked.without("the chance of being qualified does not change with score.", **details)
    half = NormalDist().inv_cdf((1 + asked.level) / 2) * curve.se
    details |= {
        "logit_intercept": curve.intercept,
        "logit_slope": curve.slope,
        "cut_50": curve.half,
        **_wrong(groups, curve.half),
    }
    answer = asked.found(
        curve.half,
        se=curve.se,
        limits=(curve.half - half, curve.half + half),
        interval=DELTA,
        details=details,
    )
    falls = "The curve falls: higher scores go with being judged not qualified."
    return answer.warned(falls if curve.slope < 0 else "").noted(
        "The 50 % point follows the share of qualified learners in the sample."
    )


def _errors(
    asked: Cut, groups: Groups, details: dict[str, Detail], loss: Loss, asking: Asking
) -> Cut:
    found = fewest(groups.qualified, groups.others, loss)
    if found is None:
        return asked.without("the fewest errors are made where nobody passes.", **details)
    details |= {
        "fewest_errors": found.errors,
        "fewest_errors_cut_min_score": found.lowest,
        "fewest_errors_cut_max_score": found.highest,
        "least_loss": found.loss,
    }

    def cuts(places: Whole) -> tuple[Floats, Flags]:
        scores, first = groups.all, len(groups.qualified)
        again = [fewest(scores[row[:first]], scores[row[first:]], loss) for row in places]
        values = np.array([0.0 if one is None else one.highest for one in again])
        return values, np.array([one is not None for one in again])

    sizes = [len(groups.qualified), len(groups.others)]
    resampled = bootstrap(cuts, sizes, asking, times=500)
    answer = asked.found(
        found.highest,
        se=resampled.se,
        limits=resampled.limits,
        interval=PERCENTILE,
        details={**details, **_wrong(groups, found.highest)},
    )
    tied = ""
    if found.lowest != found.highest:
        tied = (
            f"Cuts at {found.lowest:g} and {found.highest:g} make as few errors; the highest is"
            " taken, which passes fewest."
        )
    return answer.noted(tied, resampled.note)


def _answer(
    asked: Cut,
    groups: Groups,
    details: dict[str, Detail],
    values: Callable[[Floats, Floats], tuple[Floats, Flags]],
    asking: Asking,
) -> Cut:
    first = len(groups.qualified)

    def again(places: Whole) -> tuple[Floats, Flags]:
        drawn = groups.all[places]
        return values(drawn[:, :first], drawn[:, first:])

    found = float(values(groups.qualified[None, :], groups.others[None, :])[0][0])
    resampled = bootstrap(again, [first, len(groups.others)], asking)
    return asked.found(
        found,
        se=resampled.se,
        limits=resampled.limits,
        interval=PERCENTILE,
        details={**details, **_wrong(groups, found)},
    ).noted(resampled.note)


def no_crossing(groups: Groups) -> str:
    """Why two normal densities do not cross between the means, a sentence's end; or empty."""
    if min(len(groups.qualified), len(groups.others)) < 2:
        return "each group needs two or more candidates."
    if groups.qualified.mean() <= groups.others.mean():
        return "the qualified do not score higher on average."
    if not normal_crossings(groups.qualified[None, :], groups.others[None, :])[1][0]:
        return "the two normal densities do not cross between the means."
    return ""


def normal_crossings(qualified: Floats, others: Floats) -> tuple[Floats, Flags]:
    """Where normal densities of the groups' means and SDs cross between the means.

    Shapes (tables, n of a group). The groups count alike, whatever their sizes.
    """
    high, low = qualified.mean(axis=1), others.mean(axis=1)
    a, b = qualified.var(axis=1, ddof=1), others.var(axis=1, ddof=1)
    tiny = 1e-18 * np.maximum(1.0, np.maximum(high**2, low**2))
    defined = (a > tiny) & (b > tiny) & (high > low)
    a, b = np.where(defined, a, 1.0), np.where(defined, b, 1.0)
    # In t from the lower mean: (1/a - 1/b) t² - 2 d/a t + d²/a + ln(a/b) = 0, d between means.
    gap = np.where(defined, high - low, 1.0)
    square, linear, rest = 1 / a - 1 / b, -2 * gap / a, gap**2 / a + np.log(a / b)
    inner = linear**2 - 4 * square * rest
    defined &= inner >= 0
    # The root between the means is the one that stays finite when the variances are equal.
    t = 2 * rest / (-linear + np.sqrt(np.maximum(inner, 0.0)))
    defined &= (t >= 0) & (t <= gap)
    return low + t, np.asarray(defined)


def midpoints(qualified: Floats, others: Floats) -> tuple[Floats, Flags]:
    """Midway between the means; shapes (tables, n of a group)."""
    found = (qualified.mean(axis=1) + others.mean(axis=1)) / 2
    return found, np.ones(len(found), dtype=bool)


def median_midpoints(qualified: Floats, others: Floats) -> tuple[Floats, Flags]:
    """Midway between the medians; shapes (tables, n of a group)."""
    found = (np.median(qualified, axis=1) + np.median(others, axis=1)) / 2
    return found, np.ones(len(found), dtype=bool)


VALUES = MappingProxyType(
    {NORMAL: normal_crossings, MIDPOINT: midpoints, MEDIANS: median_midpoints}
)


def _described(groups: Groups) -> dict[str, Detail]:
    said: dict[str, Detail] = {
        "mean_qualified": float(groups.qualified.mean()),
        "mean_not_qualified": float(groups.others.mean()),
        "mean_midpoint": float(midpoints(groups.qualified[None, :], groups.others[None, :])[0][0]),
        "median_midpoint": float(
            median_midpoints(groups.qualified[None, :], groups.others[None, :])[0][0]
        ),
    }
    for name, group in (("qualified", groups.qualified), ("not_qualified", groups.others)):
        if len(group) > 1:
            said[f"sd_{name}"] = math.sqrt(float(group.var(ddof=1)))
    return said


def _wrong(groups: Groups, cut: float) -> dict[str, Detail]:
    return {
        "false_pass": int((~below(groups.others, cut)).sum()),
        "false_fail": int(below(groups.qualified, cut).sum()),
    }


def _warnings(groups: Groups) -> list[str]:
    said = []
    for name, group in (("qualified", groups.qualified), ("not qualified", groups.others)):
        if len(group) < SMALL:
            said.append(f"{candidates(len(group))} judged {name}: under {SMALL} it is unstable.")
    if groups.qualified.mean() <= groups.others.mean():
        said.append("The qualified do not score higher on average: the scores do not part them.")
    return said
