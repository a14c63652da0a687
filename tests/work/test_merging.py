"""Several machines, no network: one truth in the end (rules E1, E2, E5, E6, T1 to T3)."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from itertools import permutations
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from observe.domain import gestures
from observe.domain.adjudication import Ruling
from observe.domain.decision import Outcome
from observe.domain.events import Draft
from observe.domain.marks import DONE, INCORRECT
from observe.domain.troubles import BadInput, Doubtful, Refused, Stopped, Trouble
from observe.store.chain import verify
from observe.store.log import Log
from observe.store.merging import taking_in
from observe.store.packet.container import opened
from observe.work.debrief import attempt_result
from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.department import ask
from observe.work.forks import adopt, choose_writer, tails
from observe.work.known import departments
from observe.work.logbooks import Logbook
from observe.work.merging import Tick, merge_beside
from observe.work.packets import LEARNER, OBSERVER, Scope
from observe.work.records import disclosures, holders, lacks, missing
from observe.work.seals import told_sealed
from observe.work.state import state_digest
from observe.work.wanted import wanted
from tests.work.fuzzer import Fuzzer, Lines
from tests.work.machines import Desk, copy_of, lead_desk, new_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    """The lead's machine, on which a workshop was planned: two learners, one is seen twice."""
    desk = lead_desk(tmp_path, looks=1)
    yield desk
    desk.logbook.close()


@pytest.fixture
def other(lead: Desk, tmp_path: Path) -> Iterator[Desk]:
    """A second machine, made ready by the lead's plan."""
    desk = new_desk(tmp_path, "other")
    desk.take(lead.plan_packet())
    yield desk
    desk.logbook.close()


def twice(desk: Desk) -> int:
    """The number of the seat that has a second look."""
    (number,) = (seat.number for seat in desk.workshop.seats if seat.second)
    return number


def once(desk: Desk) -> int:
    return 3 - twice(desk)


def second(desk: Desk) -> str:
    """Who takes the second look."""
    return desk.workshop.seats[twice(desk) - 1].second


# plan


def test_a_plan_makes_another_machine_ready_in_one_act(lead: Desk, other: Desk) -> None:
    assert other.workshop == lead.workshop
    assert other.logbook.names() == lead.logbook.names()
    assert other.digest == lead.digest
    other.watch(twice(lead), second(lead), upto=3)


def test_a_plan_that_is_taken_in_again_changes_nothing(lead: Desk, other: Desk) -> None:
    before = other.logbook.log.position()
    told = other.take(lead.sent[0])[0]
    assert not told.is_news
    assert other.logbook.log.position() == before


# both directions


def test_two_machines_finish_one_workshop(lead: Desk, other: Desk) -> None:
    lead.seal(lead.watch(twice(lead), "o1"))
    watcher = second(lead)
    other.seal(other.watch(twice(lead), watcher))
    lead.take(other.packet(watcher))
    other.take(lead.packet("o1"))
    lead.take(other.packet(watcher))
    assert lead.digest == other.digest
    results = [
        attempt_result(d.logbook, d.workshop, d.workshop.seats[twice(d) - 1]) for d in (lead, other)
    ]
    assert results[0] == results[1]
    assert results[0].outcome is not None
    assert len(results[0].reveals) == 2


def test_t3_marks_stay_until_everybody_who_watched_has_sealed(lead: Desk, other: Desk) -> None:
    session = lead.watch(twice(lead), "o1", mark=INCORRECT)
    lead.seal(session)
    told = other.take(lead.packet("o1"))[0]
    assert told.manifest.withheld == 1
    seen = other.logbook.log.read(observation=session.state.id)
    assert {one.kind for one in seen} == {"observation-opened"}
    assert told_sealed(other.logbook) == {session.state.id}
    seat = other.workshop.seat_of(session.seat.attempt)
    other.seal(other.watch(twice(lead), second(lead)))
    found = attempt_result(other.logbook, other.workshop, seat)
    assert (found.outcome, found.reveals) == (None, ())


