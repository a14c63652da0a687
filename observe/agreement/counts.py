"""The arithmetic of agreement, for many tables at once.

Every function takes `codes` of shape (tables, units, observers): the place of a category,
-1 where a rating is missing. A panel of steps and a thousand resamples are the same call
as one table. All values are 1 - D/E, with D the observed and E the expected mean distance
(`weights.Distance`), so a weight of agreement is 1 less a distance.

Each answer carries `parts`: what each unit adds to the value above or below its mean, so
that its standard error, also over clusters of units, is a root of a sum of squares.
Sources: Gwet KL (2014), Handbook of Inter-Rater Reliability, 4th ed., Advanced Analytics,
chapters 2, 3 and 5 (linearised variances); Krippendorff K (2011), Computing Krippendorff's
alpha-reliability; Fleiss JL, Cohen J, Everitt BS (1969), Psychological Bulletin 72:323-327.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from observe.agreement.ratings import Whole
from observe.agreement.weights import Distance, Floats

Flags: TypeAlias = NDArray[np.bool_]

FLAT = 1e-12


@dataclass(frozen=True, eq=False)
class Answers:
    """One coefficient of each table; shapes (tables,), but `parts`.

    value: 0 where `defined` is false. observed, expected: mean distances D and E. n: units
    that count, `counted` which, shape (tables, units). parts: shape (tables, units), 0 for
    units that do not count and where nothing differs between units.
    """

    value: Floats
    observed: Floats
    expected: Floats
    n: Whole
    defined: Flags
    counted: Flags
    parts: Floats

    @property
    def error(self) -> Floats:
        """Standard errors from the spread between units, n - 1 below; 0 where there is none."""
        below = np.maximum(self.n * (self.n - 1), 1)
        return np.asarray(np.sqrt((self.parts**2).sum(axis=1) / below))

    def clustered(self, cluster: Whole) -> tuple[Floats, Whole]:
        """Standard errors where units of a cluster depend on each other, and how many clusters.

        cluster: shape (units,), which cluster each unit belongs to. Parts are added up
        within clusters. Source: Rogers W (1993), Stata Technical Bulletin 13:19-23.
        """
        _, place = np.unique(cluster, return_inverse=True)
        count = int(place.max(initial=-1)) + 1
        offset = (place + np.arange(len(self.parts))[:, None] * count).ravel()
        size = len(self.parts) * count
        sums = np.bincount(offset, self.parts.ravel(), size).reshape(-1, count)
        used = np.bincount(offset[self.counted.ravel()], minlength=size).reshape(-1, count)
        clusters = np.count_nonzero(used, axis=1)
        scale = clusters / np.maximum(clusters - 1, 1)
        error = np.sqrt(scale * (sums**2).sum(axis=1)) / np.maximum(self.n, 1)
        return np.asarray(error), clusters


@dataclass(frozen=True, eq=False)
class Within:
    """What was said of each unit; shapes (tables, units).

    given: ratings. apart: mean distance within pairs of ratings, 0 where there is no pair.
    """

    given: Whole
    apart: Floats

    @property
    def rated(self) -> Flags:
        return np.asarray(self.given >= 1)

    @property
    def shared(self) -> Flags:
        return np.asarray(self.given >= 2)


def within(codes: Whole, distance: Distance) -> Within:
    """Ratings per unit and how far they lie apart, the order of observers of no account."""
    there = codes >= 0
    given = there.sum(axis=2)
    total = np.zeros(given.shape)
    for shift in range(1, codes.shape[2]):
        both = there[..., shift:] & there[..., :-shift]
        far = distance.between(codes[..., shift:], codes[..., :-shift])
        total += np.where(both, far, 0.0).sum(axis=2)
    return Within(given, total / np.maximum(given * (given - 1) / 2, 1))


def percent(codes: Whole, distance: Distance) -> Answers:
    """Mean agreement within pairs of ratings, averaged over units; nothing is expected."""
    found = within(codes, distance)
    observed = _mean(found.apart, found.shared)
    n = found.rated.sum(axis=1)
    agreed = np.where(found.shared, 1 - found.apart, 0.0)
    ratio = n / np.maximum(found.shared.sum(axis=1), 1)
    parts = ratio[:, None] * agreed - (1 - observed)[:, None]
    defined: Flags = np.asarray(found.shared.any(axis=1))
    parts = _level(parts, agreed, found.rated & defined[:, None])
    ones = np.ones(len(codes))
    value = np.where(defined, 1 - observed, 0.0)
    return Answers(value, observed, ones, n, defined, found.rated, parts)


def by_shares(codes: Whole, distance: Distance) -> Answers:
    """Scott's pi, Fleiss' kappa and their form for any number of ratings per unit."""
    found = within(codes, distance)
    shares = category_shares(codes, distance.q, found.given)
    across = distance.across(shares)
    expected = np.einsum("tq,tq->t", shares, across)
    varied = (shares > 0).sum(axis=1) > 1
    return _corrected(found, expected, of_units(across, codes, found.given), varied)


def by_spread(codes: Whole, distance: Distance) -> Answers:
    """Gwet's AC1, and AC2 where distances are weighted; q must be 2 or more."""
    found = within(codes, distance)
    shares = category_shares(codes, distance.q, found.given)
    q = distance.q
    rest = (1 - distance.mean) * q / (q - 1) * (1 - shares)
    expected = 1 - np.einsum("tq,tq->t", shares, rest)
    always = np.ones(len(codes), dtype=bool)
    return _corrected(found, expected, 1 - of_units(rest, codes, found.given), always)


