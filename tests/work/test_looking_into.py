"""What a packet is, and whose, before it is taken in."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.trust.standing import UNKNOWN
from observe.work.looking_into import look_into
from observe.work.packets import LEARNER, Scope
from tests.work.machines import Desk, lead_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path)
    yield desk
    desk.logbook.close()


def test_it_says_what_it_is_and_that_the_key_is_not_known(lead: Desk) -> None:
    told = look_into(lead.packet("o1", Scope(LEARNER, "l1")))
    first, about, second, third = told.sentences
    assert first == (
        "A record packet of one learner, Lina One; its clock says 2026-03-02 09:00 +0000."
    )
    assert about == "About: Skills afternoon, 2026-03-02."
    assert second.startswith(f"Signed by Anna; {UNKNOWN.sentence} (")
    assert "Marks of 1 of its attempts stay" in third
    assert told.as_record()["signer"] == told.signed.fingerprint


def test_a_key_that_is_kept_here_is_known(lead: Desk) -> None:
    packet = lead.plan_packet()
    told = look_into(packet, lead.logbook)
    assert "kept on this machine for Anna" in told.standing.sentence
