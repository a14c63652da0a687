"""The method note: fifteen items in the order of the guideline."""

from observe.agreement import Ratings
from observe.agreement.method_note import TITLES, method_note
from observe.agreement.panel import estimates
from observe.agreement.recommend import recommend
from tests.agreement.tables import gwet_four, gwet_two, ratings_of


def texts(ratings: Ratings, title: str = "") -> dict[int, str]:
    found = estimates(ratings, recommend(ratings).names)
    return {one.number: one.text for one in method_note(ratings, found, title=title)}


def test_fifteen_items_in_order_and_what_only_the_author_knows_is_asked() -> None:
    ratings = gwet_four()
    found = method_note(ratings, estimates(ratings, ["gwet_ac1"]))
    assert [one.number for one in found] == list(range(1, 16))
    assert [one.title for one in found] == [title for title, _ in TITLES]
    assert all(one.filled or one.wanted for one in found)
    assert [one.number for one in found if not one.filled] == [5, 6, 7, 8, 9, 12, 15]


def test_what_the_table_tells() -> None:
    said = texts(gwet_two(), "positions the learner")
    assert said[1] == "Agreement between observers: positions the learner."
    assert said[2] == "Marks on a nominal scale; categories declared: A, B, C."
    assert said[4] == "2: observer 1, observer 2."
    assert "Recommended: Cohen's kappa." in said[10]
    assert "Not used: Weighted kappa." in said[10]
    assert "10 of 12 units rated twice or more" in said[11]
    assert "rated by one observer only (9, 11)" in said[11]
    assert "Cohen's kappa (unweighted): 0.697, 95 % interval 0.324 to 1.070, n = 10." in said[13]


def test_scores_learners_and_reasons() -> None:
    rows = [[50 + n, 52 + n % 3] for n in range(12)]
    scores = Ratings.from_table(rows, scale="interval")
    owner = {name: str(int(name) % 5) for name in scores.unit_names}
    said = texts(scores.clustered_by(owner))
    assert said[2] == "Scores on an interval scale."
    assert said[3] == "12 units of 5 learners."
    same = texts(ratings_of([[0, 0], [0, 12]]))
    assert "Cohen's kappa is not estimable: every rating is the same" in same[13]


def test_no_ratings_at_all() -> None:
    said = texts(Ratings.from_table([]))
    assert "nothing can be compared" in said[11]
    assert said[13] == ""
