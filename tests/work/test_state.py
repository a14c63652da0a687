"""One number for all that a logbook comes to."""

from __future__ import annotations

from observe.domain import gestures
from observe.domain.events import Draft
from observe.domain.marks import DONE
from observe.work.state import state_digest
from tests.work.conftest import Bench


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
