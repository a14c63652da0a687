"""The arithmetic of agreement, for many tables at once.

Every function takes `codes` of shape (tables, units, observers): the place of a category,
-1 where a rating is missing. A panel of steps and a thousand resamples are the same call
as one table. Where few things were said in all, `patterns` says each once, and how often
in each table: `times`, which every function takes too.

All values are 1 - D/E, with D the observed and E the expected mean distance
(`weights.Distance`), so a weight of agreement is 1 less a distance.

Each answer carries `parts`: what each unit adds to the value above or below its mean, so
that its standard error, also over clusters of units, is a root of a sum of squares.
Sources: Gwet KL (2014), Handbook of Inter-Rater Reliability, 4th ed., Advanced Analytics,
chapters 2, 3 and 5 (linearised variances); Krippendorff K (2011), Computing Krippendorff's
alpha-reliability; Fleiss JL, Cohen J, Everitt BS (1969), Psychological Bulletin 72:323-327.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from observe.agreement.ratings import Whole
from observe.agreement.weights import Distance, Floats

Flags: TypeAlias = NDArray[np.bool_]

FLAT = 1e-12
MOST_PATTERNS = 4096


@dataclass(frozen=True, eq=False)
class Answers:
    """One coefficient of each table; shapes (tables,), but `parts`.

    value: 0 where `defined` is false. observed, expected: mean distances D and E. n: units
    that count, `counted` which, shape (tables, units), and `times` how often each stands for
    one. parts: shape (tables, units), 0 for units that do not count and where nothing
    differs between units.
    """

    value: Floats
    observed: Floats
    expected: Floats
    n: Whole
    defined: Flags
    counted: Flags
    parts: Floats
    times: Whole | None = None

    def one(self, place: int) -> Answers:
        """The answer of one of the tables alone."""
        here = slice(place, place + 1)
        alike = self.times is None or len(self.times) == 1
        return Answers(
            self.value[here],
            self.observed[here],
            self.expected[here],
            self.n[here],
            self.defined[here],
            self.counted[here],
            self.parts[here],
            self.times if alike else self.times[here],  # type: ignore[index] # it is none if alike
        )

    @property
    def error(self) -> Floats:
        """Standard errors from the spread between units, n - 1 below; 0 where there is none."""
        below = np.maximum(self.n * (self.n - 1), 1)
        return np.asarray(np.sqrt(_sum(self.parts**2, self.times) / below))

    def clustered(self, cluster: Whole) -> tuple[Floats, Whole]:
        """Standard errors where units of a cluster depend on each other, and how many clusters.

        cluster: shape (units,), which cluster each unit belongs to. Parts are added up
        within clusters. Source: Rogers W (1993), Stata Technical Bulletin 13:19-23.
        """
        _, place = np.unique(cluster, return_inverse=True)
        count = int(place.max(initial=-1)) + 1
        offset = (place + np.arange(len(self.parts))[:, None] * count).ravel()
        size = len(self.parts) * count
        times = 1 if self.times is None else self.times
        sums = np.bincount(offset, (self.parts * times).ravel(), size).reshape(-1, count)
        used = np.bincount(offset[self.counted.ravel()], minlength=size).reshape(-1, count)
        clusters = np.count_nonzero(used, axis=1)
        scale = clusters / np.maximum(clusters - 1, 1)
        error = np.sqrt(scale * (sums**2).sum(axis=1)) / np.maximum(self.n, 1)
        return np.asarray(error), clusters


@dataclass(frozen=True, eq=False)
class Within:
    """What was said of each unit; shapes (tables, units).

    given: ratings. apart: mean distance within pairs of ratings, 0 where there is no pair.
    rated, shared: whether there are one or more, two or more ratings, and the unit counts.
    """

    given: Whole
    apart: Floats
    rated: Flags
    shared: Flags


def patterns(codes: Whole, q: int) -> tuple[Whole, Whole] | None:
    """What was said of units, each way once, and how often in each table; None if too many ways.

    codes: shape (tables, units, observers). The first answer, shape (1, ways, observers),
    with the second, (tables, ways), as `times` gives what `codes` give, in a time that
    hardly grows with q and the observers. Units keep no order, so not for clusters.
    """
    tables, units, width = codes.shape
    ways = (q + 1) ** width if width * np.log2(q + 1) <= 32 else MOST_PATTERNS + 1
    if ways > min(MOST_PATTERNS, max(units, 1)):
        return None
    keys = np.zeros((tables, units), dtype=np.int64)
    for column in range(width):
        keys *= q + 1
        keys += codes[..., column]
        keys += 1
    keys += np.arange(tables)[:, None] * ways
    times = np.bincount(keys.ravel(), minlength=tables * ways).reshape(tables, ways)
    seen = np.flatnonzero(times.any(axis=0))
    steps = (q + 1) ** np.arange(width - 1, -1, -1)
    return (seen[:, None] // steps % (q + 1) - 1)[None], times[:, seen]


def within(codes: Whole, distance: Distance, times: Whole | None = None) -> Within:
    """Ratings per unit and how far they lie apart, the order of observers of no account.

    times: shape (tables, units), how often each unit stands for one; `codes` may then be
    of shape (1, units, observers), the same for all tables.
    """
    there = codes >= 0
    given = there.sum(axis=2)
    total = np.zeros(given.shape)
    for shift in range(1, codes.shape[2]):
        both = there[..., shift:] & there[..., :-shift]
        far = distance.between(codes[..., shift:], codes[..., :-shift])
        total = total + np.where(both, far, 0.0).sum(axis=2)
    some = np.True_ if times is None else times > 0
    apart = total / np.maximum(given * (given - 1) / 2, 1)
    return Within(given, apart, (given >= 1) & some, (given >= 2) & some)


def percent(codes: Whole, distance: Distance, times: Whole | None = None) -> Answers:
    """Mean agreement within pairs of ratings, averaged over units; nothing is expected."""
    found = within(codes, distance, times)
    observed = _mean(found.apart, found.shared, times)
    n, pairs = _sum(found.rated, times), _sum(found.shared, times)
    agreed = np.where(found.shared, 1 - found.apart, 0.0)
    ratio = n / np.maximum(pairs, 1)
    parts = ratio[:, None] * agreed - (1 - observed)[:, None]
    defined: Flags = np.asarray(pairs > 0)
    parts = _level(parts, agreed, found.rated & defined[:, None])
    value = np.where(defined, 1 - observed, 0.0)
    ones = np.ones(len(value))
    return Answers(value, observed, ones, n, defined, found.rated, parts, times)


def by_shares(codes: Whole, distance: Distance, times: Whole | None = None) -> Answers:
    """Scott's pi, Fleiss' kappa and their form for any number of ratings per unit."""
    found = within(codes, distance, times)
    shares = category_shares(codes, distance.q, found, times)
    across = distance.across(shares)
    expected = np.einsum("tq,tq->t", shares, across)
    varied = (shares > 0).sum(axis=1) > 1
    return _corrected(found, expected, of_units(across, codes, found.given), varied, times)


def by_spread(codes: Whole, distance: Distance, times: Whole | None = None) -> Answers:
    """Gwet's AC1, and AC2 where distances are weighted; q must be 2 or more."""
    found = within(codes, distance, times)
    shares = category_shares(codes, distance.q, found, times)
    q = distance.q
    rest = (1 - distance.mean) * q / (q - 1) * (1 - shares)
    expected = 1 - np.einsum("tq,tq->t", shares, rest)
    always = np.ones(len(shares), dtype=bool)
    chance = 1 - of_units(rest, codes, found.given)
    return _corrected(found, expected, chance, always, times)


