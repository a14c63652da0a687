"""Rule K1: own, confirmed, revoked, expired, early, of a strange department, or unknown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.trust.department import answer, found, request, revoke
from observe.trust.keys import Key, make, opened
from observe.trust.standing import UNKNOWN, Known, Standing, Trust, standing

AT = datetime(2026, 3, 2, 9, tzinfo=UTC)
LATER = AT + timedelta(days=90)


@dataclass
class Ward:
    """A department and a person whose key it confirmed."""

    daily: Key
    root: bytes
    person: Key

    @classmethod
    def new(cls, name: str = "Acute Care") -> Ward:
        made = found(name, AT, root_passphrase="r", daily_passphrase="d")  # noqa: S106
        daily = opened(made.daily, "d")
        return cls(daily, made.root_certificate, opened(make("Anna", AT)))

    @property
    def chain(self) -> list[bytes]:
        leaf = answer(self.daily, request(self.person), name="Anna", at=AT)
        return [leaf, self.daily.certificate, self.root]


WARD, OTHER = Ward.new(), Ward.new()
CHAIN = WARD.chain


def found_of(
    chain: Sequence[bytes],
    *,
    pins: Sequence[bytes] = (WARD.root,),
    lists: Sequence[bytes] = (),
    claimed: datetime = AT,
    now: datetime = LATER,
) -> Standing:
    return standing(chain, Known({}, pins, lists), claimed=claimed, now=now)


def test_an_own_key_is_known_whatever_else_is() -> None:
    known = Known({WARD.person.fingerprint: "kept here"})
    own = standing([WARD.person.certificate], known, claimed=AT, now=AT)
    assert own == Standing(Trust.OWN, "kept here")


def test_a_key_below_a_confirmed_department_is_confirmed() -> None:
    one = found_of(CHAIN)
    assert one == Standing(Trust.CONFIRMED, "confirmed by “Acute Care”")
    assert one.is_trusted
    assert found_of(CHAIN[:2]).trust is Trust.CONFIRMED


def test_a_department_that_nobody_confirmed_here_is_strange() -> None:
    for pins in ((), (OTHER.root,)):
        one = found_of(CHAIN, pins=pins)
        assert one.trust is Trust.STRANGE
        assert not one.is_trusted


def test_a_personal_key_is_unknown() -> None:
    assert found_of([WARD.person.certificate]) == UNKNOWN
    assert found_of([]) == UNKNOWN


def test_a_department_of_the_same_name_is_another_one() -> None:
    """A forgery signed by another authority is named as such."""
    forged = [OTHER.chain[0], *CHAIN[1:]]
    assert found_of(forged).trust is Trust.STRANGE


def test_a_person_confirms_nobody() -> None:
    leaf = answer(OTHER.daily, request(OTHER.person), name="Anna", at=AT)
    below = answer(OTHER.person, request(WARD.person), name="Eve", at=AT)
    assert found_of(
        [below, leaf, OTHER.daily.certificate, OTHER.root], pins=[OTHER.root]
    ).trust is (Trust.STRANGE)


def test_a_revoked_key_is_not_trusted_whatever_time_it_claims() -> None:
    listed = revoke(WARD.daily, [(CHAIN[0], AT)], at=AT)
    for claimed in (AT - timedelta(hours=1), LATER):
        one = found_of(CHAIN, lists=[listed], claimed=claimed)
        assert one.trust is Trust.REVOKED
        assert "from 2026-03-02 on" in one.sentence


def test_nobody_but_the_department_revokes() -> None:
    forged = revoke(OTHER.daily, [(CHAIN[0], AT)], at=AT)
    assert found_of(CHAIN, lists=[forged, b"", b"no list"]).trust is Trust.CONFIRMED


def test_before_it_began_and_after_it_ended() -> None:
    assert found_of(CHAIN, claimed=AT - timedelta(days=9)).trust is Trust.EARLY
    assert found_of(CHAIN, claimed=AT + timedelta(days=900)).trust is Trust.LATE
    assert found_of(CHAIN, now=AT + timedelta(days=900)).trust is Trust.EXPIRED
    assert found_of(CHAIN, now=AT + timedelta(days=900)).trust is Trust.EXPIRED


@settings(max_examples=40)
@given(st.integers(0, len(CHAIN[0]) - 1), st.integers(1, 255))
def test_a_changed_certificate_is_never_trusted(place: int, change: int) -> None:
    leaf = bytearray(CHAIN[0])
    leaf[place] ^= change
    assert not found_of([bytes(leaf), *CHAIN[1:]]).is_trusted


@pytest.mark.parametrize("junk", [b"", b"0", b"\x30\x80"])
def test_junk_is_unknown(junk: bytes) -> None:
    assert found_of([junk]) == UNKNOWN
    assert found_of([CHAIN[0], junk]) == UNKNOWN
