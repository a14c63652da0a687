"""Fleiss' kappa: its test against 0 and its parts by category."""

import pytest
from hypothesis import given
from statsmodels.stats.inter_rater import fleiss_kappa as by_statsmodels

from observe.agreement import Ratings, fleiss_kappa
from observe.agreement.fleiss import category_kappas, null_error
from observe.agreement.ratings import Value, Whole
from tests.agreement.peers import ratings_of_codes, tables
from tests.agreement.tables import ratings_of_counts
from tests.agreement.test_gwet import FLEISS_1971, TEN_BY_FOURTEEN


@pytest.mark.parametrize(
    ("counts", "error", "z"),
    [
        pytest.param(FLEISS_1971, 0.0243739321, 17.65183058, id="Fleiss 1971"),
        pytest.param(FLEISS_1971[:15], 0.03527976668, 11.73268811, id="its first half"),
        pytest.param(TEN_BY_FOURTEEN, 0.01696506922, 12.37429106, id="ten by fourteen"),
    ],
)
def test_the_error_if_kappa_is_0(counts: list[list[int]], error: float, z: float) -> None:
    """Fleiss, Nee & Landis (1979), as R irr 0.84.1 prints it: z 17.652 for Fleiss' table."""
    ratings = ratings_of_counts(counts)
    found = fleiss_kappa(ratings)
    assert null_error(ratings) == pytest.approx(error, abs=1e-10)
    assert found.details["standard error if 0"] == pytest.approx(error, abs=1e-10)
    assert (found.value or 0) / error == pytest.approx(z, abs=1e-7)


@pytest.mark.parametrize(
    ("counts", "values"),
    [
        (FLEISS_1971, [0.2447552448, 0.2447552448, 0.52, 0.4711272727, 0.5661178068]),
        (FLEISS_1971[:15], [0.03703703704, 0.1908091908, 0.4166666667, 0.5177692728, 0.6397331357]),
        (
            TEN_BY_FOURTEEN,
            [0.2012820513, 0.07967032967, 0.1715976331, 0.03038138332, 0.5076566952],
        ),
    ],
)
def test_kappa_of_each_category(counts: list[list[int]], values: list[float]) -> None:
    """As the detail of kappam.fleiss, R irr 0.84.1, to its three decimals."""
    found = category_kappas(ratings_of_counts(counts))
    assert list(found.values()) == pytest.approx(values, abs=1e-9)


@given(tables(gaps=False))
def test_statsmodels_agrees(table: tuple[Whole, int]) -> None:
    codes, q = table
    found = fleiss_kappa(ratings_of_codes(codes, q))
    if found.value is None:
        return
    counts = [[int((row == k).sum()) for k in range(q)] for row in codes]
    assert found.value == pytest.approx(by_statsmodels(counts), abs=1e-9)


def test_unequal_numbers_of_ratings_have_neither() -> None:
    rows: list[list[Value | None]] = [[1, 1, 2], [1, 2, None]]
    ratings = Ratings.from_table(rows)
    assert null_error(ratings) is None
    assert category_kappas(ratings) == {}
    assert "standard error if 0" not in fleiss_kappa(ratings).details


def test_one_category_has_no_error_and_an_unused_one_no_kappa() -> None:
    ratings = Ratings.from_table([[1, 1], [1, 1]], categories=[1, 2])
    assert null_error(ratings) is None
    assert category_kappas(ratings) == {1: None, 2: None}
