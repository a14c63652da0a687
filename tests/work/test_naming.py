"""Whoever decides is known by name, on every machine."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.domain.adjudication import Ruling
from observe.domain.decision import Outcome
from observe.domain.marks import INCORRECT
from observe.domain.troubles import Refused
from observe.work.adjudicating import adjudicate
from observe.work.naming import person_named
from tests.work.machines import lead_desk, new_desk


def test_somebody_known_is_found_and_somebody_new_is_kept(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path)
    assert person_named(desk.logbook, " anna ") == "o1"
    made = person_named(desk.logbook, "Dr  Rhea Sol")
    assert desk.logbook.names()[made] == "Dr Rhea Sol"
    assert person_named(desk.logbook, "dr rhea sol") == made
    with pytest.raises(Refused, match="name"):
        person_named(desk.logbook, "  ")
    desk.logbook.close()


def test_the_name_of_an_adjudicator_travels_with_the_ruling(tmp_path: Path) -> None:
    desk, other = lead_desk(tmp_path), new_desk(tmp_path, "other")
    seat = desk.workshop.seats[0]
    desk.seal(desk.watch(1, seat.first))
    desk.seal(desk.watch(1, seat.second, mark=INCORRECT))
    by = person_named(desk.logbook, "Dr Rhea Sol")
    ruling = Ruling(Outcome.PASS, frozenset(), frozenset(), "", by)
    adjudicate(desk.logbook, desk.workshop, seat, ruling, reason="Asked both.", no_conflict=True)
    other.take(desk.packet("o1"))
    assert other.logbook.names()[by] == "Dr Rhea Sol"
    for one in (desk, other):
        one.logbook.close()
