"""Rule T1: where two observers do not come to one decision, a third person rules."""

from __future__ import annotations

from typing import Any

import pytest

from observe.domain.adjudication import (
    Ruling,
    require_complete,
    require_may_adjudicate,
    ruled,
    ruling_from,
)
from observe.domain.board import Verdict
from observe.domain.decision import Outcome
from observe.domain.pairing import Joint, Pairing, pair
from observe.domain.scoring import Evidence
from observe.domain.troubles import Refused
from tests.domain.test_pairing import POOR, watched

FATAL = {"C1": Verdict.FATAL}
CONTESTED = (watched(**FATAL), watched())
OPPOSITE = (watched(), watched(POOR))
BOTH = (watched(**FATAL), watched(POOR))


def a_ruling(outcome: Outcome | None = None, stands: str = "", falls: str = "") -> Ruling:
    return Ruling(outcome, frozenset(stands.split()), frozenset(falls.split()), "digest", "o9")


def complete(looks: tuple[Evidence, Evidence], ruling: Ruling) -> Pairing:
    joint = pair(*looks)
    require_complete(joint, *looks, ruling)
    return ruled(joint, *looks, ruling)


def test_t1_a_contested_item_that_stands_means_remediation() -> None:
    found = complete(CONTESTED, a_ruling(stands="C1"))
    assert (found.outcome, found.joint) == (Outcome.REMEDIATE, Joint.RULED)
    assert not found.needs_adjudication


def test_t1_with_one_that_falls_the_two_are_compared_again() -> None:
    found = complete(CONTESTED, a_ruling(falls="C1"))
    assert (found.outcome, found.joint) == (Outcome.PASS, Joint.RULED)
    assert "was not fatal" in found.sentence
    assert found.contested == ("C1",)


def test_t1_opposite_decisions_are_ruled_on_by_their_outcome() -> None:
    for outcome in (Outcome.PASS, Outcome.REMEDIATE):
        assert complete(OPPOSITE, a_ruling(outcome)).outcome is outcome
    with pytest.raises(Refused, match="opposite ways"):
        complete(OPPOSITE, a_ruling())


def test_t1_where_more_than_an_item_divides_them_both_are_ruled_on() -> None:
    with pytest.raises(Refused, match="opposite ways"):
        complete(BOTH, a_ruling(falls="C1"))
    assert complete(BOTH, a_ruling(Outcome.PASS, falls="C1")).outcome is Outcome.PASS


@pytest.mark.parametrize(
    ("ruling", "why"),
    [
        (a_ruling(Outcome.PASS), "not said whether this stands"),
        (a_ruling(stands="C1", falls="C1"), "not said whether this stands"),
        (a_ruling(Outcome.PASS, stands="C1"), "means remediation"),
        (a_ruling(stands="C1", falls="C2"), "Only what the observers contest"),
    ],
)
def test_a_ruling_decides_all_it_has_to_and_does_not_contradict_itself(
    ruling: Ruling, why: str
) -> None:
    with pytest.raises(Refused, match=why) as caught:
        complete(CONTESTED, ruling)
    assert caught.value.remedy


def test_t1_the_adjudicator_watched_in_neither_look_and_has_no_conflict() -> None:
    joint = pair(*OPPOSITE)
    require_may_adjudicate(joint, ("o1", "o2"), "o9", no_conflict=True)
    for by, no_conflict in (("o1", True), ("o2", True), ("", True), ("o9", False)):
        with pytest.raises(Refused):
            require_may_adjudicate(joint, ("o1", "o2"), by, no_conflict=no_conflict)
    for settled in (None, pair(watched(), watched())):
        with pytest.raises(Refused, match="one decision"):
            require_may_adjudicate(settled, (), "o9", no_conflict=True)


def test_a_ruling_is_read_as_it_was_kept() -> None:
    for ruling in (a_ruling(Outcome.PASS), a_ruling(stands="C1", falls="C2")):
        assert ruling_from(ruling.as_record(), by="o9", event="") == ruling


@pytest.mark.parametrize(
    "changed",
    [
        {"outcome": "undecided"},
        {"rests_on": None},
        {"stands": "C1"},
        {"falls": [1]},
        {"no_conflict": False},
    ],
)
def test_what_is_no_ruling_is_told(changed: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="it names no"):
        ruling_from({**a_ruling().as_record(), **changed}, by="o9", event="")
