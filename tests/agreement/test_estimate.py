"""An estimate repeats its question and never hides a gap."""

import pytest

from observe.agreement.estimate import FEWEST_PAIRS, LABELS, Question, check_level, too_few
from observe.agreement.panel import PANEL
from observe.domain.troubles import BadInput
from tests.agreement.tables import ratings_of


def question() -> Question:
    return Question(ratings_of([[1, 0], [0, 1]]), "pabak", "two categories", 0.9, 2)


def test_a_value_with_its_interval() -> None:
    found = question().between(0.5, (0.4, 0.6), "by hand", "One.", "", "Two.")
    assert (found.value, found.low, found.high, found.interval) == (0.5, 0.4, 0.6, "by hand")
    assert found.undefined is None
    assert found.note == "One. Two."
    assert (found.units, found.used, found.observers, found.level) == (2, 2, 2, 0.9)


def test_a_value_without_one_says_why() -> None:
    found = question().point(0.5, "not given: n = 2.")
    assert (found.low, found.high, found.interval) == (None, None, None)
    assert found.note == "90 % interval not given: n = 2."


def test_no_value_is_a_sentence() -> None:
    found = question().undefined("there is nothing.")
    assert found.value is None
    assert found.undefined == "PABAK is not estimable: there is nothing."


@pytest.mark.parametrize("level", [0, 1, 95, -0.5, float("nan")])
def test_a_level_is_between_0_and_1(level: float) -> None:
    with pytest.raises(BadInput, match="not between 0 and 1"):
        check_level(level)


def test_ten_pairs_are_enough_a2() -> None:
    assert too_few(FEWEST_PAIRS) == ""
    assert too_few(9) == "not given: n = 9 pairs, fewer than 10."
    assert too_few(1) == "not given: n = 1 pair, fewer than 10."


def test_every_coefficient_has_a_name_for_people() -> None:
    assert set(LABELS) == set(PANEL)
