"""Personal signing keys: EC P-256, self-signed, labelled unconfirmed (rule K1).

A key lives in a PKCS#12 file. Making and opening need no network.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput, Refused

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.serialization import KeySerializationEncryption

UNCONFIRMED = "a personal key, not confirmed by a department"
_DAYS_VALID = 3653
_LONGEST_NAME = 64
"""Of a common name in a certificate (RFC 5280, ub-common-name)."""


@dataclass(frozen=True)
class Key:
    """An opened key.

    fingerprint: SHA-256 of the certificate, hexadecimal. label: what is known of it. above:
    the certificates over it, DER, as far as the root of a department.
    """

    name: str
    fingerprint: str
    label: str
    certificate: bytes = field(repr=False)
    private: bytes = field(repr=False)
    above: tuple[bytes, ...] = field(default=(), repr=False)


def confirmed(key: Key, chain: Sequence[bytes]) -> Key:
    """The same key under the certificate that a department gave it. chain: DER, its own first."""
    from observe.trust.department import name_in

    own, *above = chain
    if not above:
        return key
    return replace(
        key,
        name=name_in(own),
        fingerprint=hashlib.sha256(own).hexdigest(),
        label=f"a key confirmed by “{name_in(above[0])}”",
        certificate=own,
        above=tuple(above),
    )


def make(name: str, at: datetime, passphrase: str = "") -> bytes:
    """A new key for `name` as a PKCS#12 file, valid from `at` for ten years.

    passphrase: empty for a file that opens without one.
    """
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import NameOID

    private = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.COMMON_NAME, name[:_LONGEST_NAME]),
            x509.NameAttribute(NameOID.ORGANIZATIONAL_UNIT_NAME, UNCONFIRMED),
        ]
    )
    certificate = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(private.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(at - timedelta(days=1))
        .not_valid_after(at + timedelta(days=_DAYS_VALID))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(signing_only(), critical=True)
        .sign(private, hashes.SHA256())
    )
    return packed(name, private, certificate, passphrase)


def packed(
    name: str, private: EllipticCurvePrivateKey, certificate: x509.Certificate, passphrase: str
) -> bytes:
    """A key and its certificate as a PKCS#12 file; without a passphrase it opens without one."""
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.serialization import pkcs12

    protection: KeySerializationEncryption = (
        serialization.BestAvailableEncryption(passphrase.encode("utf-8"))
        if passphrase
        else serialization.NoEncryption()
    )
    return pkcs12.serialize_key_and_certificates(
        name.encode("utf-8"), private, certificate, None, protection
    )


def packed_again(key: Key, passphrase: str) -> bytes:
    """An opened key as a PKCS#12 file with another passphrase."""
    from cryptography import x509
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    private = serialization.load_der_private_key(key.private, None)
    if not isinstance(private, ec.EllipticCurvePrivateKey):
        raise TypeError("a personal key is an EC key")
    certificate = x509.load_der_x509_certificate(key.certificate)
    return packed(key.name, private, certificate, passphrase)


def opened(data: bytes, passphrase: str = "", where: str = "") -> Key:
    """The key in a PKCS#12 file. where: the file, for what is said if it fails.

    Raises `Refused` if it does not open with the passphrase, `BadInput` if the file
    holds no such key.
    """
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.hazmat.primitives.serialization import pkcs12
    from cryptography.x509.oid import NameOID

    try:
        private, certificate, _ = pkcs12.load_key_and_certificates(
            data, passphrase.encode("utf-8") or None
        )
    except (ValueError, TypeError) as error:
        raise Refused(
            "The signing key does not open.",
            where=where,
            remedy="Check the passphrase; if it is right, the file is damaged: restore a backup.",
        ) from error
    if certificate is None or not isinstance(private, ec.EllipticCurvePrivateKey):
        raise BadInput(
            "This file holds no signing key of this program.",
            where=where,
            remedy="Choose the key file that was made with the logbook.",
        )
    der = certificate.public_bytes(serialization.Encoding.DER)
    names = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return Key(
        name=str(names[0].value) if names else "",
        fingerprint=hashlib.sha256(der).hexdigest(),
        label=UNCONFIRMED,
        certificate=der,
        private=private.private_bytes(
            serialization.Encoding.DER,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        ),
    )


def signing_only() -> x509.KeyUsage:
    """What a person's key is for: signing records, nothing else."""
    from cryptography import x509

    return x509.KeyUsage(
        digital_signature=True,
        content_commitment=True,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )
