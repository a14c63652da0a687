"""What is known of a key: own, confirmed by a department, revoked, expired, or nothing (K1)."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cryptography import x509


class Trust(StrEnum):
    """How far a key is known here."""

    OWN = "own"
    CONFIRMED = "confirmed"
    REVOKED = "revoked"
    EXPIRED = "expired"
    EARLY = "early"
    LATE = "late"
    STRANGE = "strange"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Standing:
    """What is known of a key, and the sentence that says it."""

    trust: Trust
    sentence: str

    @property
    def is_trusted(self) -> bool:
        """Whether it may be believed whose the key is."""
        return self.trust in (Trust.OWN, Trust.CONFIRMED)


UNKNOWN = Standing(
    Trust.UNKNOWN,
    "its key is not known on this machine: that it is theirs is only what the key says",
)


@dataclass(frozen=True)
class Known:
    """What this machine knows. own: fingerprint of a certificate, to what is known of it.

    pins: the roots of departments that a person confirmed here, DER. revocations: lists of
    revoked certificates, DER, as packets brought them; one counts only if it is signed by a
    key below a pinned root.
    """

    own: Mapping[str, str]
    pins: Collection[bytes] = ()
    revocations: Collection[bytes] = ()


def standing(
    chain: Sequence[bytes],
    known: Known,
    *,
    claimed: datetime,
    now: datetime,
    held: datetime | None = None,
) -> Standing:
    """What is known of the key whose certificate comes first in a chain (DER).

    claimed: when it says that it signed; now: what the clock here says. held: since when this
    machine knew of what was signed, so that a key revoked from later on still speaks for it.
    """
    from cryptography import x509

    if not chain:
        return UNKNOWN
    fingerprint = hashlib.sha256(chain[0]).hexdigest()
    if fingerprint in known.own:
        return Standing(Trust.OWN, known.own[fingerprint])
    try:
        certificates = [x509.load_der_x509_certificate(one) for one in chain]
        pins = [x509.load_der_x509_certificate(one) for one in known.pins]
        return _of_department(certificates, pins, known.revocations, (claimed, now, held))
    except (ValueError, TypeError):
        return UNKNOWN


def _of_department(
    chain: Sequence[x509.Certificate],
    pins: Sequence[x509.Certificate],
    revocations: Collection[bytes],
    times: tuple[datetime, datetime, datetime | None],
) -> Standing:
    claimed, now, held = times
    path = _path(chain, pins)
    if path is None:
        return _unpinned(chain)
    leaf, daily = path[0], path[1]
    name = _common_name(daily.subject)
    begins = leaf.not_valid_before_utc
    since = _revoked_since(leaf, daily, revocations)
    if since is None and len(path) > 2:
        since = _revoked_since(daily, path[2], revocations)
    if since is not None and held is not None and held < since:
        said = f"confirmed by “{name}”, revoked from {since:%Y-%m-%d} on, known here before"
        return Standing(Trust.CONFIRMED, said)
    if since is not None:  # Whatever time it claims: who has a lost key can claim any.
        said = f"“{name}” revoked its key from {since:%Y-%m-%d} on"
        return Standing(Trust.REVOKED, said)
    return _in_time(name, (begins, min(one.not_valid_after_utc for one in path)), claimed, now)


def _in_time(
    name: str, valid: tuple[datetime, datetime], claimed: datetime, now: datetime
) -> Standing:
    """Of a certificate that is not revoked. valid: from when to when."""
    begins, ends = valid
    if claimed < begins:
        return Standing(Trust.EARLY, f"it claims a time before its certificate of “{name}” began")
    if claimed > ends:
        said = f"it claims a time after its certificate of “{name}” ended on {ends:%Y-%m-%d}"
        return Standing(Trust.LATE, said)
    if now > ends:
        said = f"its certificate of “{name}” ended on {ends:%Y-%m-%d}, after the time it claims"
        return Standing(Trust.EXPIRED, said)
    return Standing(Trust.CONFIRMED, f"confirmed by “{name}”")


def _unpinned(chain: Sequence[x509.Certificate]) -> Standing:
    if len(chain) == 1:
        return UNKNOWN
    name = _common_name(chain[0].issuer)
    said = f"its key is confirmed by “{name}”, a department that nobody confirmed on this machine"
    return Standing(Trust.STRANGE, said)


def _path(
    chain: Sequence[x509.Certificate], pins: Sequence[x509.Certificate]
) -> list[x509.Certificate] | None:
    """The chain as far as a pinned root, each issued by the next; None if it leads to none."""
    path = [chain[0]]
    for one in [*chain[1:], *pins]:
        if one == path[-1] or not _is_issued_by(path[-1], one, below=len(path) - 1):
            continue
        path.append(one)
        if one in pins:
            return path
    return None


def _is_issued_by(one: x509.Certificate, issuer: x509.Certificate, *, below: int) -> bool:
    """Whether a certificate was signed by another that may do so. below: how many it has to."""
    from cryptography import x509
    from cryptography.exceptions import InvalidSignature

    try:
        constraints = issuer.extensions.get_extension_for_class(x509.BasicConstraints).value
        usage = issuer.extensions.get_extension_for_class(x509.KeyUsage).value
        one.verify_directly_issued_by(issuer)
    except (InvalidSignature, ValueError, TypeError, x509.ExtensionNotFound):
        return False
    deep = constraints.path_length is None or constraints.path_length >= below
    return constraints.ca and usage.key_cert_sign and deep


def _revoked_since(
    one: x509.Certificate, issuer: x509.Certificate, revocations: Collection[bytes]
) -> datetime | None:
    """From when on a certificate is revoked, by any list of its issuer; None if by none."""
    from cryptography import x509

    found: list[datetime] = []
    for der in revocations:
        try:
            listed = x509.load_der_x509_crl(der)
            key = issuer.public_key()
            if listed.issuer != issuer.subject or not listed.is_signature_valid(key):  # type: ignore[arg-type] # by how keys are made
                continue
        except (ValueError, TypeError):
            continue
        entry = listed.get_revoked_certificate_by_serial_number(one.serial_number)
        if entry is not None:
            found.append(entry.revocation_date_utc)
    return min(found, default=None)


def _common_name(name: x509.Name) -> str:
    from cryptography.x509.oid import NameOID

    found = name.get_attributes_for_oid(NameOID.COMMON_NAME)
    return str(found[0].value) if found else "no name"
