"""The arithmetic for many tables at once: the same as one by one, and clusters by hand."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.agreement import Ratings, counts
from observe.agreement.krippendorff import alpha_distance, ordinal_distance
from observe.agreement.ratings import Whole
from observe.agreement.weights import distance
from tests.agreement.peers import ratings_of_codes, tables

Kernel = Callable[..., counts.Answers]
KERNELS: list[Kernel] = [
    counts.percent,
    counts.by_shares,
    counts.by_spread,
    counts.by_number,
    counts.by_observers,
    counts.by_coincidence,
    counts.by_margins,
]


@pytest.mark.parametrize("kernel", KERNELS)
@given(data=st.data())
def test_many_tables_are_the_tables_one_by_one(kernel: Kernel, data: st.DataObject) -> None:
    codes, q = data.draw(tables(observers=2 if kernel is counts.by_margins else None))
    luck = np.random.default_rng(1)
    stack = np.stack([codes, *(codes[luck.integers(0, len(codes), len(codes))] for _ in range(4))])
    for weights in ("unweighted", "linear", "quadratic"):
        apart = distance(ratings_of_codes(codes, q), weights)
        together = kernel(stack, apart)
        for place, table in enumerate(stack):
            alone = kernel(table[None], apart)
            for name in ("value", "observed", "expected", "n", "defined", "error"):
                one, other = getattr(together, name)[place], getattr(alone, name)[0]
                assert one == pytest.approx(other, abs=1e-12)


@pytest.mark.parametrize("kernel", KERNELS)
@given(data=st.data())
def test_patterns_say_the_same_in_fewer_words(kernel: Kernel, data: st.DataObject) -> None:
    codes, q = data.draw(tables(observers=2))
    luck = np.random.default_rng(2)
    stack = np.stack([codes, *(codes[luck.integers(0, len(codes), len(codes))] for _ in range(4))])
    stack = np.concatenate([stack] * 4, axis=1)
    said = counts.patterns(stack, q)
    assert said is not None
    for weights in ("unweighted", "linear", "quadratic"):
        apart = distance(ratings_of_codes(codes, q), weights)
        long, short = kernel(stack, apart), kernel(said[0], apart, said[1])
        for name in ("value", "observed", "expected", "n", "error"):
            assert getattr(short, name) == pytest.approx(getattr(long, name), abs=1e-12)
        assert short.defined.tolist() == long.defined.tolist()
    ratings = ratings_of_codes(codes, q)
    one = counts.by_coincidence(stack, alpha_distance(ratings, stack, "ordinal"))
    metric = alpha_distance(ratings, said[0], "ordinal", said[1])
    other = counts.by_coincidence(said[0], metric, said[1])
    assert other.value == pytest.approx(one.value, abs=1e-12)
    assert other.error == pytest.approx(one.error, abs=1e-12)


def test_patterns_are_for_few_ways_only() -> None:
    assert counts.patterns(np.zeros((1, 10, 3), dtype=np.int64), 2) is None
    assert counts.patterns(np.zeros((1, 10_000, 9), dtype=np.int64), 5) is None
    assert counts.patterns(np.zeros((1, 10_000, 60), dtype=np.int64), 50) is None
    codes, times = counts.patterns(np.array([[[0, -1]] * 6 + [[1, 1]] * 3]), 2) or (None, None)
    assert codes is not None
    assert times is not None
    assert codes.tolist() == [[[0, -1], [1, 1]]]
    assert times.tolist() == [[6, 3]]


@given(tables())
def test_the_ordinal_metric_has_its_own_places_in_each_table(table: tuple[Whole, int]) -> None:
    codes, q = table
    stack = np.stack([codes, codes[::-1], np.roll(codes, 1, axis=1) % q])
    ratings = ratings_of_codes(codes, q)
    together = counts.by_coincidence(stack, alpha_distance(ratings, stack, "ordinal"))
    for place, one in enumerate(stack):
        alone = counts.by_coincidence(one[None], alpha_distance(ratings, one[None], "ordinal"))
        assert together.value[place] == pytest.approx(alone.value[0], abs=1e-12)


def test_mid_ranks_are_the_ordinal_metric() -> None:
    """Krippendorff (2011): the sum of the margins from c to k, less half of both ends, squared."""
    margins = np.array([[3.0, 0.0, 5.0, 2.0]])
    found = ordinal_distance(margins)
    for c in range(4):
        for k in range(c + 1, 4):
            own = margins[0, c : k + 1].sum() - (margins[0, c] + margins[0, k]) / 2
            far = found.between(np.array([[c]]), np.array([[k]]))[0, 0]
            assert far == pytest.approx((own / 10) ** 2)


@given(tables())
def test_shares_add_up(table: tuple[Whole, int]) -> None:
    codes, q = table
    found = counts.within(codes[None], distance(ratings_of_codes(codes, q)))
    shares = counts.category_shares(codes[None], q, found)
    assert shares.sum() == pytest.approx(1 if found.rated.any() else 0)
    own = counts.observer_shares(codes[None], q)[0]
    assert own.sum(axis=1) == pytest.approx((codes >= 0).any(axis=0).astype(float))


@given(tables(gaps=False))
def test_each_unit_its_own_cluster_is_no_cluster(table: tuple[Whole, int]) -> None:
    codes, q = table
    found = counts.by_shares(codes[None], distance(ratings_of_codes(codes, q)))
    error, clusters = found.clustered(np.arange(len(codes)))
    assert clusters[0] == len(codes)
    assert error[0] == pytest.approx(found.error[0])


@given(tables(gaps=False))
def test_units_twice_in_a_cluster_are_worth_as_much_as_once(table: tuple[Whole, int]) -> None:
    codes, q = table
    apart = distance(ratings_of_codes(codes, q))
    once = counts.by_shares(codes[None], apart)
    twice = counts.by_shares(np.concatenate([codes, codes])[None], apart)
    error, clusters = twice.clustered(np.tile(np.arange(len(codes)), 2))
    assert clusters[0] == len(codes)
    assert error[0] == pytest.approx(once.error[0])
    assert twice.error[0] <= once.error[0] + 1e-12


def test_the_error_is_what_leaving_units_out_gives() -> None:
    """A jackknife of 600 units agrees with the linearised errors within a twentieth.

    Each unit has two ratings or more: of units rated once Gwet's variance takes the
    agreement as 0, which is on the safe side and not what leaving them out gives.
    """
    luck = np.random.default_rng(3)
    truth = luck.choice(3, 600, p=[0.6, 0.3, 0.1])
    codes = np.where(luck.random((600, 3)) < 0.7, truth[:, None], luck.integers(0, 3, (600, 3)))
    gone = luck.integers(0, 3, (600, 1)) == np.arange(3)
    codes = np.where(gone & (luck.random((600, 1)) < 0.3), -1, codes)
    apart = distance(ratings_of_codes(codes, 3), "quadratic")
    left = np.stack([np.delete(codes, unit, axis=0) for unit in range(600)])
    for kernel in KERNELS[:-1]:
        values = kernel(left, apart).value
        jackknife = np.sqrt(599 / 600 * ((values - values.mean()) ** 2).sum())
        assert kernel(codes[None], apart).error[0] == pytest.approx(jackknife, rel=0.05)
    pairs = counts.by_margins(left[..., :2], apart).value
    jackknife = np.sqrt(599 / 600 * ((pairs - pairs.mean()) ** 2).sum())
    assert counts.by_margins(codes[None, :, :2], apart).error[0] == pytest.approx(
        jackknife, rel=0.05
    )


@pytest.mark.parametrize("kernel", KERNELS)
def test_no_units_no_ratings_and_one_unit_are_not_defined_but_numbers(kernel: Kernel) -> None:
    apart = distance(Ratings.from_table([[1, 2]]))
    for codes in (
        np.empty((1, 0, 2), dtype=np.int64),
        np.full((2, 3, 2), -1),
        np.array([[[0, 0]]]),
        np.array([[[0, 1]]]),
    ):
        found = kernel(codes, apart)
        for name in ("value", "observed", "expected", "error", "parts"):
            assert np.isfinite(getattr(found, name)).all()
