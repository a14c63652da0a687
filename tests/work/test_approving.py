"""A standard comes into a logbook, and attempts opened from its day on are bound to it (F7)."""

import json
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from observe import places
from observe.domain import gestures
from observe.domain.decision import Outcome
from observe.domain.form import Form, Mode
from observe.domain.scoring import evidence
from observe.domain.standard import Rounding, Standard
from observe.domain.troubles import BadInput, Refused
from observe.work.approving import (
    approve,
    binding,
    read_form,
    read_result,
    standard_of,
    standards_in,
    withdraw,
)
from observe.work.debrief import attempt_result
from observe.work.transcribing import open_transcription
from tests.work.conftest import a_plan
from tests.work.machines import lead_desk, new_desk

if TYPE_CHECKING:
    from tests.work.conftest import Bench

FORM = places.forms() / "lumbar-puncture-adult.toml"
DAY = "2026-03-02"
SIDE = "side-lying"
RESULT: dict[str, Any] = {
    "method": "angoff",
    "statistic": None,
    "cut": 6.575,
    "se": 0.0829156,
    "maximum": 10,
    "n": 4,
    "of": "judges",
}


@pytest.fixture(scope="module")
def form() -> Form:
    return read_form(FORM)


def exact(tmp_path: Path, **changed: object) -> Mapping[str, Any]:
    path = tmp_path / "result.json"
    path.write_text(json.dumps({**RESULT, **changed}))
    return read_result(path)


def made(
    tmp_path: Path, form: Form, changed: Mapping[str, object] = RESULT, *, day: str = DAY
) -> Standard:
    return standard_of(
        exact(tmp_path, **changed),
        form,
        variant=SIDE,
        rounding=Rounding.UP,
        places=1,
        effective=day,
    )


def test_a_result_becomes_percent_exactly_and_is_rounded_up(tmp_path: Path, form: Form) -> None:
    standard = made(tmp_path, form)
    assert (standard.cut, standard.unrounded, standard.se) == ("65.8", "65.750000", "0.829156")
    assert (standard.method, standard.n, standard.of) == ("angoff", 4, "judges")
    assert standard.scoring == form.scoring_digest
    kind = made(tmp_path, form, {"statistic": "median", "se": None})
    assert (kind.method, kind.se) == ("angoff, median", "")


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"cut": None, "undefined": "The cut is not estimable: x."}, "not estimable: x"),
        ({"cut": 11}, "no cut from 0 to 100"),
        ({"cut": "6"}, "no cut from 0 to 100"),
        ({"maximum": None}, "without a declared maximum"),
        ({"n": None}, "what it rests on"),
    ],
)
def test_a_result_that_cannot_be_a_standard(
    tmp_path: Path, form: Form, changed: dict[str, object], said: str
) -> None:
    with pytest.raises(BadInput, match=said):
        made(tmp_path, form, changed)


def test_a_number_beyond_all_bounds_is_none(tmp_path: Path, form: Form) -> None:
    path = tmp_path / "huge.json"
    path.write_text(json.dumps(RESULT).replace("6.575", "1e999999999"))
    with pytest.raises(BadInput, match="no cut from 0 to 100"):
        standard_of(
            read_result(path), form, variant=SIDE, rounding=Rounding.UP, places=1, effective=DAY
        )


@pytest.mark.parametrize("text", ["", "[]", '{"method": 1}', "[" * 100_000])
def test_what_is_no_result(tmp_path: Path, text: str) -> None:
    path = tmp_path / "result.json"
    path.write_text(text)
    with pytest.raises(BadInput, match="no result"):
        read_result(path)


def test_no_variant_no_day_and_no_such_decimals(tmp_path: Path, form: Form) -> None:
    result = exact(tmp_path)
    rest = {"rounding": Rounding.UP}
    with pytest.raises(BadInput, match="no variant “x”"):
        standard_of(result, form, variant="x", places=1, effective=DAY, **rest)
    with pytest.raises(BadInput, match="is no day"):
        standard_of(result, form, variant=SIDE, places=1, effective="20260302", **rest)
    with pytest.raises(BadInput, match="decimals"):
        standard_of(result, form, variant=SIDE, places=7, effective=DAY, **rest)


def test_a_form_with_faults_has_no_standard(tmp_path: Path) -> None:
    path = tmp_path / "form.toml"
    path.write_text("id = 3")
    with pytest.raises(BadInput, match="The form has faults"):
        read_form(path)


def test_f7_an_attempt_opened_afterwards_is_bound_and_a_begun_one_never(
    bench: "Bench", tmp_path: Path, form: Form
) -> None:
    side_lying, sitting = bench.workshop.seats
    bench.session(1, side_lying.first)
    event = approve(bench.logbook, made(tmp_path, form), by="Maren Oduya")
    for observer in (side_lying.first, side_lying.second):
        assert evidence(bench.session(1, observer).state).cut.is_provisional
    assert evidence(bench.session(2, sitting.first).state).cut.is_provisional
    assert bench.logbook.names()[event.by] == "Maren Oduya"


def test_f7_its_variant_alone_is_bound_and_the_second_observer_as_the_first(
    bench: "Bench", tmp_path: Path, form: Form
) -> None:
    event = approve(bench.logbook, made(tmp_path, form), by="Maren Oduya")
    side_lying, sitting = bench.workshop.seats
    for observer in (side_lying.first, side_lying.second):
        cut = evidence(bench.session(1, observer).state).cut
        assert (cut.value, cut.standard) == (Fraction("0.658"), event.id)
    assert evidence(bench.session(2, sitting.first).state).cut.is_provisional


