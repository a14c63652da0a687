"""Paper for a workshop: every learner's own steps today, in the order they are typed in later."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from observe.domain.form import Mode
from observe.domain.profile import Departure, Doing
from observe.domain.troubles import BadInput
from observe.domain.workshop import Workshop
from observe.work.paper import (
    blank_sheet,
    find_workshop,
    print_form,
    print_workshop,
    seat_sheet,
    spare_sheet,
)
from observe.work.planning import Plan
from tests.domain.smallform import form_of
from tests.work.conftest import ANNA, Bench


@pytest.fixture
def departed(bench: Bench, plan: Callable[..., Plan]) -> Workshop:
    """A workshop in which step 12 is talked through and step 5 left out."""
    departures = (
        Departure("LPX-12", Doing.VOICE, "Water in the syringe."),
        Departure("LPX-05", Doing.NOT_TODAY, "The kit is laid out."),
    )
    form = bench.workshop.forms[0].form
    return bench.plan(plan(form, departures=departures, seed="departed", title="Departed"))


def test_w1_today_s_steps_keep_their_numbers_and_what_is_left_out_is_said(
    bench: Bench, departed: Workshop
) -> None:
    sheet = seat_sheet(bench.logbook, departed, departed.seats[0], ANNA.id)
    state = bench.session(1, ANNA.id).state
    shown = [(step.number, step.label) for step in sheet.steps]
    assert shown == [(state.numbers[step.id], step.label) for step in state.steps]
    assert 5 not in [step.number for step in sheet.steps]
    assert sheet.left_out == (
        "5 Checks kit: needle type, stylet moves, tubes, tap (The kit is laid out)",
    )
    twelfth = next(step for step in sheet.steps if step.number == 12)
    assert twelfth.note.startswith("Voice today (Water in the syringe).")
    assert twelfth.voiced


def test_a_box_only_for_what_the_form_allows(bench: Bench) -> None:
    form = bench.logbook.form(bench.workshop.forms[0].form)
    sheet = blank_sheet(form, "side-lying")
    for step in sheet.steps:
        meant = form.steps_of("side-lying")[step.number - 1]
        assert step.not_applicable is meant.not_applicable
        assert step.may_not_arise is bool(meant.when)
        assert step.voiced is (meant.voice.value != "no")
    assert len(sheet.criticals) == len(form.criticals)
    assert {word for item in sheet.criticals for word in item.verdicts} == {
        "fatal",
        "noticed and put right",
        "stopped by a hand",
        "counted",
    }


def test_the_head_knows_the_occasion_and_a_spare_one_leaves_it_open(bench: Bench) -> None:
    seat = bench.workshop.seats[0]
    named = seat_sheet(bench.logbook, bench.workshop, seat, ANNA.id)
    assert named.learner == "Lina One"
    assert dict(named.occasion) == {
        "Seat": "1",
        "Attempt": "first",
        "Observer": "Anna",
        "Date": "2 March 2026",
        "Mode": "formative",
        "Workshop": "Skills afternoon, Invented hospital",
    }
    spare = spare_sheet(bench.logbook, bench.workshop, seat, ANNA.id)
    assert spare.learner == ""
    assert dict(spare.occasion)["Seat"] == ""
    assert spare.phases == named.phases
    assert "Not clinically reviewed." in spare.caution


def test_each_observer_has_a_file_of_their_own_learners_and_spare_sheets(
    two_forms: Bench, tmp_path: Path
) -> None:
    printed = print_workshop(two_forms.logbook, two_forms.workshop, tmp_path / "print")
    watched = {
        name: sum(id in seat.observers for seat in two_forms.workshop.seats)
        for id, name in (("o1", "anna"), ("o2", "ben"), ("o3", "cleo"))
    }
    for one in printed:
        name = one.path.stem.removeprefix("paper-")
        assert one.path.is_file()
        assert watched[name] < one.sheets <= 2 * watched[name]
    assert len(printed) == sum(count > 0 for count in watched.values())
    third = two_forms.workshop.seats[2]
    sheet = seat_sheet(two_forms.logbook, two_forms.workshop, third, ANNA.id)
    assert dict(sheet.occasion)["Seat"] == f"room 2, {third.number}"


def test_an_absent_learner_has_no_sheet(bench: Bench, tmp_path: Path) -> None:
    away = tuple(replace(seat, absent=True) for seat in bench.workshop.seats)
    assert print_workshop(bench.logbook, replace(bench.workshop, seats=away), tmp_path) == ()


def test_a_form_alone_gives_a_sheet_for_each_variant(tmp_path: Path) -> None:
    printed = print_form(form_of(), tmp_path, paper="Letter")
    assert [one.path.name for one in printed] == ["paper-small-left.pdf", "paper-small-right.pdf"]
    before = [one.path.read_bytes() for one in printed]
    print_form(form_of(), tmp_path, paper="Letter")
    assert [one.path.read_bytes() for one in printed] == before


def test_a_workshop_is_found_by_title_or_id_and_never_guessed(
    bench: Bench, departed: Workshop, plan: Callable[..., Plan]
) -> None:
    assert find_workshop(bench.logbook, "departed") == departed
    assert find_workshop(bench.logbook, departed.id) == departed
    with pytest.raises(BadInput, match="2 workshops could be meant"):
        find_workshop(bench.logbook)
    with pytest.raises(BadInput, match="No workshop is called “lost”"):
        find_workshop(bench.logbook, "lost")
    form = bench.workshop.forms[0].form
    bench.plan(plan(form, title="Departed", seed="again", mode=Mode.PRACTICE))
    with pytest.raises(BadInput, match="2 workshops could be meant"):
        find_workshop(bench.logbook, "Departed")
