"""What two machines wrote in one place, put into force by a person (rules E5, T5)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain.marks import INCORRECT
from observe.domain.troubles import BadInput, Refused
from observe.work.forks import adopt, choose_writer, divided, tails
from tests.work.machines import Desk, copy_of, lead_desk, new_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    """A machine that has learnt of a fork of its own."""
    desk = lead_desk(tmp_path, looks=0)
    copy = copy_of(desk, tmp_path)
    desk.watch(1, "o1", upto=3)
    copy.watch(1, "o1", upto=2, mark=INCORRECT)
    desk.take(copy.packet("o1"))
    copy.logbook.close()
    yield desk
    desk.logbook.close()


def test_e5_each_tail_can_be_read_before_anybody_chooses(lead: Desk) -> None:
    one, two = tails(lead.logbook)
    assert {one.fork, two.fork} == {*lead.logbook.log.forks()}
    marks = {sum(event.kind == "mark-set" for event in each.events) for each in (one, two)}
    assert marks == {2, 3}
    assert "1 attempt" in one.sentence
    assert not one.is_adopted


def test_e5_a_tail_is_adopted_by_the_first_digits_of_its_hash(lead: Desk) -> None:
    tail = tails(lead.logbook)[1]
    assert adopt(lead.logbook, tail.hash[:8].upper(), by="o3").is_adopted
    with pytest.raises(Refused, match="in force already"):
        adopt(lead.logbook, tails(lead.logbook)[0].hash, by="o3")


@pytest.mark.parametrize("named", ["", "0", "0123456789"])
def test_what_names_no_tail_is_told(lead: Desk, named: str) -> None:
    with pytest.raises(BadInput, match="No single tail") as caught:
        adopt(lead.logbook, named, by="o3")
    assert tails(lead.logbook)[0].hash[:8] in caught.value.remedy


def test_nobody_adopts_nothing(lead: Desk) -> None:
    with pytest.raises(Refused, match="named person"):
        adopt(lead.logbook, tails(lead.logbook)[0].hash, by="")


def test_t5_marks_are_chosen_by_a_person_from_those_that_there_are(tmp_path: Path) -> None:
    lead = lead_desk(tmp_path, looks=0)
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    for desk in (lead, other):
        desk.watch(1, "o1", upto=2)
    lead.take(other.packet("o1"))
    (found,) = divided(lead.logbook, lead.workshop)
    assert found.marks == (2, 2)
    with pytest.raises(BadInput):
        choose_writer(lead.logbook, found.observation, "nobody", by="o3")
    with pytest.raises(Refused):
        choose_writer(lead.logbook, found.observation, found.devices[0], by="")
    choose_writer(lead.logbook, found.observation, found.devices[0], by="o3")
    assert [*divided(lead.logbook, lead.workshop)] == []
    for desk in (lead, other):
        desk.logbook.close()


def test_e5_two_persons_who_adopt_against_each_other_are_told_and_a_third_chooses(
    lead: Desk, tmp_path: Path
) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.packet("o1"))
    one, two = tails(lead.logbook)
    adopt(lead.logbook, one.hash, by="o3")
    adopt(other.logbook, two.hash, by="o2")
    (told,) = lead.take(other.packet("o2"))
    assert told.waits
    assert any("adopted" in sentence and "against" in sentence for sentence in told.sentences)
    assert not any(one.is_adopted for one in tails(lead.logbook))
    assert [tail.by for tail in tails(lead.logbook)] == [("Cleo",), ("Ben",)]
    adopt(lead.logbook, two.hash, by="o1")
    assert [tail.is_adopted for tail in tails(lead.logbook)] == [False, True]
    other.take(lead.packet("o1"))
    assert other.digest == lead.digest
    other.logbook.close()


def test_t5_two_who_choose_against_each_other_choose_nothing(tmp_path: Path) -> None:
    lead = lead_desk(tmp_path, looks=0)
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    for desk in (lead, other):
        desk.watch(1, "o1", upto=2)
    lead.take(other.packet("o1"))
    other.take(lead.packet("o1"))
    (found,) = divided(lead.logbook, lead.workshop)
    choose_writer(lead.logbook, found.observation, found.devices[0], by="o3")
    choose_writer(other.logbook, found.observation, found.devices[1], by="o2")
    lead.take(other.packet("o2"))
    (again,) = divided(lead.logbook, lead.workshop)
    assert again.rivals == (("Cleo",), ("Ben",))
    choose_writer(lead.logbook, found.observation, found.devices[1], by="o3")
    assert [*divided(lead.logbook, lead.workshop)] == []
    other.take(lead.packet("o1"))
    assert other.digest == lead.digest
    for desk in (lead, other):
        desk.logbook.close()
