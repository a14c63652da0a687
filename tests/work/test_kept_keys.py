"""How the keys that are kept on a machine stand (rule K1)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from observe.trust.standing import Trust
from observe.work.department import answer_request, ask, found_department, requests, revoke_keys
from observe.work.kept_keys import department_key, kept_keys
from observe.work.known import answered_keys, keys_of
from tests.work.machines import Desk, lead_desk

AT = datetime(2026, 3, 2, 9, tzinfo=UTC)
SECRET = "amber window"  # noqa: S105 - of a test


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path)
    yield desk
    desk.logbook.close()


def founded(lead: Desk, tmp_path: Path) -> None:
    (tmp_path / "stick").mkdir()
    folder = keys_of(lead.logbook)
    found_department(folder, "Acute Care", tmp_path / "stick", passphrase=SECRET, at=AT)


def test_a_key_is_told_from_its_making_to_its_end(lead: Desk, tmp_path: Path) -> None:
    assert kept_keys(lead.logbook) == ()
    assert department_key(lead.logbook) is None
    ask(lead.logbook, "o2")
    (kept,) = kept_keys(lead.logbook)
    assert (kept.name, kept.closed, kept.asks, kept.standing) == ("Ben", False, True, None)
    assert "Open to whoever can read its file" in kept.sentences[0]
    founded(lead, tmp_path)
    here = department_key(lead.logbook)
    assert here is not None
    assert here.name == "Acute Care"
    assert here.ends is None
    (asked,) = requests(lead.logbook)
    answer_request(lead.logbook, asked, passphrase=SECRET, by="o1")
    lead.logbook.keys.close("o2", "Ben", SECRET, AT)
    (kept,) = kept_keys(lead.logbook)
    assert (kept.closed, kept.asks) == (True, False)
    assert kept.standing is not None
    assert kept.standing.trust is Trust.CONFIRMED
    assert "valid until 2028-03-0" in kept.sentences[1]  # Two years.
    here = department_key(lead.logbook)
    assert here is not None
    assert "valid until 2031-03-0" in here.sentences[1]  # Five years.
    revoke_keys(lead.logbook, "o2", since=AT + timedelta(days=1), passphrase=SECRET, by="o1")
    (kept,) = kept_keys(lead.logbook)
    assert kept.standing is not None
    assert kept.standing.trust is Trust.REVOKED
    assert "revoked its key from 2026-03-03 on." in kept.sentences[1]
    lead.machine.seconds += 6 * 366 * 86400
    here = department_key(lead.logbook)
    assert here is not None
    assert "expired on 2031" in here.sentences[1]


def test_an_expired_key_is_told_to_be_one(lead: Desk, tmp_path: Path) -> None:
    founded(lead, tmp_path)
    ask(lead.logbook, "o2")
    (asked,) = requests(lead.logbook)
    answer_request(lead.logbook, asked, passphrase=SECRET, by="o1")
    lead.machine.seconds += 3 * 366 * 86400
    (kept,) = kept_keys(lead.logbook)
    assert kept.standing is not None
    assert not kept.standing.is_trusted
    assert kept.sentences[1].startswith("Expired on 2028-03-0")
    (answered,) = answered_keys(lead.logbook)
    assert answered.ends == kept.ends


def test_a_key_that_cannot_be_read_is_left_out(lead: Desk) -> None:
    ask(lead.logbook, "o2")
    for path in keys_of(lead.logbook).glob("*.p12"):
        path.write_bytes(b"no key")
    assert kept_keys(lead.logbook) == ()
