"""Scores of sealed records by their own observers (rules A4, T3)."""

from __future__ import annotations

from pathlib import Path

from observe.work.severity_logbook import gather
from tests.work.machines import lead_desk
from tests.work.second_looks import seen_by_two


def test_every_sealed_look_is_a_score_of_its_observer(tmp_path: Path) -> None:
    with seen_by_two(tmp_path / "l.observe", workshops=2, learners=4, seed=3) as logbook:
        found = gather(logbook)
    assert len(found.scores) >= 14
    assert {one.observer for one in found.scores} <= {"Dr Anna Berg", "Dr Ben Ito", "Dr Cleo Ray"}
    assert all(0 <= one.value <= 100 for one in found.scores)
    assert sum(one.records for one in found.habits.values()) == len(found.scores)
    assert found.left_out == 0
    assert len(found.notes) == 1


def test_nothing_is_told_before_all_who_watched_have_sealed(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path)
    desk.seal(desk.watch(1, "o1"))
    found = gather(desk.logbook)
    assert found.scores == ()
    desk.logbook.close()
