"""A department's keys, as other X.509 programs read them (RFC 5280, RFC 2986)."""

from __future__ import annotations

import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding

from observe.domain.troubles import BadInput
from observe.trust.department import (
    Founded,
    answer,
    found,
    name_in,
    public_key_in,
    public_key_of,
    request,
    revoke,
)
from observe.trust.keys import Key, make, opened

AT = datetime(2026, 3, 2, 9, tzinfo=UTC)


@pytest.fixture(scope="module")
def founded() -> Founded:
    return found("Acute Care", AT, root_passphrase="r", daily_passphrase="d")  # noqa: S106


@pytest.fixture(scope="module")
def daily(founded: Founded) -> Key:
    return opened(founded.daily, "d")


@pytest.fixture(scope="module")
def anna() -> Key:
    return opened(make("Anna", AT))


def test_k1_an_answer_confirms_the_very_key_that_asked(daily: Key, anna: Key) -> None:
    asked = request(anna)
    certificate = answer(daily, asked, name="Dr Anna Ames", at=AT)
    assert public_key_in(certificate) == public_key_of(asked) == public_key_in(anna.certificate)
    assert name_in(certificate) == "Dr Anna Ames"
    assert name_in(daily.certificate) == "Acute Care"


@pytest.mark.outside("openssl")
def test_another_program_follows_the_chain_and_reads_the_list(
    founded: Founded, daily: Key, anna: Key, tmp_path: Path
) -> None:
    certificate = answer(daily, request(anna), name="Anna", at=AT)
    ders = {"leaf": certificate, "daily": daily.certificate, "root": founded.root_certificate}
    for name, der in ders.items():
        pem = x509.load_der_x509_certificate(der).public_bytes(Encoding.PEM)
        (tmp_path / f"{name}.pem").write_bytes(pem)
    at = str(int((AT + timedelta(days=30)).timestamp()))
    verify = ["openssl", "verify", "-x509_strict", "-attime", at, "-CAfile", "root.pem"]
    done = subprocess.run(
        [*verify, "-untrusted", "daily.pem", "leaf.pem"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "leaf.pem: OK" in done.stdout, done.stderr
    (tmp_path / "list.crl").write_bytes(revoke(daily, [(certificate, AT)], at=AT))
    read = subprocess.run(
        ["openssl", "crl", "-inform", "DER", "-in", "list.crl", "-noout", "-text"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    serial = f"{x509.load_der_x509_certificate(certificate).serial_number:X}"
    assert serial in read.stdout.replace(":", "").upper()


def test_a_certificate_does_not_outlive_the_daily_key(daily: Key, anna: Key) -> None:
    certificate = answer(daily, request(anna), name="Anna", at=AT, days=9999)
    ends = x509.load_der_x509_certificate(certificate).not_valid_after_utc
    assert ends == x509.load_der_x509_certificate(daily.certificate).not_valid_after_utc


@pytest.mark.parametrize("asked", [b"", b"0", b"\x30\x03\x02\x01\x01"])
def test_what_is_no_request_is_told(daily: Key, asked: bytes) -> None:
    with pytest.raises(BadInput, match="no certificate request"):
        answer(daily, asked, name="Anna", at=AT)


def test_a_request_that_was_changed_is_none(daily: Key, anna: Key) -> None:
    asked = bytearray(request(anna))
    place = asked.index(b"Anna")
    asked[place] ^= 1
    with pytest.raises(BadInput):
        answer(daily, bytes(asked), name="Anna", at=AT)


@pytest.mark.parametrize("given", [("", "r", "d"), ("A", "", "d"), ("A", "r", "")])
def test_neither_key_opens_without_a_passphrase(given: tuple[str, str, str]) -> None:
    name, root, daily = given
    with pytest.raises(BadInput):
        found(name, AT, root_passphrase=root, daily_passphrase=daily)
