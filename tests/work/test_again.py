"""The next attempt of the same learners."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe import places
from observe.domain.form import Mode
from observe.work.again import plan_again
from observe.work.logbooks import open_logbook
from observe.work.planning import Person, Place, Plan, plan_workshop


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
