"""A department's keys: a root kept away, a daily key below it, certificates, revocation (K1).

X.509 as in RFC 5280, EC P-256. The root signs the daily key and nothing else in daily life; the
daily key answers requests (RFC 2986) and revokes. All of it works without a network.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput
from observe.trust.keys import Key, packed, signing_only

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.asymmetric.types import CertificatePublicKeyTypes

_ROOT_DAYS, _DAILY_DAYS, PERSON_DAYS = 7305, 1827, 731
_LONGEST_NAME = 64
_EARLIER = timedelta(days=1)
"""By which certificates begin before the clock's time, since clocks differ."""


@dataclass(frozen=True, slots=True)
class Founded:
    """A new department. root, daily: PKCS#12 files; root_certificate: DER."""

    root: bytes
    daily: bytes
    root_certificate: bytes


def found(name: str, at: datetime, *, root_passphrase: str, daily_passphrase: str) -> Founded:
    """Found a department: its root and the key for daily use.

    Raises BadInput without a name, or where either key would open without a passphrase.
    """
    if not name.strip() or not root_passphrase or not daily_passphrase:
        raise BadInput(
            "A department needs a name, and a passphrase for each of its keys.",
            remedy="Give all three.",
        )
    root_key, daily_key = _new_key(), _new_key()
    subject = _name(f"{name.strip()[: _LONGEST_NAME - 6]} root")
    root = _certificate(subject, subject, root_key, root_key, at=at, days=_ROOT_DAYS, below=1)
    daily = _certificate(
        _name(name.strip()[:_LONGEST_NAME]),
        subject,
        daily_key,
        root_key,
        at=at,
        days=_DAILY_DAYS,
        below=0,
    )
    return Founded(
        packed(f"{name} root", root_key, root, root_passphrase),
        packed(name, daily_key, daily, daily_passphrase),
        _der(root),
    )


def request(key: Key) -> bytes:
    """A certificate request for a person's key: DER, signed with it (RFC 2986)."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization

    return (
        x509.CertificateSigningRequestBuilder()
        .subject_name(_name(key.name[:_LONGEST_NAME]))
        .sign(_private(key), hashes.SHA256())
        .public_bytes(serialization.Encoding.DER)
    )


def answer(daily: Key, asked: bytes, *, name: str, at: datetime, days: int = PERSON_DAYS) -> bytes:
    """A certificate for a request, by the department's daily key: DER.

    name: as the department knows the person. Raises BadInput where the request is none, or was
    not signed with the key that it is for.
    """
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec

    issuer = x509.load_der_x509_certificate(daily.certificate)
    public = _requested_key(asked)
    if not isinstance(public, ec.EllipticCurvePublicKey) or public.curve.name != "secp256r1":
        raise _no_request()
    return _der(
        x509.CertificateBuilder()
        .subject_name(_name(name[:_LONGEST_NAME]))
        .issuer_name(issuer.subject)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(at - _EARLIER)
        .not_valid_after(min(at + timedelta(days=days), issuer.not_valid_after_utc))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(signing_only(), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .add_extension(_authority(_private(daily)), critical=False)
        .sign(_private(daily), hashes.SHA256())
    )


def public_key_of(asked: bytes) -> bytes:
    """The public key that a request is for: DER. Raises BadInput where it is no request."""
    from cryptography.hazmat.primitives import serialization

    return _requested_key(asked).public_bytes(
        serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo
    )


def public_key_in(certificate: bytes) -> bytes:
    """The public key in a certificate: DER."""
    from cryptography import x509
    from cryptography.hazmat.primitives import serialization

    return (
        x509.load_der_x509_certificate(certificate)
        .public_key()
        .public_bytes(serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo)
    )


def name_in(certificate: bytes) -> str:
    """Whose a certificate says it is; a root's without the word that says that it is one."""
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    subject = x509.load_der_x509_certificate(certificate).subject
    found = subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return str(found[0].value).removesuffix(" root") if found else ""