def by_number(codes: Whole, distance: Distance, times: Whole | None = None) -> Answers:
    """Brennan-Prediger: every category as likely as any other."""
    found = within(codes, distance, times)
    expected = np.full(len(found.rated), distance.mean)
    always = np.full(len(found.rated), distance.mean > 0)
    return _corrected(found, expected, expected[:, None], always, times)


def by_observers(codes: Whole, distance: Distance, times: Whole | None = None) -> Answers:
    """Conger's kappa: each observer with the shares of all of their own ratings.

    Not defined where an observer has no rating. Source: Conger AJ (1980), Psychological
    Bulletin 88:322-328; variance: Gwet (2014), chapter 5.
    """
    width = codes.shape[2]
    found = within(codes, distance, times)
    there = codes >= 0
    counts = _sum(there, None if times is None else times[..., None])
    own = observer_shares(codes, distance.q, times)
    others = own.sum(axis=1, keepdims=True) - own
    across = distance.across(others.reshape(-1, distance.q)).reshape(own.shape)
    mean = np.einsum("tgq,tgq->tg", own, across)
    pairs = max(width * (width - 1), 1)
    expected = mean.sum(axis=1) / pairs
    n = _sum(found.rated, times)
    by_unit = np.repeat(expected[:, None], codes.shape[1], axis=1)
    for column in range(width):
        picked = _pick(across[:, column], codes[..., column]) - mean[:, column, None]
        scale = n / np.maximum(counts[:, column], 1) / pairs
        by_unit += np.where(there[..., column], picked, 0.0) * scale[:, None]
    varied = (own.sum(axis=1) > 0).sum(axis=1) > 1
    return _corrected(found, expected, by_unit, varied & (counts > 0).all(axis=1), times)


