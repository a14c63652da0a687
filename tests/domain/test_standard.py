"""A standard rounds in a stated direction, takes effect on a day, and binds by name (F6, F7)."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.decision import decide
from observe.domain.events import Draft, Event
from observe.domain.form import Mode
from observe.domain.observation import fold
from observe.domain.pooling import joined, pooled
from observe.domain.scoring import Cut, evidence
from observe.domain.standard import (
    KIND,
    WITHDRAWN,
    Approved,
    Rounding,
    Standard,
    approved,
    bound_from,
    bound_record,
    in_force,
    is_standard,
    rounded_text,
    standard_from,
)
from tests.domain.builders import Log, a_form, steps

FORM = a_form(steps(4))
HELD = Standard(
    form="f",
    scoring="s",
    variant="",
    method="angoff",
    n=12,
    of="judges",
    cut="65.8",
    unrounded="65.75",
    rounding=Rounding.UP,
    se="0.829156",
    effective="2026-09-01",
)


@pytest.mark.parametrize(
    ("rounding", "text"), [("up", "65.8"), ("down", "65.7"), ("nearest", "65.8")]
)
def test_f7_a_cut_is_rounded_in_a_stated_direction(rounding: str, text: str) -> None:
    assert rounded_text(Fraction("65.75"), 1, Rounding(rounding)) == text
    assert rounded_text(Fraction(65), 0, Rounding(rounding)) == "65"


@given(st.fractions(0, 100), st.integers(0, 6))
def test_up_is_never_below_and_down_never_above(value: Fraction, places: int) -> None:
    up, down, nearest = (
        Fraction(rounded_text(value, places, one))
        for one in (Rounding.UP, Rounding.DOWN, Rounding.NEAREST)
    )
    assert down <= value <= up < down + Fraction(2, 10**places)
    assert abs(nearest - value) * 2 <= Fraction(1, 10**places)


def test_a_record_comes_back_as_it_was() -> None:
    assert standard_from(HELD.as_record()) == HELD
    assert HELD.share == Fraction(329, 500)


@pytest.mark.parametrize(
    "changed",
    [
        {"cut": "101"},
        {"cut": "65,8"},
        {"cut": 65.8},
        {"cut": "-1"},
        {"n": True},
        {"n": -1},
        {"effective": "soon"},
        {"rounding": "sideways"},
        {"rounding": 1},
        {"method": None},
    ],
)
def test_what_cannot_be_read_is_no_standard(changed: dict[str, Any]) -> None:
    assert not is_standard({**HELD.as_record(), **changed})


def named(
    id: str, *, scoring: str = "s", variant: str = "", effective: str = "2026-09-01"
) -> Approved:
    held = replace(HELD, scoring=scoring, variant=variant, effective=effective)
    return Approved(id, "p", held)


def test_the_newest_in_effect_holds_for_its_form_and_variant() -> None:
    known = [
        named("a"),
        named("b", effective="2026-10-01"),
        named("c", effective="2026-10-01"),
        named("d", effective="2027-01-01"),
        named("e", variant="v"),
        named("f", scoring="other", effective="2026-10-02"),
    ]

    def on(day: str, variant: str = "") -> str | None:
        found = in_force(known, "s", variant, day)
        return None if found is None else found.id

    assert on("2026-08-31") is None
    assert on("2026-09-01") == "a"
    assert on("2026-12-31") == "c"
    assert on("2026-12-31", "v") == "e"


def test_events_that_hold_none_are_passed_over() -> None:
    log = Log(FORM)
    good = log.event(Draft(KIND, HELD.as_record(), by="p"))
    bad = log.event(Draft(KIND, {"cut": "65"}, by="p"))
    newer = replace(good, version=9)
    assert [one.standard for one in approved([bad, good, newer])] == [HELD]


def opened(standards: object, mode: Mode = Mode.SUMMATIVE) -> Any:  # noqa: ANN401 - a state
    log = Log(FORM, mode=mode)
    event = log.events[0]
    body = {**event.body, "standards": standards} if standards is not None else event.body
    return fold([replace(event, body=body)], log.ground)


def test_f7_an_attempt_is_decided_at_the_cut_that_its_opening_names() -> None:
    state = opened(bound_record({"": Approved("d/1", "p", HELD)}))
    assert evidence(state).cut == Cut(Fraction(329, 500), "d/1")
    assert opened(None).standards == {}
    assert evidence(opened(None)).cut.is_provisional
    line = next(one for one in decide(evidence(opened(None))).lines if one.id == "cut")
    assert "needs an approved standard" in line.sentence


@pytest.mark.parametrize(
    "held",
    [
        [],
        {"v": {"standard": "a", "cut": "60"}},
        {"": {"standard": "", "cut": "60"}},
        {"": {"standard": "a", "cut": "600"}},
        {"": "a"},
    ],
)
def test_an_opening_that_cannot_be_read_is_undecidable_here(held: object) -> None:
    assert opened(held).newer
    with pytest.raises(ValueError, match=r"opening|standard|cut"):
        bound_from(held, [])


def test_two_cuts_of_one_attempt_leave_the_forms_own_and_a_watch_keeps_its_first() -> None:
    one = evidence(opened({"": {"standard": "a", "cut": "60"}}))
    two = evidence(opened({"": {"standard": "b", "cut": "70"}}))
    assert pooled(one, one).cut == one.cut
    assert pooled(one, two).cut == pooled(two, one).cut == Cut(FORM.rule.cut)
    assert joined([one, two]).cut == one.cut


def added(log: Log, draft: Draft) -> Event:
    event = log.event(draft)
    log.events.append(event)
    return event


def test_a_withdrawn_standard_holds_until_its_day_and_no_older_one_comes_back() -> None:
    log = Log(FORM)
    older = replace(HELD, cut="60.0", effective="2026-01-01")
    first = added(log, Draft(KIND, older.as_record()))
    second = added(log, Draft(KIND, HELD.as_record()))
    body = {"standard": second.id, "day": "2026-10-01", "reason": "Judged anew."}
    added(log, Draft(WITHDRAWN, {**body, "day": "2026-11-01", "reason": "Later."}))
    added(log, Draft(WITHDRAWN, body))
    for events in (log.events, log.events[::-1]):
        known = sorted(approved(events), key=lambda one: one.standard.effective)
        assert [one.id for one in known] == [first.id, second.id]
        assert known[0].withdrawn is None
        assert known[1].withdrawn is not None
        assert (known[1].withdrawn.day, known[1].withdrawn.reason) == ("2026-10-01", "Judged anew.")
        before = in_force(known, "s", "", "2026-09-30")
        assert before is not None
        assert before.id == second.id
        assert in_force(known, "s", "", "2026-10-01") is None
        assert in_force(known, "s", "", "2026-05-01") == known[0]


def test_one_withdrawn_before_it_took_effect_replaces_none() -> None:
    log = Log(FORM)
    future = replace(HELD, cut="70.0", effective="2026-12-01")
    first = added(log, Draft(KIND, HELD.as_record()))
    second = added(log, Draft(KIND, future.as_record()))
    body = {"standard": second.id, "day": "2026-11-28", "reason": "Judged anew."}
    added(log, Draft(WITHDRAWN, body))
    third = added(log, Draft(KIND, replace(HELD, effective="2026-11-28").as_record()))
    known = approved(log.events)
    on = {day: in_force(known, "s", "", day) for day in ("2026-11-27", "2026-11-30", "2026-12-01")}
    assert [one.id if one else "" for one in on.values()] == [first.id, third.id, third.id]


def test_a_withdrawal_that_cannot_be_read_withdraws_nothing() -> None:
    log = Log(FORM)
    held = added(log, Draft(KIND, HELD.as_record()))
    for body in ({"standard": held.id}, {"standard": held.id, "day": "soon", "reason": "x"}):
        added(log, Draft(WITHDRAWN, body))
    assert [one.withdrawn for one in approved(log.events)] == [None]
