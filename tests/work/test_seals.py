"""That an observation is sealed is told only by the machine that wrote it, and binds it (T3)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain.events import Draft
from observe.domain.marks import INCORRECT, NOT_DONE
from observe.work.debrief import attempt_result
from observe.work.forks import choose_writer, divided
from observe.work.packets import send_record
from observe.work.seals import KIND, is_sealed, other_seals, tell_seals, told_sealed
from tests.work.machines import Desk, lead_desk, new_desk


@pytest.fixture
def two(tmp_path: Path) -> Iterator[tuple[Desk, Desk]]:
    """The lead, who takes first looks, and the machine of the other observer of both learners."""
    lead, other = lead_desk(tmp_path), new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    yield lead, other
    for desk in (lead, other):
        desk.logbook.close()


def second(desk: Desk) -> str:
    return desk.workshop.seats[0].second


def test_t3_a_seal_is_told_once_and_believed_elsewhere(two: tuple[Desk, Desk]) -> None:
    lead, other = two
    session = lead.watch(1, "o1")
    lead.seal(session)
    other.take(lead.packet("o1"), lead.packet("o1"))
    assert len(other.logbook.log.read(kinds=(KIND,))) == 1
    assert told_sealed(other.logbook) == {session.state.id}
    assert not is_sealed(other.logbook, session.state.id)


def test_t3_a_third_machine_passes_on_what_both_told_so_that_marks_may_leave(
    two: tuple[Desk, Desk], tmp_path: Path
) -> None:
    lead, other = two
    third = new_desk(tmp_path, "third")
    third.take(lead.sent[0])
    lead.seal(lead.watch(1, "o1"))
    other.seal(other.watch(1, second(lead)))
    third.take(lead.packet("o1"), other.packet(second(lead)))
    lead.take(third.packet("o3"))
    other.take(third.packet("o3"))
    third.take(lead.packet("o1"), other.packet(second(lead)))
    seat = third.workshop.seats[0]
    assert len(attempt_result(third.logbook, third.workshop, seat).reveals) == 2
    third.logbook.close()


def test_t3_what_a_machine_says_of_anothers_observation_opens_nothing(
    two: tuple[Desk, Desk],
) -> None:
    """Who wants to see the other's marks cannot say that the other sealed, nor the other way."""
    lead, other = two
    lead.seal(lead.watch(1, "o1"))
    watcher = second(lead)
    seat = lead.workshop.seats[0]
    lie = {"observation": seat.observation_of(watcher), "seal": "0" * 64}
    lead.logbook.append([Draft(KIND, lie, lead.workshop.id, seat.attempt, by=watcher)])
    session = other.watch(1, watcher, upto=2)
    other.take(lead.packet("o1"))
    assert session.state.id not in told_sealed(other.logbook)
    lead.take(other.packet(watcher))
    assert session.state.id not in told_sealed(lead.logbook)
    sent = send_record(lead.logbook, lead.workshop, lead.folder / "x.packet", by="o1")
    assert 1 in [one.number for one in sent.withheld]


def test_t3_marks_that_were_changed_after_their_seal_was_told_are_found(
    two: tuple[Desk, Desk],
) -> None:
    """A machine that tells a seal it has not, to see the other's marks first, is found out."""
    lead, other = two
    lead.seal(lead.watch(1, "o1"))
    watcher = second(lead)
    session = other.watch(1, watcher, upto=1)
    seat = other.workshop.seats[0]
    lie = {"observation": session.state.id, "seal": "0" * 64}
    other.logbook.append([Draft(KIND, lie, other.workshop.id, seat.attempt, by=watcher)])
    lead.take(other.packet(watcher))
    other.take(lead.packet("o1"))
    other.seal(other.watch(1, watcher, mark=INCORRECT))
    (told,) = lead.take(other.packet(watcher))
    (found,) = other_seals(lead.logbook, lead.workshop)
    assert (found.observer, found.observation) == (watcher, session.state.id)
    assert told.waits
    assert any("another seal" in one for one in told.sentences)


def test_nothing_is_told_of_what_was_not_sealed_here(two: tuple[Desk, Desk]) -> None:
    lead, other = two
    lead.watch(1, "o1", upto=2)
    tell_seals(lead.logbook, lead.workshop, lead.workshop.seats)
    assert lead.logbook.log.read(kinds=(KIND,)) == []
    assert [*other_seals(other.logbook, other.workshop)] == []


@pytest.mark.parametrize("run", range(6))
def test_t5_one_truth_where_who_seals_went_on_with_what_another_machine_began(
    two: tuple[Desk, Desk], tmp_path: Path, run: int
) -> None:
    del run  # Device ids are drawn anew, and which is the first may not matter.
    lead, other = two
    watcher, seat = second(lead), lead.workshop.seats[0]
    lead.watch(1, "o1", upto=3, mark=NOT_DONE)
    one = new_desk(tmp_path, "one")
    begun = lead.packet("o1")
    one.take(lead.sent[0], begun)
    other.take(begun)
    one.seal(one.watch(1, "o1"))
    other.seal(other.watch(1, watcher))
    everybody = ((lead, "o1"), (one, "o1"), (other, watcher))
    meet(*everybody)
    assert one.digest == other.digest == lead.digest
    assert [*divided(lead.logbook, lead.workshop)]
    choose_writer(lead.logbook, seat.observation_of("o1"), one.logbook.log.device, by="o3")
    meet(*everybody)
    assert one.digest == other.digest == lead.digest
    for desk in (lead, one, other):
        assert len(attempt_result(desk.logbook, desk.workshop, seat).reveals) == 2
    one.logbook.close()


def test_t3_rooms_that_were_opened_on_the_lead_hold_nobody_up(
    two: tuple[Desk, Desk], tmp_path: Path
) -> None:
    lead, other = two
    watcher, seat = second(lead), lead.workshop.seats[0]
    for observer in ("o1", watcher):
        lead.session(1, observer)
    one = new_desk(tmp_path, "one")
    opened = lead.packet("o1")
    one.take(lead.sent[0], opened)
    other.take(opened)
    one.seal(one.watch(1, "o1"))
    other.seal(other.watch(1, watcher))
    meet((lead, "o1"), (one, "o1"), (other, watcher))
    for desk in (lead, one, other):
        assert len(attempt_result(desk.logbook, desk.workshop, seat).reveals) == 2
    assert one.digest == other.digest == lead.digest
    one.logbook.close()


def meet(*everybody: tuple[Desk, str]) -> None:
    """Let everybody take in everybody's record, as often as it takes to tell and to follow."""
    for _ in range(4):
        packets = [desk.packet(by) for desk, by in everybody]
        for desk, _by in everybody:
            desk.take(*packets)