def test_t2_the_lead_decides_once_both_are_merged(lead: Desk, other: Desk) -> None:
    lead.seal(lead.watch(twice(lead), "o1"))
    watcher = second(lead)
    seat = lead.workshop.seats[twice(lead) - 1]
    assert attempt_result(lead.logbook, lead.workshop, seat).outcome is None
    other.seal(other.watch(twice(lead), watcher))
    other.take(lead.packet("o1"))
    lead.take(other.packet(watcher))
    assert attempt_result(lead.logbook, lead.workshop, seat).outcome is not None


def test_stubs_are_filled_by_what_comes_later(lead: Desk, other: Desk) -> None:
    lead.watch(once(lead), "o1", upto=5)
    lead.seal(lead.watch(twice(lead), "o1"))
    watcher = second(lead)
    other.seal(other.watch(twice(lead), watcher))
    other.take(lead.packet("o1"))
    lead.take(other.packet(watcher))
    told = other.take(lead.packet("o1"))[0]
    assert told.intake.events
    assert not told.waiting.forks
    assert verify(other.logbook.log).is_sound


# scopes


def test_one_learners_packet_holds_nothing_of_another(lead: Desk, tmp_path: Path) -> None:
    for seat in (1, 2):
        lead.watch(seat, "o1", upto=4)
    fresh = new_desk(tmp_path, "fresh")
    fresh.take(lead.packet("o1", Scope(LEARNER, "l1")))
    assert [seat.learner for seat in fresh.workshop.seats] == ["l1"]
    assert "l2" not in fresh.logbook.names()
    assert not fresh.logbook.log.read(attempt=lead.workshop.seats[1].attempt)
    fresh.logbook.close()


def test_one_observers_packet_holds_their_records(lead: Desk, tmp_path: Path) -> None:
    lead.watch(1, "o1", upto=4)
    fresh = new_desk(tmp_path, "fresh")
    fresh.take(lead.packet("o1", Scope(OBSERVER, "o1")))
    assert len(fresh.workshop.seats) == 2
    fresh.logbook.close()


def test_nobody_outside_the_workshop_is_a_scope(lead: Desk) -> None:
    with pytest.raises(BadInput):
        lead.packet("o1", Scope(OBSERVER, "o9"))


# any order


def test_e2_any_order_and_any_repetition_come_to_the_same(
    lead: Desk, other: Desk, tmp_path: Path
) -> None:
    third = new_desk(tmp_path, "third")
    third.take(lead.sent[0])
    watcher = second(lead)
    other.seal(other.watch(twice(lead), watcher))
    third.watch(once(lead), "o1", upto=7)
    lead.seal(lead.watch(twice(lead), "o1"))
    packets = [other.packet(watcher), third.packet("o1"), lead.packet("o1")]
    lead.take(*packets)
    packets.append(lead.packet("o1"))
    found = set()
    for number, order in enumerate(permutations(packets)):
        fresh = new_desk(tmp_path, f"fresh-{number}")
        fresh.take(lead.sent[0], *order, *order[:2])
        found.add(fresh.digest)
        fresh.logbook.close()
    assert found == {lead.digest}
    third.logbook.close()


# dry run


def test_a_dry_run_says_what_would_come_and_keeps_nothing(lead: Desk, other: Desk) -> None:
    other.watch(once(lead), "o1", upto=4)
    packet = other.packet("o1")
    before = lead.logbook.log.position(), lead.digest
    (told,) = lead.try_out(packet)
    assert told.intake.events > 4
    assert (lead.logbook.log.position(), lead.digest) == before
    assert lead.take(packet)[0].intake.events == told.intake.events


# machines that wrote in one place


def test_a_learner_is_marked_on_after_a_gap_was_filled(lead: Desk, other: Desk) -> None:
    """What comes late stands before what is newest, and is in nobody's way."""
    session = other.watch(once(lead), "o1", upto=2)
    early = other.packet("o1")
    other.watch(once(lead), "o1", upto=1)
    late = other.packet("o1")
    lead.take(late, early)
    state = lead.session(once(lead), "o1").state
    assert state == other.session(once(lead), "o1").state
    assert session.state.id == state.id


def test_t5_an_observation_has_one_machine_that_writes_it(lead: Desk, other: Desk) -> None:
    other.watch(once(lead), "o1", upto=2)
    lead.take(other.packet("o1"))
    session = lead.session(once(lead), "o1")
    with pytest.raises(Refused, match="another machine"):
        session.do(gestures.mark, session.state.steps[3].id, DONE)


