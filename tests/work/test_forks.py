"""What two machines wrote in one place, put into force by a person (rules E5, T5)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT
from observe.domain.observation import fold
from observe.domain.troubles import BadInput, Refused
from observe.work.forks import adopt, choose_writer, divided, tails
from observe.work.merging import merge_beside
from observe.work.packets import Scope
from observe.work.planning import Person, plan_workshop
from observe.work.seating import Late, add_late
from observe.work.session import Room
from tests.work.conftest import a_plan
from tests.work.machines import Desk, copy_of, lead_desk, new_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    """The lead's machine, on which a workshop was planned: nobody is seen twice."""
    desk = lead_desk(tmp_path, looks=0)
    yield desk
    desk.logbook.close()


@pytest.fixture
def torn(lead: Desk, tmp_path: Path) -> Desk:
    """A machine that has learnt of a fork of its own."""
    one, two = forked(lead, tmp_path)
    one.take(two.packet("o1"))
    two.logbook.close()
    return one


def forked(lead: Desk, tmp_path: Path) -> tuple[Desk, Desk]:
    """Two copies of one logbook that both went on under one device id."""
    lead.watch(1, "o1", upto=2)
    copy = copy_of(lead, tmp_path)
    lead.watch(1, "o1", upto=3)
    copy.watch(1, "o1", upto=2, mark=INCORRECT)
    return lead, copy


def test_e5_each_tail_can_be_read_before_anybody_chooses(torn: Desk) -> None:
    one, two = tails(torn.logbook)
    assert {one.fork, two.fork} == {*torn.logbook.log.forks()}
    marks = {sum(event.kind == "mark-set" for event in each.events) for each in (one, two)}
    assert marks == {2, 3}
    assert "1 attempt" in one.sentence
    assert not one.is_adopted


def test_e5_a_tail_is_adopted_by_the_first_digits_of_its_hash(torn: Desk) -> None:
    tail = tails(torn.logbook)[1]
    assert adopt(torn.logbook, tail.hash[:8].upper(), by="o3").is_adopted
    with pytest.raises(Refused, match="in force already"):
        adopt(torn.logbook, tails(torn.logbook)[0].hash, by="o3")


@pytest.mark.parametrize("named", ["", "0", "0123456789"])
def test_what_names_no_tail_is_told(torn: Desk, named: str) -> None:
    with pytest.raises(BadInput, match="No single tail") as caught:
        adopt(torn.logbook, named, by="o3")
    assert tails(torn.logbook)[0].hash[:8] in caught.value.remedy


def test_nobody_adopts_nothing(torn: Desk) -> None:
    with pytest.raises(Refused, match="named person"):
        adopt(torn.logbook, tails(torn.logbook)[0].hash, by="")


def test_t5_marks_are_chosen_by_a_person_from_those_that_there_are(
    lead: Desk, tmp_path: Path
) -> None:
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
    other.logbook.close()


def test_e5_two_persons_who_adopt_against_each_other_are_told_and_a_third_chooses(
    torn: Desk, tmp_path: Path
) -> None:
    other = new_desk(tmp_path, "other")
    other.take(torn.packet("o1"))
    one, two = tails(torn.logbook)
    adopt(torn.logbook, one.hash, by="o3")
    adopt(other.logbook, two.hash, by="o2")
    (told,) = torn.take(other.packet("o2"))
    assert told.waits
    assert any("adopted" in sentence and "against" in sentence for sentence in told.sentences)
    assert not any(one.is_adopted for one in tails(torn.logbook))
    assert [tail.by for tail in tails(torn.logbook)] == [("Cleo",), ("Ben",)]
    adopt(torn.logbook, two.hash, by="o1")
    assert [tail.is_adopted for tail in tails(torn.logbook)] == [False, True]
    other.take(torn.packet("o1"))
    assert other.digest == torn.digest
    other.logbook.close()


def test_t5_two_who_choose_against_each_other_choose_nothing(lead: Desk, tmp_path: Path) -> None:
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
    other.logbook.close()


# across machines


def test_a_learner_is_marked_on_after_a_fork(lead: Desk, tmp_path: Path) -> None:
    one, two = forked(lead, tmp_path)
    one.take(two.packet("o1"))
    (fork,) = one.logbook.log.forks()
    adopt(one.logbook, fork.hashes[0], by="o1")
    session = one.watch(1, "o1", upto=6)
    assert len(session.state.marks) >= 6
    two.logbook.close()


def test_e5_a_fork_is_kept_apart_on_both_machines_until_a_person_adopts(
    lead: Desk, tmp_path: Path
) -> None:
    one, two = forked(lead, tmp_path)
    mine, theirs = one.packet("o1"), two.packet("o1")
    told = one.take(theirs)[0]
    two.take(mine)
    assert told.renewed
    (fork,) = told.waiting.forks
    assert not fork.adopted
    assert one.digest == two.digest
    seat = one.workshop.seats[0]
    assert len(one.logbook.log.read(attempt=seat.attempt, kinds=("mark-set",))) == 2

    adopt(one.logbook, fork.hashes[0], by="o1")
    assert len(one.logbook.log.read(attempt=seat.attempt, kinds=("mark-set",))) in (4, 5)
    two.take(one.packet("o1"))
    assert one.digest == two.digest
    two.logbook.close()


def test_e5_a_third_machine_learns_of_a_fork_from_one_packet(lead: Desk, tmp_path: Path) -> None:
    one, two = forked(lead, tmp_path)
    one.take(two.packet("o1"))
    third = new_desk(tmp_path, "third")
    third.take(one.packet("o1"))
    assert third.digest == one.digest
    for desk in (two, third):
        desk.logbook.close()


