"""Who may go over what observers recorded, and what of it stands."""

from __future__ import annotations

from pathlib import Path

from observe.domain.decision import Outcome
from observe.domain.events import Draft
from observe.domain.overruling import Overruling
from observe.work.debrief import attempt_result, decided_digest
from observe.work.rulings import concerned, standing_overrulings, standing_rulings, who
from tests.work.machines import lead_desk


def test_who_watched_and_all_learners_are_concerned(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path)
    seat = desk.workshop.seats[0]
    assert concerned(desk.workshop, seat) == {*seat.observers, "l1", "l2"}
    desk.logbook.close()


def test_what_a_concerned_person_wrote_past_the_rules_stands_for_nothing(tmp_path: Path) -> None:
    """Events come from other machines, whose programs may not keep the rules."""
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1"))
    seat = desk.workshop.seats[0]
    now = decided_digest(attempt_result(desk.logbook, desk.workshop, seat))
    body = Overruling(Outcome.REMEDIATE, now).as_record()
    for by in ("o1", "l1", "o3"):
        desk.logbook.append([Draft("overruled", body, desk.workshop.id, seat.attempt, by=by)])
    (found,) = standing_overrulings(desk.logbook, desk.workshop, seat, now)
    assert found.by == "o3"
    assert who(desk.logbook, [found]) == "Cleo"
    assert standing_overrulings(desk.logbook, desk.workshop, seat, "0" * 64) == ()
    assert standing_rulings(desk.logbook, desk.workshop, seat, now) == ()
    desk.logbook.close()