def test_t5_marks_that_two_machines_set_at_once_wait_for_a_person(lead: Desk, other: Desk) -> None:
    seat = once(lead)
    for desk, mark in ((lead, DONE), (other, INCORRECT)):
        desk.seal(desk.watch(seat, "o1", mark=mark))
    packets = lead.packet("o1"), other.packet("o1")
    (told,) = lead.take(packets[1])
    other.take(packets[0])
    assert lead.digest == other.digest
    ((_, found),) = told.waiting.divided
    assert (found.seat.number, found.observer, len(found.devices)) == (seat, "o1", 2)
    result = attempt_result(lead.logbook, lead.workshop, lead.workshop.seats[seat - 1])
    assert result.outcome is None
    assert "two machines" in result.sentence
    choose_writer(lead.logbook, found.observation, other.logbook.log.device, by="o3")
    other.take(lead.packet("o1"))
    assert lead.digest == other.digest
    result = attempt_result(other.logbook, other.workshop, lead.workshop.seats[seat - 1])
    assert result.outcome is Outcome.REMEDIATE


# what is no packet


def test_what_was_changed_on_the_way_is_refused_and_nothing_is_kept(
    lead: Desk, other: Desk
) -> None:
    lead.watch(1, "o1", mark=DONE)
    packet = lead.packet("o1")
    data = packet.read_bytes()
    before = other.logbook.log.position()
    for cut in range(0, len(data), 97):
        packet.write_bytes(data[:cut])
        with pytest.raises((BadInput, Doubtful)):
            other.take(packet)
    for place in range(0, len(data), 131):
        packet.write_bytes(data[:place] + bytes([data[place] ^ 4]) + data[place + 1 :])
        try:
            other.take(packet)
        except (BadInput, Doubtful):
            continue
        # A bit that nothing depends on, such as a time in the head of the archive.
        packet.write_bytes(data)
        assert not other.take(packet)[0].is_news
        return
    assert other.logbook.log.position() == before


# hostile: whatever a person with a key of their own could write


HOSTILE = RehearsalMachine("2026-03-02T09:00:00.000+00:00", "hostile")