def test_e5_a_learner_added_in_a_tail_is_passed_on_with_the_tail(
    lead: Desk, tmp_path: Path
) -> None:
    copy = copy_of(lead, tmp_path)
    lead.watch(1, "o1", upto=1)
    add_late(copy.logbook, copy.workshop, Late(Person("x", "Late Comer"), "sitting"), by="o2")
    copy.watch(len(copy.workshop.seats), "o2", upto=2)
    lead.take(copy.packet("o2"))
    third = new_desk(tmp_path, "third")
    third.take(lead.packet("o1"))
    assert third.digest == lead.digest
    (fork,) = third.logbook.log.forks()
    late = next(
        hash_
        for hash_ in fork.hashes
        if any(one.kind == "attempt-planned" for one in third.logbook.log.tail(fork, hash_))
    )
    adopt(third.logbook, late, by="o3")
    assert third.logbook.names()["x"] == "Late Comer"
    assert third.workshop.seats[-1].learner == "x"
    lead.take(third.packet("o3"))
    assert third.digest == lead.digest
    for desk in (copy, third):
        desk.logbook.close()


def test_e5_a_workshop_that_stands_in_a_tail_is_told_and_comes_back_with_it(
    lead: Desk, tmp_path: Path
) -> None:
    copy = copy_of(lead, tmp_path)
    first = lead.workshop
    again = a_plan(first.forms[0].form, title="Second afternoon", seed="two", looks=0)
    second = plan_workshop(lead.logbook, again)
    copy.watch(1, "o1", upto=2)
    packet = copy.packet("o1")
    (told,) = lead.try_out(packet)
    assert [one.id for one in told.apart] == [second.id]
    assert [*lead.logbook.workshops()] == [first.id, second.id]
    (told,) = lead.take(packet)
    assert any("Second afternoon" in one and "in a tail" in one for one in told.changes)
    assert [*lead.logbook.workshops()] == [first.id]
    (fork,) = lead.logbook.log.forks()
    mine = next(
        hash_
        for hash_ in fork.hashes
        if any(one.kind == "workshop-planned" for one in lead.logbook.log.tail(fork, hash_))
    )
    adopt(lead.logbook, mine, by="o3")
    assert [*lead.logbook.workshops()] == [first.id, second.id]
    copy.logbook.close()


def test_e5_a_part_of_a_record_brings_no_tail_that_would_count_by_itself(
    lead: Desk, tmp_path: Path
) -> None:
    third = new_desk(tmp_path, "third")
    third.take(lead.plan_packet())
    copy = copy_of(lead, tmp_path)
    for desk, learner, observer in ((lead, "s1", "o1"), (copy, "s2", "o2")):
        late = Late(Person(learner, f"Late {learner}"), "sitting")
        add_late(desk.logbook, desk.workshop, late, by=observer)
        desk.seal(desk.watch(len(desk.workshop.seats), observer))
    third.take(lead.packet("o1"), copy.packet("o1"))
    for number, scope in enumerate((Scope("observer", "o1"), Scope("observer", "o2"))):
        fresh = new_desk(tmp_path, f"fresh{number}")
        fresh.take(third.packet("o3", scope))
        assert not {"s1", "s2"} & {seat.learner for seat in fresh.workshop.seats}
        fresh.take(third.packet("o3"))
        assert fresh.digest == third.digest
        fresh.logbook.close()
    for desk in (copy, third):
        desk.logbook.close()


def test_what_only_a_tail_plans_any_more_is_told(lead: Desk, tmp_path: Path) -> None:
    copy = copy_of(lead, tmp_path)
    late = Late(Person("x", "Late Comer"), "sitting")
    add_late(lead.logbook, lead.workshop, late, by="o1")
    lead.seal(lead.watch(len(lead.workshop.seats), "o1"))
    copy.watch(1, "o1", upto=1)
    (told,) = lead.take(copy.packet("o1"))
    assert any("Late Comer: was pass, now no decision." in one for one in told.changes)
    assert told.sentences[1].startswith("New: 0 events, and 3 kept apart in a tail of a fork;")
    copy.logbook.close()


@pytest.mark.parametrize("vanishes", ["workshop", "attempt", "observation"])
def test_e5_a_window_goes_on_with_what_a_merge_puts_into_a_tail_and_no_mark_is_lost(
    lead: Desk, tmp_path: Path, vanishes: str
) -> None:
    copy = copy_of(lead, tmp_path)
    workshop = lead.workshop
    if vanishes == "workshop":
        again = a_plan(workshop.forms[0].form, title="Second afternoon", seed="two", looks=0)
        workshop = plan_workshop(lead.logbook, again)
    if vanishes == "attempt":
        late = Late(Person("x", "Late Comer"), "sitting")
        workshop = add_late(lead.logbook, workshop, late, by="o1")
    room = Room(lead.logbook, workshop, "o1")
    session = room.every[-1]
    first, second, *_ = (step.id for step in session.state.steps)
    session.do(gestures.mark, first, DONE)
    copy.watch(1, "o1", upto=1)
    place, packet = lead.logbook.path, copy.packet("o1")
    merge_beside(place, packet, lambda _done, _of: None, machine=lead.machine)
    room.catch_up()
    session.reread()
    session.do(gestures.mark, second, DONE)
    (mine,) = (
        tail.hash
        for tail in tails(lead.logbook)
        if session.state.id in {event.observation for event in tail.events}
    )
    adopt(lead.logbook, mine, by="o3")
    seat = lead.logbook.workshop(workshop.id).seat_of(session.seat.attempt)
    found = fold(lead.logbook.observation(seat.observation_of("o1")), session.ground)
    assert [*found.board.placed] == [first, second]
    copy.logbook.close()