def revoke(daily: Key, certificates: Iterable[tuple[bytes, datetime]], *, at: datetime) -> bytes:
    """A list of revoked certificates, each with the time from which on it is: DER (RFC 5280)."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization

    issuer = x509.load_der_x509_certificate(daily.certificate)
    builder = (
        x509.CertificateRevocationListBuilder()
        .issuer_name(issuer.subject)
        .last_update(at)
        .next_update(at + timedelta(days=_DAILY_DAYS))
        .add_extension(x509.CRLNumber(int(at.timestamp())), critical=False)
        .add_extension(_authority(_private(daily)), critical=False)
    )
    for der, since in certificates:
        serial = x509.load_der_x509_certificate(der).serial_number
        builder = builder.add_revoked_certificate(
            x509.RevokedCertificateBuilder().serial_number(serial).revocation_date(since).build()
        )
    signed = builder.sign(_private(daily), hashes.SHA256())
    listed: bytes = signed.public_bytes(serialization.Encoding.DER)
    return listed


def listed_by(daily: Key, der: bytes) -> dict[int, datetime]:
    """Serial numbers in a list of revoked certificates, with the time; none if it is not its own.

    A list that another key signed, or that cannot be read, counts for nothing.
    """
    from cryptography import x509

    try:
        read = x509.load_der_x509_crl(der)
        issuer = x509.load_der_x509_certificate(daily.certificate)
        own = read.issuer == issuer.subject and read.is_signature_valid(issuer.public_key())  # type: ignore[arg-type] # by how keys are made
    except (ValueError, TypeError):
        return {}
    return {one.serial_number: one.revocation_date_utc for one in read} if own else {}


def serial_of(certificate: bytes) -> int:
    """The serial number of a certificate (DER)."""
    from cryptography import x509

    return x509.load_der_x509_certificate(certificate).serial_number


def _requested_key(asked: bytes) -> CertificatePublicKeyTypes:
    from cryptography import x509
    from cryptography.exceptions import UnsupportedAlgorithm

    try:
        read = x509.load_der_x509_csr(asked)
        if read.is_signature_valid:
            return read.public_key()
    except (ValueError, TypeError, UnsupportedAlgorithm) as error:
        raise _no_request() from error
    raise _no_request()


def ends(der: bytes) -> datetime:
    """Until when a certificate (DER) is valid. Raises ValueError for what is none."""
    from cryptography import x509

    return x509.load_der_x509_certificate(der).not_valid_after_utc


def _no_request() -> BadInput:
    return BadInput(
        "This is no certificate request of this program.",
        remedy="Ask for it anew on the machine where the key is.",
    )


def _new_key() -> EllipticCurvePrivateKey:
    from cryptography.hazmat.primitives.asymmetric import ec

    return ec.generate_private_key(ec.SECP256R1())


def _private(key: Key) -> EllipticCurvePrivateKey:
    from cryptography.hazmat.primitives.serialization import load_der_private_key

    return load_der_private_key(key.private, None)  # type: ignore[return-value] # by how keys are made


def _authority(signer: EllipticCurvePrivateKey) -> x509.AuthorityKeyIdentifier:
    from cryptography import x509

    return x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key())


def _name(text: str) -> x509.Name:
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _der(certificate: x509.Certificate) -> bytes:
    from cryptography.hazmat.primitives import serialization

    return certificate.public_bytes(serialization.Encoding.DER)


def _certificate(
    subject: x509.Name,
    issuer: x509.Name,
    key: EllipticCurvePrivateKey,
    signer: EllipticCurvePrivateKey,
    *,
    at: datetime,
    days: int,
    below: int,
) -> x509.Certificate:
    """A certificate that may sign others. below: how many of that kind may follow it."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes

    usage = x509.KeyUsage(
        digital_signature=True,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=True,
        crl_sign=True,
        encipher_only=False,
        decipher_only=False,
    )
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(at - _EARLIER)
        .not_valid_after(at + timedelta(days=days))
        .add_extension(x509.BasicConstraints(ca=True, path_length=below), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(_authority(signer), critical=False)
        .sign(signer, hashes.SHA256())
    )
