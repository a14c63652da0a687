"""A department confirms keys through packets, and takes it back (rule K1)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from observe.domain.events import Draft
from observe.domain.troubles import BadInput, Refused
from observe.trust.keys import opened
from observe.trust.standing import Trust
from observe.work.department import (
    answer_request,
    ask,
    found_department,
    requests,
    revoke_keys,
)
from observe.work.known import answers, as_text, departments, keys_of, pin_department
from observe.work.looking_into import look_into
from tests.work.machines import Desk, lead_desk, new_desk

AT = datetime(2026, 3, 2, 9, tzinfo=UTC)
SECRET = "amber window"  # noqa: S105 - of a test


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    """The machine on which the department was founded."""
    desk = lead_desk(tmp_path)
    (tmp_path / "stick").mkdir()
    found_department(
        keys_of(desk.logbook), "Acute Care", tmp_path / "stick", passphrase=SECRET, at=AT
    )
    yield desk
    desk.logbook.close()


@pytest.fixture
def other(lead: Desk, tmp_path: Path) -> Iterator[Desk]:
    desk = new_desk(tmp_path, "other")
    desk.take(lead.plan_packet())
    yield desk
    desk.logbook.close()


def confirm(lead: Desk, other: Desk, person: str = "o2") -> None:
    """The whole way: asked on one machine, answered on the other, and back."""
    ask(other.logbook, person)
    lead.take(other.packet(person))
    (asked,) = requests(lead.logbook)
    answer_request(lead.logbook, asked, passphrase=SECRET, by="o1")
    other.take(lead.packet("o1"))


def test_k1_a_request_and_its_answer_travel_in_packets(lead: Desk, other: Desk) -> None:
    (before,) = lead.try_out(other.packet("o2"))
    assert before.standing.trust is Trust.UNKNOWN
    confirm(lead, other)
    assert requests(lead.logbook) == requests(other.logbook) == ()
    (told,) = lead.take(other.packet("o2"))
    assert told.standing.trust is Trust.CONFIRMED
    assert "confirmed by “Acute Care”" in told.sentences[0]
    assert told.as_record()["known"] == "confirmed"


def test_k1_each_machine_confirms_the_department_itself(
    lead: Desk, other: Desk, tmp_path: Path
) -> None:
    confirm(lead, other)
    third = new_desk(tmp_path, "third")
    packet = other.packet("o2")
    assert third.take(packet)[0].standing.trust is Trust.STRANGE
    (department,) = departments(third.logbook)
    assert not department.pinned
    with pytest.raises(BadInput, match="fingerprint"):
        pin_department(third.logbook, department.fingerprint[:10])
    assert pin_department(third.logbook, department.fingerprint[:16].upper()).pinned
    assert third.try_out(packet)[0].standing.trust is Trust.CONFIRMED
    assert look_into(packet, third.logbook).standing.trust is Trust.CONFIRMED
    third.logbook.close()


def test_k1_what_is_revoked_is_told_on_every_machine(lead: Desk, other: Desk) -> None:
    confirm(lead, other)
    pin_department(other.logbook, departments(other.logbook)[0].fingerprint)
    packet = other.packet("o2")
    revoke_keys(lead.logbook, "o2", since=AT, passphrase=SECRET, by="o1")
    (told,) = lead.take(packet)
    assert told.standing.trust is Trust.REVOKED
    assert look_into(packet, lead.logbook).standing.trust is Trust.REVOKED
    other.take(lead.packet("o1"))
    lists = [*(keys_of(other.logbook) / "departments").glob("*.crl")]
    assert len(lists) == 1


def test_an_own_key_stays_known_as_own(lead: Desk, other: Desk) -> None:
    confirm(lead, other)
    assert other.try_out(other.packet("o2"))[0].standing.trust is Trust.OWN


def test_a_department_is_founded_once_and_its_root_is_kept_elsewhere(
    lead: Desk, tmp_path: Path
) -> None:
    keys = keys_of(lead.logbook)
    with pytest.raises(Refused, match="already"):
        found_department(keys, "Again", tmp_path, passphrase=SECRET, at=AT)
    fresh = tmp_path / "fresh"
    fresh.mkdir()
    for media in (fresh, tmp_path / "nowhere"):
        with pytest.raises(Refused, match="other media"):
            found_department(fresh, "New", media, passphrase=SECRET, at=AT)
    made = found_department(fresh, "New", tmp_path, passphrase=SECRET, at=AT)
    assert opened(made.root.read_bytes(), made.recovery_key).name == "New root"
    assert made.daily.stat().st_mode & 0o077 == 0
    assert made.recovery_key.encode() not in made.daily.read_bytes()


def test_another_passphrase_confirms_nobody(lead: Desk, other: Desk) -> None:
    asked = ask(other.logbook, "o2")
    lead.take(other.packet("o2"))
    assert [one.fingerprint for one in requests(lead.logbook)] == [asked.fingerprint]
    with pytest.raises(Refused, match="does not open"):
        answer_request(lead.logbook, asked, passphrase="wrong", by="o1")  # noqa: S106 - of a test
    with pytest.raises(Refused, match="not on this machine"):
        answer_request(other.logbook, asked, passphrase=SECRET, by="o1")
    with pytest.raises(BadInput, match="Nothing was confirmed"):
        revoke_keys(lead.logbook, "o2", since=AT, passphrase=SECRET, by="o1")


def test_k1_a_revocation_that_anybody_wrote_is_never_signed_by_the_department(
    lead: Desk, other: Desk, tmp_path: Path
) -> None:
    third = new_desk(tmp_path, "third")
    third.take(lead.packet("o1"))
    confirm(lead, other, "o2")
    confirm(lead, third, "o3")
    packet = third.packet("o3")
    chain = next(chain for person, chain in answers(lead.logbook) if person == "o3")
    body = {
        "list": as_text(b"no list"),
        "entries": {as_text(chain[0]): "2020-01-01T00:00:00+00:00"},
    }
    other.logbook.append([Draft("keys-revoked", body, by="o2")])
    lead.take(other.packet("o2"))
    revoke_keys(lead.logbook, "o2", since=AT, passphrase=SECRET, by="o1")
    assert lead.try_out(packet)[0].standing.trust is Trust.CONFIRMED
    (told,) = lead.try_out(other.packet("o2"))
    assert told.standing.trust is Trust.REVOKED
    assert told.waits


def test_k1_an_answer_of_a_strange_department_answers_nothing(
    lead: Desk, other: Desk, tmp_path: Path
) -> None:
    ask(other.logbook, "o2")
    asked = other.packet("o2")
    stranger = new_desk(tmp_path, "stranger")
    stranger.take(lead.packet("o1"), asked)
    (tmp_path / "its stick").mkdir()
    keys = keys_of(stranger.logbook)
    keys.mkdir(exist_ok=True)
    found_department(keys, "Acute Care", tmp_path / "its stick", passphrase=SECRET, at=AT)
    (one,) = requests(stranger.logbook)
    answer_request(stranger.logbook, one, passphrase=SECRET, by="o3")
    packet = stranger.packet("o3")
    lead.take(asked, packet)
    other.take(packet)
    assert lead.try_out(other.packet("o2"))[0].standing.trust is Trust.STRANGE
    (waits,) = requests(lead.logbook)
    answer_request(lead.logbook, waits, passphrase=SECRET, by="o1")
    other.take(lead.packet("o1"))
    (two,) = lead.try_out(other.packet("o2"))
    assert two.standing.trust is Trust.UNKNOWN  # Its own key alone, until a person chose.
    real = next(one for one in departments(lead.logbook) if one.pinned)
    pin_department(other.logbook, real.fingerprint)
    assert lead.try_out(other.packet("o2"))[0].standing.trust is Trust.CONFIRMED
