"""From arithmetic to an answer: intervals, learners taken together, reasons."""

from math import sqrt

import pytest
from scipy import special

from observe.agreement import (
    Ratings,
    cohen_kappa,
    fleiss_kappa,
    gwet_ac1,
    krippendorff_alpha,
    pabak,
    percent_agreement,
)
from observe.agreement.answering import CLUSTERED, no_chance, not_two
from tests.agreement.tables import gwet_four, ratings_of

TABLE = [[30, 6], [4, 20]]


def in_clusters(size: int) -> Ratings:
    ratings = ratings_of(TABLE)
    return ratings.clustered_by(
        {name: f"learner {int(name) // size}" for name in ratings.unit_names}
    )


@pytest.mark.parametrize(
    "coefficient",
    [percent_agreement, pabak, cohen_kappa, fleiss_kappa, gwet_ac1, krippendorff_alpha],
)
def test_units_of_one_learner_are_taken_together(coefficient: object) -> None:
    assert callable(coefficient)
    alone, together = coefficient(ratings_of(TABLE)), coefficient(in_clusters(4))
    assert together.value == pytest.approx(alone.value)
    assert (together.interval, together.clusters) == (CLUSTERED, 16)
    t = float(special.stdtrit(15, 0.975))
    half = together.value - together.low
    assert half == pytest.approx(t * together.details["standard error"])
    assert together.details["standard error"] > alone.details.get("standard error", 0)


def test_percent_agreement_of_clusters_by_hand() -> None:
    """The variance of a mean over 20 learners with two units each, k/(k - 1) below."""
    rows = [["a", "a"], ["a", "b"]] * 10 + [["a", "a"], ["a", "a"]] * 10
    ratings = Ratings.from_table(rows, categories=["a", "b"])
    owner = {name: str((int(name) - 1) // 2) for name in ratings.unit_names}
    found = percent_agreement(ratings.clustered_by(owner))
    means = [0.5] * 10 + [1.0] * 10
    variance = sum((m - 0.75) ** 2 for m in means) / 19 / 20
    assert found.value == 0.75
    assert found.details["standard error"] == pytest.approx(sqrt(variance))


def test_few_learners_have_no_interval() -> None:
    found = gwet_ac1(in_clusters(10))
    assert found.low is None
    assert "95 % interval not given: n = 7 learners, fewer than 10." in found.notes


def test_details_say_what_the_value_is_made_of() -> None:
    """Cohen (1960): observed .70, chance .41."""
    found = cohen_kappa(ratings_of([[88, 14, 18], [10, 40, 10], [2, 6, 12]]))
    assert found.details["observed agreement"] == pytest.approx(0.7)
    assert found.details["chance agreement"] == pytest.approx(0.41)


def test_weights_with_a_direction_say_what_became_of_it() -> None:
    found = fleiss_kappa(ratings_of(TABLE), weights=[[0, 1], [3, 0]])
    assert "the mean of both directions counts" in found.note


def test_reasons() -> None:
    assert not_two(gwet_four()) == "it compares two observers, and there are 4."
    rows = [[0, 1], [1, 0]] * 6
    alike = Ratings.from_table(rows, categories=[0, 1, 2])
    weights = [[0, 0, 1], [0, 0, 1], [1, 1, 0]]
    found = fleiss_kappa(alike, weights=weights)
    assert "do not differ by these weights" in (found.undefined or "")
    assert no_chance(alike).startswith("the categories that were used")
