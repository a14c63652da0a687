"""A director overrules a decision; who may, and what (rule D4)."""

from __future__ import annotations

import pytest

from observe.domain.decision import Outcome
from observe.domain.overruling import (
    Overruling,
    is_overruling,
    overruling_from,
    require_may_overrule,
)
from observe.domain.troubles import Refused

PASS, REMEDIATE, UNDECIDED = Outcome.PASS, Outcome.REMEDIATE, Outcome.UNDECIDED


def test_what_is_kept_is_read_back() -> None:
    kept = Overruling(REMEDIATE, "d" * 64)
    assert overruling_from(kept.as_record(), by="", event="") == kept


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"outcome": "undecided", "rests_on": "d"},
        {"outcome": "pass"},
        {"outcome": "pass", "rests_on": 1},
        {"outcome": ["pass"], "rests_on": "d"},
    ],
)
def test_what_is_no_overruling_is_none(body: dict[str, object]) -> None:
    assert not is_overruling(body)
    with pytest.raises(ValueError, match="names"):
        overruling_from(body, by="", event="")


def test_a_director_who_did_not_watch_overrules_either_way() -> None:
    require_may_overrule(PASS, REMEDIATE, {"anna", "lina"}, "rhea")
    require_may_overrule(REMEDIATE, PASS, {"anna", "lina"}, "rhea")


@pytest.mark.parametrize(
    ("decided", "to", "by"),
    [
        (PASS, REMEDIATE, "anna"),
        (PASS, REMEDIATE, "lina"),
        (PASS, REMEDIATE, ""),
        (PASS, PASS, "rhea"),
        (PASS, UNDECIDED, "rhea"),
        (UNDECIDED, PASS, "rhea"),
        (None, PASS, "rhea"),
    ],
)
def test_all_else_is_refused(decided: Outcome | None, to: Outcome, by: str) -> None:
    with pytest.raises(Refused) as caught:
        require_may_overrule(decided, to, {"anna", "lina"}, by)
    assert caught.value.remedy