def judged(lines: Lines) -> None:
    """A packet of such lines is refused with a sentence, or taken in and read everywhere."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "l.observe"
        with Logbook(Log.open(path, create=True), path, HOSTILE) as logbook:
            before = logbook.log.position()
            try:
                with taking_in(logbook.log) as taking:
                    taking.take_in(lines)
            except Doubtful:
                assert logbook.log.position() == before
            read_everywhere(logbook)
            found = verify(logbook.log)  # A text may be missing: it was erased.
            wrong = [one for chain in found.devices for one in chain.breaks]
            assert all("is missing" in one.sentence for one in wrong)
            assert (found.damage, found.guards, found.strays) == ((), (), ())


def read_everywhere(logbook: Logbook) -> None:
    """Every way in which what came is read; a trouble is a sentence, anything else a defect."""
    workshops = logbook.workshops()
    for read in (
        lambda: state_digest(logbook),
        lambda: wanted(logbook).count,
        lambda: [one.sentences for one in holders(logbook)],
        lambda: [one.sentence for one in disclosures(logbook)],
        lambda: [[*missing(logbook, one)] for one in workshops.values()],
        lambda: [lacks(logbook, one) for one in workshops.values()],
        lambda: departments(logbook),
        lambda: [one.sentence for one in tails(logbook)],
    ):
        with suppress(Trouble):
            read()


@pytest.fixture
def corpus(lead: Desk, other: Desk, tmp_path: Path) -> list[Lines]:
    """Packets as they are, with every kind of note in them."""
    lead.seal(lead.watch(twice(lead), "o1"))
    other.seal(other.watch(twice(lead), second(lead), mark=INCORRECT))
    ask(other.logbook, second(lead))
    copy = copy_of(lead, tmp_path)
    lead.watch(once(lead), "o1", upto=2)
    copy.watch(once(lead), "o1", upto=1)
    other.take(lead.packet("o1"))
    lead.take(other.packet(second(lead)), copy.packet("o1"))
    adopt(lead.logbook, lead.logbook.log.forks()[0].hashes[0], by="o3")
    kinds: list[tuple[str, dict[str, object]]] = [
        ("writer-chosen", {"observation": "o", "device": "d"}),
        ("same-learner", {"learner": "l1", "same_as": "l2"}),
        ("same-attempt", {"same_as": lead.workshop.seats[0].attempt}),
        ("key-answered", {"person": "o1", "chain": ["AA=="]}),
        ("keys-revoked", {"list": "AA==", "entries": {}}),
        ("sheet-issued", {"sha256": "s", "revision": 1}),
        ("decision-signed", {"outcome": "pass", "trace": "t"}),
        ("adjudicated", Ruling(Outcome.PASS, frozenset(), frozenset(), "d").as_record()),
    ]
    attempt = lead.workshop.seats[1].attempt
    lead.logbook.append(
        [Draft(kind, body, lead.workshop.id, attempt, by="o1") for kind, body in kinds]
    )
    copy.logbook.close()
    found = []
    for packet in (lead.sent[0], lead.packet("o1")):
        with opened(packet) as one:
            found.append(tuple(one.lines()))
    return found


def test_no_line_does_harm(corpus: list[Lines]) -> None:
    for lines in corpus:
        judged(lines)
    fuzzer = Fuzzer(1, corpus, "observe/")
    assert fuzzer.run(60, judged) > 5


@pytest.mark.deep
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("seed", range(2, 10))
def test_no_line_does_harm_in_thousands_of_tries(corpus: list[Lines], seed: int) -> None:
    assert Fuzzer(seed, corpus, "observe/").run(600, judged) > 5


# beside a window


def large_packet(lead: Desk) -> Path:
    """A packet with ten thousand events more than the plan."""
    for _ in range(10):
        named = [
            Draft("person-named", {"person": "o1"}, by="o1", texts={"name": "Anna"})
            for _ in range(1000)
        ]
        lead.logbook.append(named)
    return lead.plan_packet()


def stopping_at(share: float, trouble: Trouble) -> Tick:
    def tick(done: int, total: int) -> None:
        if done >= share * total:
            raise trouble

    return tick


def test_a_large_packet_that_is_stopped_anywhere_leaves_the_logbook_untouched(
    lead: Desk, tmp_path: Path
) -> None:
    packet = large_packet(lead)
    there = new_desk(tmp_path, "there")
    for share, trouble in ((0, Stopped()), (0.5, Stopped()), (0.5, Refused("No.")), (1, Stopped())):
        with pytest.raises(type(trouble)):
            merge_beside(
                there.logbook.path,
                packet,
                stopping_at(share, trouble),
                machine=there.machine,
            )
        assert there.logbook.log.position() == 0
        assert not there.logbook.log.forms()
    said: list[tuple[int, int]] = []

    def tick(done: int, total: int) -> None:
        said.append((done, total))

    dry = merge_beside(there.logbook.path, packet, tick, machine=there.machine, dry=True)
    assert dry.intake.events > 10_000
    assert there.logbook.log.position() == 0
    told = merge_beside(there.logbook.path, packet, tick, machine=there.machine)
    assert told.intake.events == dry.intake.events
    assert there.digest == lead.digest
    assert len(said) > 40
    assert all(0 <= done <= total for done, total in said)
    there.logbook.close()


def test_a_window_goes_on_under_the_id_that_a_packet_taken_in_beside_it_made_needful(
    lead: Desk, tmp_path: Path
) -> None:
    copy = copy_of(lead, tmp_path)
    lead.seal(lead.watch(once(lead), "o1"))
    copy.watch(once(lead), "o1", upto=1)
    before = copy.logbook.log.device
    packet = lead.packet("o1")
    told = merge_beside(copy.logbook.path, packet, lambda *_: None, machine=copy.machine)
    assert told.renewed
    (event,) = copy.logbook.append([Draft("person-named", {"person": "o1"}, by="o1")])
    assert before != event.device == told.renewed == copy.logbook.log.device
    assert verify(copy.logbook.log).is_sound
    copy.logbook.close()
