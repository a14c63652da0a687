"""One number for all that a logbook comes to."""

from __future__ import annotations

import random
from contextlib import suppress
from pathlib import Path

import pytest

from observe.domain import gestures
from observe.domain.decision import Outcome
from observe.domain.events import Draft
from observe.domain.marks import DONE, INCORRECT
from observe.domain.troubles import BadInput, Refused
from observe.work.dropping import drop_look, restore_look
from observe.work.forks import adopt, choose_writer, divided, tails
from observe.work.overruling import overrule
from observe.work.packets import OBSERVER, Scope
from observe.work.planning import Person
from observe.work.reattributing import reattribute
from observe.work.seating import Late, add_late
from observe.work.session import open_session
from observe.work.state import state_digest
from tests.work.conftest import Bench
from tests.work.machines import Desk, copy_of, lead_desk, new_desk


def test_each_mark_changes_it(bench: Bench) -> None:
    before = state_digest(bench.logbook)
    session = bench.session(1, "o1")
    opened = state_digest(bench.logbook)
    session.do(gestures.mark, session.state.steps[0].id, DONE)
    assert len({before, opened, state_digest(bench.logbook)}) == 3


def test_what_a_machine_notes_of_its_packets_does_not(bench: Bench) -> None:
    before = state_digest(bench.logbook)
    bench.logbook.append(
        [Draft("packet-sent", {"packet": "p"}), Draft("device-named", {"turn": 9})]
    )
    assert state_digest(bench.logbook) == before


# any number of machines, any partition of what they wrote into packets, any order


def exchange(desks: list[Desk], draw: random.Random) -> None:
    """Everybody's packets to everybody, in any order, some of them twice, until nothing is new."""
    for _ in range(6):
        packets = [one for desk in desks for one in some_packets(desk, draw)]
        for desk in desks:
            order = packets + draw.sample(packets, len(packets) // 2)
            draw.shuffle(order)
            desk.take(*order)
        if len({desk.digest for desk in desks}) == 1:
            return


def some_packets(desk: Desk, draw: random.Random) -> list[Path]:
    """A machine's record whole, or in parts by observer, whichever way it comes."""
    if not desk.logbook.workshops():
        return []
    if draw.random() < 0.5:
        return [desk.packet("o1")]
    return [desk.packet(one, Scope(OBSERVER, one)) for one in ("o1", "o2", "o3")]


def act(desk: Desk, draw: random.Random) -> None:
    """Something that a person does at a machine; what the rules refuse does not happen."""
    number, observer = draw.randint(1, 2), draw.choice(("o1", "o2", "o3"))
    if draw.random() < 0.3:
        with suppress(Refused, BadInput):
            decide(desk, draw, number, observer)
        return
    if observer not in desk.workshop.seats[number - 1].observers:
        return
    with suppress(Refused):
        session = desk.watch(
            number, observer, upto=draw.randint(1, 5), mark=draw.choice((DONE, INCORRECT))
        )
        if draw.random() < 0.4:
            desk.seal(session)


def decide(desk: Desk, draw: random.Random, number: int, by: str) -> None:
    """What persons say on machines that did not meet, often against each other."""
    logbook, workshop = desk.logbook, desk.workshop
    seat = workshop.seats[number - 1]
    asked = draw.choice(("late", "drop", "restore", "writer", "adopt", "overrule", "exchange"))
    if asked == "late":
        add_late(logbook, workshop, Late(Person("again", "Known Before"), "sitting"), by=by)
        late = desk.workshop.seats[-1]
        session = open_session(logbook, desk.workshop, late, by)
        session.do(gestures.mark, session.state.steps[0].id, DONE)
    elif asked == "drop":
        drop_look(logbook, workshop, seat, reason="Ill.", by=by)
    elif asked == "restore":
        restore_look(logbook, workshop, seat, reason="Here.", by=by)
    elif asked == "overrule":
        outcome = draw.choice((Outcome.PASS, Outcome.REMEDIATE))
        overrule(logbook, workshop, seat, outcome, reason="Film.", by=draw.choice(("d1", "d2")))
    elif asked == "exchange":
        reattribute(logbook, workshop, seat, workshop.seats[-number], reason="Seats.", by=by)
    elif asked == "writer":
        for each in divided(logbook, workshop):
            choose_writer(logbook, each.observation, draw.choice(each.devices), by=by)
    else:
        for tail in tails(logbook)[:1]:
            adopt(logbook, draw.choice(tail.fork.hashes), by=by)


def seal_all(desks: list[Desk]) -> None:
    """Every observer seals every attempt on every machine that lets them; nothing stays blind."""
    for desk in desks:
        for number, seat in enumerate(desk.workshop.seats, start=1):
            for observer in seat.observers:
                with suppress(Refused):
                    session = desk.session(number, observer)
                    if not session.state.sealed:
                        desk.seal(desk.watch(number, observer, upto=2))


def run_of(seed: int, folder: Path) -> None:
    draw = random.Random(seed)
    lead = lead_desk(folder)
    desks = [lead]
    for number in range(draw.randint(1, 5)):
        desks.append(new_desk(folder, f"m{number}"))
        desks[-1].take(lead.plan_packet())
    if draw.random() < 0.4:
        desks.append(copy_of(lead, folder))
    for _ in range(draw.randint(2, 12)):
        act(draw.choice(desks), draw)
        if draw.random() < 0.3:
            one, other = draw.choice(desks), draw.choice(desks)
            other.take(*some_packets(one, draw))
    seal_all(desks)
    exchange(desks, draw)
    if len({desk.digest for desk in desks}) > 1:  # A fork can hold back a seal, and so marks.
        for fork in lead.logbook.log.forks():
            if not fork.adopted:
                adopt(lead.logbook, fork.hashes[0], by="d1")
        exchange(desks, draw)
        seal_all(desks)
        exchange(desks, draw)
    found = {desk.digest for desk in desks}
    for desk in desks:
        desk.logbook.close()
    assert len(found) == 1, seed


@pytest.mark.parametrize("seed", range(6))
def test_e2_two_to_six_machines_come_to_one_state(seed: int, tmp_path: Path) -> None:
    run_of(seed, tmp_path)


@pytest.mark.deep
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("hundred", range(20))
def test_e2_thousands_of_runs_come_to_one_state(hundred: int, tmp_path: Path) -> None:
    for seed in range(100 * hundred + 100, 100 * hundred + 200):
        folder = tmp_path / str(seed)
        folder.mkdir()
        run_of(seed, folder)
