"""Which coefficient fits: from scale, observers, design, gaps and how uneven categories are."""

import pytest
from hypothesis import given

from observe.agreement import Ratings
from observe.agreement.panel import PANEL, estimates
from observe.agreement.ratings import Value
from observe.agreement.recommend import recommend
from tests.agreement.tables import gappy, gwet_four, ratings_of

BINARY = [[40, 9], [6, 45]]
THREE = [[15, 1, 0], [1, 15, 1], [0, 1, 15]]


def first(ratings: Ratings) -> tuple[str, str]:
    found = recommend(ratings).first
    assert found is not None
    return found.coefficient, found.form


def test_two_observers_of_two_categories() -> None:
    found = recommend(ratings_of(BINARY))
    assert first(ratings_of(BINARY)) == ("cohen_kappa", "")
    assert found.names == (
        "percent_agreement",
        "cohen_kappa",
        "pabak",
        "gwet_ac1",
        "specific_agreement",
    )
    assert found.design == (
        "100 of 100 units rated twice or more; 2 observers, the same for every unit;"
        " nominal scale, 2 categories."
    )
    assert [one.coefficient for one in found.against] == ["weighted_kappa"]


def test_an_order_brings_weights() -> None:
    assert first(ratings_of(THREE, scale="ordinal")) == ("weighted_kappa", "quadratic")
    assert first(gwet_four("ordinal")) == ("krippendorff_alpha", "ordinal")


def test_more_observers_the_same_or_changing() -> None:
    rows = [[0, 1, 1], [1, 1, 1], [0, 0, 0]] * 5
    same = Ratings.from_table(rows, categories=[0, 1])
    assert first(same) == ("conger_kappa", "")
    assert first(gwet_four()) == ("krippendorff_alpha", "nominal")
    against = {one.coefficient for one in recommend(gwet_four()).against}
    assert {"conger_kappa", "cohen_kappa"} <= against


def test_scores_by_the_same_or_by_changing_observers() -> None:
    rows = [[50 + n, 52 + n] for n in range(50)]
    scores = Ratings.from_table(rows, scale="interval")
    assert first(scores) == ("icc", "ICC(2,1)")
    assert recommend(scores).names == (
        "percent_agreement",
        "icc",
        "bland_altman",
        "krippendorff_alpha",
    )
    changing: list[list[Value | None]] = [[1, 2, None], [None, 4, 5], [3, None, 3]] * 5
    assert first(Ratings.from_table(changing, scale="interval")) == (
        "krippendorff_alpha",
        "interval",
    )
    assert first(Ratings.from_table(rows, scale="ratio")) == ("krippendorff_alpha", "ratio")


@pytest.mark.parametrize(
    ("ratings", "caution"),
    [
        (ratings_of([[3, 1], [0, 2]]), "Only 6 units were rated twice or more"),
        (ratings_of([[95, 2], [2, 1]]), "are one category: kappa, pi and alpha fall"),
        (gwet_four(), "1 units were rated once"),
        (Ratings.from_table([[1, 2]] * 12), "Declare the categories of the form"),
        (ratings_of(BINARY), "Units of one learner are not independent"),
        (
            Ratings.from_table([[n, n + 1] for n in range(12)], scale="interval"),
            "12 units give unsteady limits",
        ),
    ],
)
def test_cautions(ratings: Ratings, caution: str) -> None:
    assert caution in " ".join(recommend(ratings).cautions)


def test_nothing_to_compare_is_said() -> None:
    rows: list[list[Value | None]] = [[1, None], [None, 2]]
    found = recommend(Ratings.from_table(rows))
    assert found.first is None
    assert found.names == ()
    assert "nothing can be compared" in found.design


@given(gappy())
def test_what_is_recommended_can_be_computed(rows: list[list[int | None]]) -> None:
    for scale in ("nominal", "ordinal", "interval", "ratio"):
        ratings = Ratings.from_table(rows, scale=scale, categories=[0, 1, 2])
        found = recommend(ratings)
        assert set(found.names) <= set(PANEL)
        forms = {(one.coefficient, one.form) for one in estimates(ratings, found.names)}
        assert found.first is not None
        plain = found.first.form or "unweighted"
        kinds = {form.split(",")[0] for name, form in forms if name == found.first.coefficient}
        assert plain.split(",")[0] in kinds
        for one in (found.first, *found.beside, *found.against):
            assert one.why
            assert one.source
