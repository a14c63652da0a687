"""The patient-safety standard: Yudkowsky and others (2014), made-up votes."""

import pytest

from observe.domain.troubles import BadInput
from observe.standards.patient_safety import Vote, passes, patient_safety
from tests.standards.data import judged

ROWS: list[list[float | None]] = [[0.9, 0.9, 0.9], [0.6, 0.7, 0.8], [0.5, 0.5, 0.5]]
VOTES = [
    Vote(f"judge {judge}", f"item {item}", said)
    for item, votes in enumerate([(True, True, False), (True, False, False), (False,) * 3], 1)
    for judge, said in enumerate(votes, 1)
]


def test_the_essential_leave_the_cut_and_must_all_be_done() -> None:
    found = patient_safety(judged(ROWS), VOTES)
    assert found.essential == ("item 1",)
    assert [(one.votes, one.judges) for one in found.tallies] == [(2, 3), (1, 3), (0, 3)]
    assert found.rest is not None
    assert found.rest.cut.value == pytest.approx(1.2)
    assert found.rest.cut.scale.maximum == 2
    assert passes(found, {"item 1": 1, "item 2": 1, "item 3": 0.2})
    assert not passes(found, {"item 1": 1, "item 2": 1, "item 3": 0.1})
    assert not passes(found, {"item 1": 0.5, "item 2": 1, "item 3": 1})


def test_half_is_no_majority_and_another_share_may_be_asked() -> None:
    votes = [Vote("A", "item 1", essential=True), Vote("B", "item 1", essential=False)]
    rows: list[list[float | None]] = [[0.5, 0.5]]
    assert patient_safety(judged(rows), votes).essential == ()
    strict = patient_safety(judged(rows), votes, majority=0.4)
    assert strict.essential == ("item 1",)
    assert strict.rest is None
    assert passes(strict, {"item 1": 1})


def test_no_vote_a_wild_majority_and_no_cut_are_told() -> None:
    with pytest.raises(BadInput, match="Nobody said whether item 3"):
        patient_safety(judged(ROWS), VOTES[:6])
    with pytest.raises(BadInput, match="majority of 1"):
        patient_safety(judged(ROWS), VOTES, majority=1)
    gap = patient_safety(judged([*ROWS[:2], [None] * 3]), VOTES)
    with pytest.raises(BadInput, match="judged by nobody"):
        passes(gap, {"item 1": 1})
