"""Personal keys: EC P-256, unconfirmed, in a file of their own (rule K1)."""

from datetime import datetime

import pytest
from asn1crypto import x509
from cryptography import x509 as cx509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    NoEncryption,
    pkcs12,
)

from observe.domain.troubles import BadInput, Refused
from observe.trust.keys import UNCONFIRMED, make, opened


def test_k1_a_personal_key_is_on_p256_and_says_that_it_is_unconfirmed(at: datetime) -> None:
    key = opened(make("Dr Petra Lindqvale", at))
    certificate = cx509.load_der_x509_certificate(key.certificate)
    public = certificate.public_key()
    assert isinstance(public, ec.EllipticCurvePublicKey)
    assert public.curve.name == "secp256r1"
    subject = x509.Certificate.load(key.certificate).subject.native
    assert subject["common_name"] == "Dr Petra Lindqvale"
    assert subject["organizational_unit_name"] == UNCONFIRMED
    assert key.label == UNCONFIRMED
    assert certificate.fingerprint(SHA256()).hex() == key.fingerprint


def test_a_key_is_valid_from_its_making(at: datetime) -> None:
    certificate = cx509.load_der_x509_certificate(opened(make("A", at)).certificate)
    assert certificate.not_valid_before_utc < at < certificate.not_valid_after_utc


def test_two_keys_are_never_the_same(at: datetime) -> None:
    assert opened(make("A", at)).fingerprint != opened(make("A", at)).fingerprint


def test_a_passphrase_is_needed_where_one_was_given(at: datetime) -> None:
    data = make("A", at, "amber window")
    assert opened(data, "amber window").name == "A"
    for wrong in ("", "amber", "Amber window"):
        with pytest.raises(Refused, match="does not open"):
            opened(data, wrong)


@pytest.mark.parametrize("data", [b"", b"garbage", b"\x30\x82" * 20])
def test_a_file_that_holds_no_key_is_named(data: bytes) -> None:
    with pytest.raises(Refused, match=r"keys/a\.p12"):
        opened(data, where="keys/a.p12")


def test_a_key_of_another_kind_is_refused(at: datetime) -> None:
    _, certificate, _ = pkcs12.load_key_and_certificates(make("A", at), None)
    alone = pkcs12.serialize_key_and_certificates(b"A", None, certificate, None, NoEncryption())
    with pytest.raises(BadInput, match="no signing key"):
        opened(alone)


def test_a_long_name_fits_its_certificate(at: datetime) -> None:
    name = "Professor Wilhelmina " * 8
    assert opened(make(name, at)).name == name[:64]


def test_a_key_never_shows_itself_in_print(at: datetime) -> None:
    shown = repr(opened(make("A", at)))
    assert "private" not in shown


def test_a_key_file_made_elsewhere_with_a_passphrase_opens(at: datetime) -> None:
    private, certificate, _ = pkcs12.load_key_and_certificates(make("A", at), None)
    assert isinstance(private, ec.EllipticCurvePrivateKey)
    data = pkcs12.serialize_key_and_certificates(
        b"A", private, certificate, None, BestAvailableEncryption(b"pass")
    )
    assert opened(data, "pass").name == "A"