def by_coincidence(codes: Whole, distance: Distance, times: Whole | None = None) -> Answers:
    """Krippendorff's alpha: units with two or more ratings, a small-sample correction.

    The variance is that of Gwet (2014), with unit values about the uncorrected agreement.
    """
    found = within(codes, distance, times)
    shared = found.shared
    n = _sum(shared, times)
    ratings = np.where(shared, found.given, 0)
    values = _sum(ratings, times)
    share = ratings * (n / np.maximum(values, 1))[:, None]
    whole = coincidence_margins(codes, distance.q, times)
    margins = whole / np.maximum(values, 1)[:, None]
    across = distance.across(margins)
    expected = np.einsum("tq,tq->t", margins, across)
    observed = _sum(share * found.apart, times) / np.maximum(n, 1)
    defined = ((margins > 0).sum(axis=1) > 1) & (expected > 0)
    below = np.where(defined, expected, 1.0)
    ratio = np.where(defined, observed / below, 0.0)
    value = 1 - ratio * (values - 1) / np.maximum(values, 1)
    by_unit = of_units(across, codes, found.given)
    own = share * (observed[:, None] - found.apart)
    chance = 2 * ratio[:, None] * share * (expected[:, None] - by_unit)
    parts = (own - chance) / below[:, None]
    parts = _level(parts, parts + 1, shared & defined[:, None])
    bare = np.where(defined, expected * values / np.maximum(values - 1, 1), 0.0)
    value = np.where(defined, value, 0.0)
    return Answers(value, observed, bare, n, defined, shared, parts, times)


def by_margins(codes: Whole, distance: Distance, times: Whole | None = None) -> Answers:
    """Cohen's kappa of two observers over the units both rated, with any distances.

    codes: shape (tables, units, 2). The variance (n below, not n - 1) is equation 8 of
    Fleiss, Cohen & Everitt (1969), written unit by unit; `parts` are scaled for it.
    """
    first, second = codes[..., 0], codes[..., 1]
    both = (first >= 0) & (second >= 0)
    both = both if times is None else both & (times > 0)
    n = _sum(both, times)
    far = np.where(both, distance.between(first, second), 0.0)
    rows, columns = margins(codes, distance.q, times)
    by_row, by_column = distance.across(columns), distance.across(rows, turned=True)
    whole = np.einsum("tq,tq->t", rows, by_row)
    many, total = np.maximum(n, 1), _sum(far, times)
    defined = (((rows + columns) > 0).sum(axis=1) > 1) & (whole > 0)
    # Counts, not shares, so that equal numbers divide to exactly 1.
    ratio = np.where(defined, many * total / np.where(defined, whole, 1.0), 0.0)
    observed, expected = total / many, whole / many / many
    below = np.where(defined, expected, 1.0)
    means = (_pick(by_row, first) + _pick(by_column, second)) / many[:, None]
    spread = (ratio[:, None] * means - far) / below[:, None]
    parts = _level(spread - ratio[:, None], spread, both & defined[:, None])
    parts = parts * np.sqrt(np.maximum(n - 1, 0) / many)[:, None]
    value = np.where(defined, 1 - ratio, 0.0)
    return Answers(value, observed, expected, n, defined, both, parts, times)


def null_error(rows: Floats, columns: Floats, n: int, distance: Distance) -> float:
    """Standard error of Cohen's kappa where kappa is 0, for a test only.

    rows, columns: the observers' shares, shape (q,). Source: Fleiss, Cohen & Everitt
    (1969), equation 9; it is the spread of distances beyond what rows and columns explain.
    """
    by_row = distance.across(columns[None, :])[0]
    by_column = distance.across(rows[None, :], turned=True)[0]
    expected = float(rows @ by_row)
    if expected <= 0 or not n:
        return 0.0
    used, others = np.flatnonzero(rows), np.flatnonzero(columns)
    rest = distance.between(used[None, :, None], others[None, None, :])[0]
    rest = rest - by_row[used][:, None] - by_column[others] + expected
    spread = float(rows[used] @ (rest**2) @ columns[others])
    error = float(np.sqrt(spread / n)) / expected
    return error if error > FLAT else 0.0


def margins(codes: Whole, q: int, times: Whole | None = None) -> tuple[Floats, Floats]:
    """How often the first and the second of two used each category, over units both rated."""
    both = (codes >= 0).all(axis=2)
    first, second = (np.where(both, codes[..., column], -1)[..., None] for column in (0, 1))
    return _tally(first, q, times), _tally(second, q, times)