def by_number(codes: Whole, distance: Distance) -> Answers:
    """Brennan-Prediger: every category as likely as any other."""
    found = within(codes, distance)
    expected = np.full(len(codes), distance.mean)
    always = np.full(len(codes), distance.mean > 0)
    return _corrected(found, expected, np.full(found.given.shape, distance.mean), always)


def by_observers(codes: Whole, distance: Distance) -> Answers:
    """Conger's kappa: each observer with the shares of all of their own ratings.

    Not defined where an observer has no rating. Source: Conger AJ (1980), Psychological
    Bulletin 88:322-328; variance: Gwet (2014), chapter 5.
    """
    tables, _, width = codes.shape
    found = within(codes, distance)
    there = codes >= 0
    own = observer_shares(codes, distance.q)
    others = own.sum(axis=1, keepdims=True) - own
    flat = others.reshape(tables * width, -1)
    across = distance.across(flat).reshape(own.shape)
    mean = np.einsum("tgq,tgq->tg", own, across)
    pairs = width * (width - 1)
    expected = mean.sum(axis=1) / pairs
    counts = there.sum(axis=1)
    n = found.rated.sum(axis=1)
    picked = np.take_along_axis(across, np.maximum(codes, 0).transpose(0, 2, 1), axis=2)
    more = np.where(there.transpose(0, 2, 1), picked - mean[..., None], 0.0)
    more *= (n[:, None] / np.maximum(counts, 1))[..., None]
    by_unit = expected[:, None] + more.sum(axis=1) / pairs
    varied = (own.sum(axis=1) > 0).sum(axis=1) > 1
    return _corrected(found, expected, by_unit, varied & (counts > 0).all(axis=1))


def by_coincidence(codes: Whole, distance: Distance) -> Answers:
    """Krippendorff's alpha: units with two or more ratings, a small-sample correction.

    The variance is that of Gwet (2014), with unit values about the uncorrected agreement.
    """
    found = within(codes, distance)
    shared = found.shared
    n = shared.sum(axis=1)
    ratings = np.where(shared, found.given, 0)
    values = ratings.sum(axis=1)
    share = ratings * (n / np.maximum(values, 1))[:, None]
    margins = coincidence_margins(codes, distance.q, shared) / np.maximum(values, 1)[:, None]
    across = distance.across(margins)
    expected = np.einsum("tq,tq->t", margins, across)
    observed = (share * found.apart).sum(axis=1) / np.maximum(n, 1)
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
    return Answers(np.where(defined, value, 0.0), observed, bare, n, defined, shared, parts)


def by_margins(codes: Whole, distance: Distance) -> Answers:
    """Cohen's kappa of two observers over the units both rated, with any distances.

    codes: shape (tables, units, 2). The variance (n below, not n - 1) is equation 8 of
    Fleiss, Cohen & Everitt (1969), written unit by unit; `parts` are scaled for it.
    """
    first, second = codes[..., 0], codes[..., 1]
    both = (first >= 0) & (second >= 0)
    n = both.sum(axis=1)
    far = np.where(both, distance.between(first, second), 0.0)
    rows, columns = margins(codes, distance.q)
    by_row, by_column = distance.across(columns), distance.across(rows, turned=True)
    whole = np.einsum("tq,tq->t", rows, by_row)
    many = np.maximum(n, 1)
    defined = (((rows + columns) > 0).sum(axis=1) > 1) & (whole > 0)
    # Counts, not shares, so that equal numbers divide to exactly 1.
    ratio = np.where(defined, many * far.sum(axis=1) / np.where(defined, whole, 1.0), 0.0)
    observed, expected = far.sum(axis=1) / many, whole / many / many
    below = np.where(defined, expected, 1.0)
    means = np.take_along_axis(by_row, np.maximum(first, 0), axis=1)
    means = (means + np.take_along_axis(by_column, np.maximum(second, 0), axis=1)) / many[:, None]
    spread = (ratio[:, None] * means - far) / below[:, None]
    parts = _level(spread - ratio[:, None], spread, both & defined[:, None])
    parts = parts * np.sqrt(np.maximum(n - 1, 0) / np.maximum(n, 1))[:, None]
    value = np.where(defined, 1 - ratio, 0.0)
    return Answers(value, observed, expected, n, defined, both, parts)


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


