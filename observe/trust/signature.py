"""A signature beside what it signs: a detached JWS, ES256 (RFC 7515, RFC 7797).

The certificates stand in its head.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from observe.domain.troubles import Doubtful

_ALGORITHM = "ES256"
_MOST_CERTIFICATES = 6
_REMEDY = "Do not use it; ask whoever made it to write it anew."


@dataclass(frozen=True, slots=True)
class Signed:
    """A signature that holds.

    certificates: DER, the signer's own first, as the signature brought them; nothing is said
    yet of whose they are. fingerprint: SHA-256 of the first, hexadecimal. name: what it calls
    its owner.
    """

    certificates: tuple[bytes, ...]
    fingerprint: str
    name: str


def sign(payload: bytes, private: bytes, certificates: Sequence[bytes]) -> bytes:
    """Sign with a key (PKCS#8, DER, EC P-256). certificates: DER, its own first."""
    from cryptography.hazmat.primitives.serialization import load_der_private_key
    from jwt.api_jws import PyJWS

    key = load_der_private_key(private, None)
    chain = [base64.b64encode(one).decode("ascii") for one in certificates]
    written = PyJWS().encode(
        payload,
        key,  # type: ignore[arg-type] # a P-256 key by how keys are made
        algorithm=_ALGORITHM,
        headers={"typ": None, "x5c": chain},
        is_payload_detached=True,
    )
    return written.encode("ascii")


def verified(payload: bytes, signature: bytes, *, where: str) -> Signed:
    """Check a signature over some bytes. where: the file, for what is said if it fails.

    Raises `Doubtful` where it does not hold, or is not one that this program makes.
    """
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import NameOID
    from jwt.api_jws import PyJWS
    from jwt.exceptions import PyJWTError

    try:
        text = signature.decode("ascii")
        chain = PyJWS().get_unverified_header(text).get("x5c")
        if not isinstance(chain, list) or not 1 <= len(chain) <= _MOST_CERTIFICATES:
            raise _no_signature(where)
        ders = tuple(base64.b64decode(str(one), validate=True) for one in chain)
        certificate = x509.load_der_x509_certificate(ders[0])
        key = certificate.public_key()
        if not isinstance(key, ec.EllipticCurvePublicKey) or key.curve.name != "secp256r1":
            raise _no_signature(where)
        PyJWS().decode_complete(text, key, algorithms=[_ALGORITHM], detached_payload=payload)
    except (PyJWTError, ValueError, TypeError, KeyError) as error:
        raise Doubtful(
            "The signature does not hold: this is not what was signed.",
            where=where,
            remedy=_REMEDY,
        ) from error
    names = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    name = str(names[0].value) if names else ""
    return Signed(ders, hashlib.sha256(ders[0]).hexdigest(), name)


def _no_signature(where: str) -> Doubtful:
    return Doubtful(
        "The signature is not one that this program knows.", where=where, remedy=_REMEDY
    )
