"""The next attempt of the same learners."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe import places
from observe.domain.events import Draft
from observe.domain.form import Mode
from observe.work.again import plan_again
from observe.work.logbooks import open_logbook
from observe.work.planning import Person, Place, Plan, plan_workshop
from tests.work.conftest import Bench


@pytest.mark.parametrize("times", [1, 2])
def test_each_time_the_attempt_counts_one_up(tmp_path: Path, times: int) -> None:
    with open_logbook(tmp_path / "log.observe", create=True) as logbook:
        source = (places.forms() / "lumbar-puncture-adult.toml").read_text(encoding="utf-8")
        form = logbook.add_form(source, "lumbar-puncture-adult")
        observer = Person("o-1", "Dr Petra Lindqvale")
        learners = (Person("p-1", "Amara Voss"), Person("p-2", "Idris Kalnin"))
        first = plan_workshop(
            logbook,
            Plan(
                title="Lumbar puncture",
                place="Tarn Valley",
                date="2026-03-14",
                mode=Mode.FORMATIVE,
                form=form.whole_digest,
                departures=(),
                observers=(observer,),
                places=tuple(Place(one, "sitting", "o-1") for one in learners),
                looks=0,
                seed="tests",
            ),
        )
        for _ in range(times):
            again = plan_again(logbook, first)
        assert [seat.ordinal for seat in again.seats] == [times + 1] * 2
        assert [(seat.learner, seat.variant) for seat in again.seats] == [
            ("p-1", "sitting"),
            ("p-2", "sitting"),
        ]
        assert len(logbook.workshops()) == times + 1
        assert {seat.attempt for seat in again.seats}.isdisjoint(
            seat.attempt for seat in first.seats
        )


def test_forms_rooms_and_profiles_stay(two_forms: Bench) -> None:
    again = plan_again(two_forms.logbook, two_forms.workshop)
    before = two_forms.workshop
    assert again.forms == before.forms
    assert [(seat.learner, seat.form, seat.room, seat.ordinal) for seat in again.seats] == [
        (seat.learner, seat.form, seat.room, highest + 1)
        for seat, highest in zip(before.seats, (1, 1, 1), strict=True)
    ]


def test_an_attempt_that_was_missed_is_not_counted(two_forms: Bench) -> None:
    attempt = two_forms.workshop.seats[2].attempt
    missed = Draft("absence-noted", {"absent": True}, two_forms.workshop.id, attempt)
    two_forms.logbook.append([missed])
    workshop = two_forms.logbook.workshops()[two_forms.workshop.id]
    assert [seat.ordinal for seat in plan_again(two_forms.logbook, workshop).seats] == [2, 2, 1]