def category_shares(codes: Whole, q: int, found: Within, times: Whole | None = None) -> Floats:
    """Mean over rated units of the share of each category; shape (tables, q)."""
    each = (1 if times is None else times) / np.maximum(found.given, 1)
    rated = np.maximum(_sum(found.rated, times), 1)[:, None]
    return np.asarray(_tally(codes, q, each, shared=times is not None) / rated)


def observer_shares(codes: Whole, q: int, times: Whole | None = None) -> Floats:
    """Share of each category among an observer's ratings; shape (tables, observers, q)."""
    columns = [_tally(codes[..., [column]], q, times) for column in range(codes.shape[2])]
    own = np.stack(columns, axis=1)
    return np.asarray(own / np.maximum(own.sum(axis=2, keepdims=True), 1))


def coincidence_margins(codes: Whole, q: int, times: Whole | None = None) -> Floats:
    """How often each category was used in units with two or more ratings; (tables, q)."""
    shared = (codes >= 0).sum(axis=2, keepdims=True) >= 2
    return _tally(np.where(shared, codes, -1), q, times)


def of_units(weight: Floats, codes: Whole, given: Whole) -> Floats:
    """Mean over each unit's ratings of a weight per category; shape (tables, units)."""
    total = np.zeros((len(weight), codes.shape[1]))
    for column in range(codes.shape[2]):
        here = codes[..., column]
        total += np.where(here >= 0, _pick(weight, here), 0.0)
    return np.asarray(total / np.maximum(given, 1))


def _pick(weight: Floats, codes: Whole) -> Floats:
    """The weight of each category; weight (tables, q), codes (tables or 1, units)."""
    if len(codes) == 1:
        return weight[:, codes[0]]
    return np.take_along_axis(weight, np.maximum(codes, 0), axis=1)


def _corrected(
    found: Within, expected: Floats, by_unit: Floats, varied: Flags, times: Whole | None
) -> Answers:
    """1 - D/E with the variance of Gwet (2014): units rated once tell of chance alone."""
    n, pairs = _sum(found.rated, times), _sum(found.shared, times)
    observed = _mean(found.apart, found.shared, times)
    defined = (pairs > 0) & varied & (expected > 0)
    below = np.where(defined, expected, 1.0)
    ratio = np.where(defined, observed / below, 0.0)
    factor = (n / np.maximum(pairs, 1))[:, None]
    own = factor * np.where(found.shared, expected[:, None] - found.apart, 0.0)
    own = (own - 2 * ratio[:, None] * (expected[:, None] - by_unit)) / below[:, None]
    parts = _level(own - (1 - ratio)[:, None], own, found.rated & defined[:, None])
    value = np.where(defined, 1 - ratio, 0.0)
    return Answers(value, observed, expected, n, defined, found.rated, parts, times)


def _level(parts: Floats, sizes: Floats, counted: Flags) -> Floats:
    """Parts of the units that count; all 0 in a table where they differ by rounding alone."""
    parts = np.where(counted, parts, 0.0)
    largest = np.where(counted, np.abs(sizes), 0.0).max(axis=1, initial=1.0)
    flat = np.abs(parts).max(axis=1, initial=0.0) <= FLAT * largest
    return np.where(flat[:, None], 0.0, parts)


def _sum(values: NDArray[Any], times: Whole | None) -> NDArray[Any]:
    """Sum over units, each as often as it stands for one."""
    return np.asarray(values.sum(axis=1) if times is None else (values * times).sum(axis=1))


def _mean(values: Floats, where: Flags, times: Whole | None) -> Floats:
    total = _sum(np.where(where, values, 0.0), times)
    return np.asarray(total / np.maximum(_sum(where, times), 1))


def _tally(
    codes: Whole, q: int, weight: NDArray[Any] | None = None, *, shared: bool = True
) -> Floats:
    """How often each category occurs, or with what weight per unit; shape (tables, q).

    codes: shape (tables, units, observers). weight: shape (tables, units); `shared` says
    that `codes` are the same few for all tables.
    """
    there = codes >= 0
    if weight is not None and shared and len(codes) == 1:
        units = codes.shape[1]
        offset = (codes[0] + np.arange(units)[:, None] * q)[there[0]]
        each_unit = np.bincount(offset, minlength=units * q).reshape(units, q)
        return np.asarray(weight, dtype=np.float64) @ each_unit
    tables = len(codes)
    offset = (codes + np.arange(tables)[:, None, None] * q)[there]
    each = None if weight is None else np.broadcast_to(weight[..., None], codes.shape)[there]
    found = np.bincount(offset, each, minlength=tables * q)
    return np.asarray(found, dtype=np.float64).reshape(tables, q)
