"""What stands in each section."""

from __future__ import annotations

from observe.desk.records.lines import holder_blocks, key_blocks, missing_blocks, packet_blocks
from observe.work.known import Department
from observe.work.records import disclosures, holders, lacks, missing
from tests.work.machines import Desk


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