def margins(codes: Whole, q: int) -> tuple[Floats, Floats]:
    """How often the first and the second of two used each category, over units both rated."""
    both = (codes >= 0).all(axis=2)
    rows = _tally(np.where(both, codes[..., 0], -1), q)
    return rows, _tally(np.where(both, codes[..., 1], -1), q)


def category_shares(codes: Whole, q: int, given: Whole) -> Floats:
    """Mean over rated units of the share of each category; shape (tables, q)."""
    each = 1 / np.maximum(given, 1)
    flat = codes.reshape(len(codes), -1)
    weight = np.repeat(each, codes.shape[2], axis=1)
    rated = np.maximum((given > 0).sum(axis=1), 1)[:, None]
    return np.asarray(_tally(flat, q, weight) / rated)


def observer_shares(codes: Whole, q: int) -> Floats:
    """Share of each category among an observer's ratings; shape (tables, observers, q)."""
    tables, units, width = codes.shape
    flat = codes.transpose(0, 2, 1).reshape(tables * width, units)
    counts = np.maximum((flat >= 0).sum(axis=1), 1)
    return np.asarray(_tally(flat, q) / counts[:, None]).reshape(tables, width, q)


def coincidence_margins(codes: Whole, q: int, shared: Flags) -> Floats:
    """How often each category was used in units with two or more ratings; (tables, q)."""
    return _tally(np.where(shared[..., None], codes, -1).reshape(len(codes), -1), q)


def of_units(weight: Floats, codes: Whole, given: Whole) -> Floats:
    """Mean over each unit's ratings of a weight per category; shape (tables, units)."""
    flat = np.maximum(codes, 0).reshape(len(codes), -1)
    picked = np.take_along_axis(weight, flat, axis=1).reshape(codes.shape)
    return np.asarray(np.where(codes >= 0, picked, 0.0).sum(axis=2) / np.maximum(given, 1))


def _corrected(found: Within, expected: Floats, by_unit: Floats, varied: Flags) -> Answers:
    """1 - D/E with the variance of Gwet (2014): units rated once tell of chance alone."""
    n, pairs = found.rated.sum(axis=1), found.shared.sum(axis=1)
    observed = _mean(found.apart, found.shared)
    defined = (pairs > 0) & varied & (expected > 0)
    below = np.where(defined, expected, 1.0)
    ratio = np.where(defined, observed / below, 0.0)
    factor = (n / np.maximum(pairs, 1))[:, None]
    own = factor * np.where(found.shared, expected[:, None] - found.apart, 0.0)
    own = (own - 2 * ratio[:, None] * (expected[:, None] - by_unit)) / below[:, None]
    parts = _level(own - (1 - ratio)[:, None], own, found.rated & defined[:, None])
    value = np.where(defined, 1 - ratio, 0.0)
    return Answers(value, observed, expected, n, defined, found.rated, parts)


def _level(parts: Floats, sizes: Floats, counted: Flags) -> Floats:
    """Parts of the units that count; all 0 in a table where they differ by rounding alone."""
    parts = np.where(counted, parts, 0.0)
    largest = np.where(counted, np.abs(sizes), 0.0).max(axis=1, initial=1.0)
    flat = np.abs(parts).max(axis=1, initial=0.0) <= FLAT * largest
    return np.where(flat[:, None], 0.0, parts)


def _mean(values: Floats, where: Flags) -> Floats:
    return np.asarray(np.where(where, values, 0.0).sum(axis=1) / np.maximum(where.sum(axis=1), 1))


def _tally(codes: Whole, q: int, weight: Floats | None = None) -> Floats:
    """How often (or with what weight) each category occurs; codes (tables, n), out (tables, q)."""
    tables = len(codes)
    there = codes >= 0
    offset = (codes + np.arange(tables)[:, None] * q)[there]
    found = np.bincount(offset, None if weight is None else weight[there], minlength=tables * q)
    return np.asarray(found, dtype=np.float64).reshape(tables, q)
