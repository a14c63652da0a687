"""What stands in each section."""

from __future__ import annotations

from pathlib import Path
from unittest.mock import Mock

from observe.desk.records.lines import (
    holder_blocks,
    key_blocks,
    missing_blocks,
    packet_blocks,
    wanted_blocks,
)
from observe.work.known import Department
from observe.work.linking import link_learners
from observe.work.records import disclosures, holders, lacks, missing
from observe.work.wanted import wanted
from tests.work.machines import Desk, new_desk


def test_sections_are_told_in_sentences(lead: Desk) -> None:
    lead.watch(1, "o1", upto=2)
    lead.packet("o1")
    names = lead.logbook.names()
    (here,) = holder_blocks(holders(lead.logbook))
    assert here.title == "This machine: Anna"
    (coming,) = missing_blocks(
        lead.workshop,
        missing(lead.logbook, lead.workshop),
        lacks(lead.logbook, lead.workshop),
        names,
    )
    assert coming.sentences[0] == "This machine has all it needs for it."
    assert "Seat 1, Lina One, watched by Anna: begun, not sealed." in coming.sentences
    (day,) = packet_blocks(disclosures(lead.logbook))
    assert day.title == "2 March 2026"
    assert "sent by Anna" in day.sentences[0]


def test_a_department_that_is_not_confirmed_can_be() -> None:
    asked: list[Department] = []
    strange = Department("Acute Care", b"root", pinned=False)
    known = Department("Old Ward", b"other", pinned=True)
    first, second, people = key_blocks([strange, known], ["Ben", "Ben"], asked.append)
    ((word, act),) = first.deeds
    assert word == "Confirm it …"
    act()
    assert asked == [strange]
    assert second.deeds == ()
    assert people.sentences[0] == "Ben"


def test_e7_what_one_said_against_another_is_told_with_who_said_it(
    lead: Desk, tmp_path: Path
) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    link_learners(lead.logbook, lead.workshop, "l1", "l2", by="o1")
    link_learners(other.logbook, other.workshop, "l2", "l1", by="o1")
    lead.take(other.packet("o1"))
    (told,) = wanted_blocks(wanted(lead.logbook), lead.logbook.names(), Mock())
    assert told.title.endswith("two machines had it otherwise")
    assert told.sentences[0].startswith("Anna said that two learners are one")
    assert told.deeds == ()
    other.logbook.close()