def test_f7_it_holds_from_its_day_on_for_its_form_alone(
    bench: "Bench", tmp_path: Path, form: Form
) -> None:
    approve(bench.logbook, made(tmp_path, form, day="2030-01-01"), by="Maren Oduya")
    other = read_form(places.forms() / "intrauterine-device-placement.toml")
    with pytest.raises(BadInput, match="no variant “side-lying”"):
        made(tmp_path, other)
    assert binding(bench.logbook, bench.workshop, bench.workshop.seats[0]) == {}
    with pytest.raises(Refused, match="on the day it is approved"):
        approve(bench.logbook, made(tmp_path, form, day="2020-01-01"), by="Maren Oduya")
    assert len(standards_in(bench.logbook)) == 1


def test_f7_a_summative_attempt_is_decided_only_at_an_approved_cut(
    bench: "Bench", tmp_path: Path, form: Form
) -> None:
    bench.plan(a_plan(form.whole_digest, mode=Mode.SUMMATIVE, looks=0, seed="summative"))
    approve(bench.logbook, made(tmp_path, form), by="Maren Oduya")
    outcomes = []
    for number, seat in enumerate(bench.workshop.seats, start=1):
        session = bench.session(number, seat.first)
        bench.mark_all(session)
        session.do(gestures.attest_watched, list(session.state.ground.form.critical))
        bench.seal(session)
        outcomes.append(attempt_result(bench.logbook, bench.workshop, seat).outcome)
    assert outcomes == [Outcome.PASS, Outcome.UNDECIDED]


def test_a_paper_typed_in_is_bound_too(bench: "Bench", tmp_path: Path, form: Form) -> None:
    approve(bench.logbook, made(tmp_path, form), by="Maren Oduya")
    seat = bench.workshop.seats[0]
    typed = open_transcription(
        bench.logbook,
        bench.workshop,
        seat,
        watched_by=seat.first,
        typist=seat.first,
        date=DAY,
        start="",
    )
    assert evidence(typed.state).cut.value == Fraction("0.658")


def test_a_plan_carries_the_standards_of_its_forms_with_who_approved_them(
    tmp_path: Path, form: Form
) -> None:
    lead = lead_desk(tmp_path)
    approve(lead.logbook, made(tmp_path, form), by="Maren Oduya")
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    (one,) = standards_in(other.logbook)
    assert one.standard == standards_in(lead.logbook)[0].standard
    assert other.logbook.names()[one.by] == "Maren Oduya"
    assert evidence(other.session(1, "o2").state).cut.standard == one.id


def test_f7_after_a_withdrawal_a_summative_attempt_waits_and_a_bound_one_is_decided(
    bench: "Bench", tmp_path: Path, form: Form
) -> None:
    plan = a_plan(form.whole_digest, mode=Mode.SUMMATIVE, looks=0, seed="summative")
    bench.plan(replace(plan, places=tuple(replace(one, variant=SIDE) for one in plan.places)))
    event = approve(bench.logbook, made(tmp_path, form), by="Maren Oduya")
    bound = bench.session(1, bench.workshop.seats[0].first)
    withdraw(bench.logbook, event.id, by="Maren Oduya", day=DAY, reason="Judged anew.")
    outcomes = []
    for number, seat in enumerate(bench.workshop.seats, start=1):
        session = bound if number == 1 else bench.session(number, seat.first)
        bench.mark_all(session)
        session.do(gestures.attest_watched, list(session.state.ground.form.critical))
        bench.seal(session)
        outcomes.append(attempt_result(bench.logbook, bench.workshop, seat).outcome)
    assert outcomes == [Outcome.PASS, Outcome.UNDECIDED]


def test_what_cannot_be_withdrawn_is_refused(bench: "Bench", tmp_path: Path, form: Form) -> None:
    event = approve(bench.logbook, made(tmp_path, form), by="Maren Oduya")
    fine = {"by": "Maren Oduya", "day": DAY, "reason": "Judged anew."}
    for changed, said in (
        ({"reason": " "}, "for a reason"),
        ({"day": "soon"}, "is no day"),
        ({"day": "2020-01-01"}, "at the earliest"),
    ):
        with pytest.raises(Refused, match=said):
            withdraw(bench.logbook, event.id, **{**fine, **changed})
    for standard in ("", "nothing"):
        with pytest.raises(BadInput, match="no such standard"):
            withdraw(bench.logbook, standard, **fine)
    withdraw(bench.logbook, event.id[:8], **fine)
    with pytest.raises(Refused, match="already"):
        withdraw(bench.logbook, event.id, **fine)
    (held,) = standards_in(bench.logbook)
    assert held.withdrawn is not None
    assert held.withdrawn.reason == "Judged anew."


def test_a_plan_carries_what_was_withdrawn(tmp_path: Path, form: Form) -> None:
    lead = lead_desk(tmp_path)
    event = approve(lead.logbook, made(tmp_path, form), by="Maren Oduya")
    first = lead.plan_packet()
    withdraw(lead.logbook, event.id, by="Ada Quist", day="2030-01-01", reason="Judged anew.")
    second = lead.plan_packet()
    for number, packets in enumerate(((first, second), (second, first), (second,))):
        other = new_desk(tmp_path, f"other{number}")
        other.take(*packets)
        (one,) = standards_in(other.logbook)
        assert one.withdrawn is not None
        assert other.logbook.names()[one.withdrawn.by] == "Ada Quist"
