"""Detached signatures (RFC 7515)."""

from __future__ import annotations

import base64
import json
from datetime import UTC, datetime

import pytest
from cryptography.hazmat.primitives.asymmetric import ec
from jwt.api_jws import PyJWS

from observe.domain.troubles import Doubtful
from observe.trust import keys
from observe.trust.keys import Key
from observe.trust.signature import sign, verified

AT = datetime(2026, 3, 2, tzinfo=UTC)
PAYLOAD = b'{"format":1}'


@pytest.fixture(scope="module")
def key() -> Key:
    return keys.opened(keys.make("Dr Petra Quill", AT))


@pytest.fixture(scope="module")
def signature(key: Key) -> bytes:
    return sign(PAYLOAD, key.private, [key.certificate])


def decoded(part: bytes) -> bytes:
    return base64.urlsafe_b64decode(part + b"=" * (-len(part) % 4))


def test_a_signature_names_the_key_that_made_it(key: Key, signature: bytes) -> None:
    signed = verified(PAYLOAD, signature, where="p")
    assert signed.fingerprint == key.fingerprint
    assert signed.name == "Dr Petra Quill"
    assert signed.certificates == (key.certificate,)


def test_it_is_compact_and_detached(signature: bytes, key: Key) -> None:
    """RFC 7515, appendix F, and RFC 7797: the payload is left out, and signed as it is."""
    head, payload, tail = signature.split(b".")
    assert payload == b""
    assert len(decoded(tail)) == 64
    header = json.loads(decoded(head))
    chain = [base64.b64encode(key.certificate).decode()]
    assert header == {"alg": "ES256", "b64": False, "crit": ["b64"], "x5c": chain}


def test_the_published_example_holds() -> None:
    """RFC 7515, appendix A.3: the library agrees with the standard's own signature."""
    x = "f83OJ3D2xF1Bg8vub9tLe1gHMzV76e8Tus9uPHvRVEU"
    y = "x_FEzRu9m36HLN_tue659LNpXW6pCyStikYjKIWI5a0"
    point = b"\x04" + decoded(x.encode()) + decoded(y.encode())
    public = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point)
    published = (
        "eyJhbGciOiJFUzI1NiJ9."
        "eyJpc3MiOiJqb2UiLA0KICJleHAiOjEzMDA4MTkzODAsDQogImh0dHA6Ly9leGFt"
        "cGxlLmNvbS9pc19yb290Ijp0cnVlfQ."
        "DtEhU3ljbEg8L38VWAfUAqOyKAM6-Xx-F4GawxaepmXFCgfTjDxw5djxLa8ISlSA"
        "pmWQxfKTUJqPP3-Kg6NU1Q"
    )
    assert b"joe" in PyJWS().decode(published, public, algorithms=["ES256"])


def test_any_other_payload_is_doubted(signature: bytes) -> None:
    with pytest.raises(Doubtful, match="does not hold"):
        verified(PAYLOAD + b" ", signature, where="p")


def test_every_changed_letter_of_a_signature_is_doubted(signature: bytes) -> None:
    for place in range(len(signature)):
        other = b"A" if signature[place : place + 1] != b"A" else b"B"
        forged = signature[:place] + other + signature[place + 1 :]
        try:
            signed = verified(PAYLOAD, forged, where="p")
        except Doubtful:
            continue
        # The last letter of base64 holds bits that are not used.
        assert signed == verified(PAYLOAD, signature, where="p")


@pytest.mark.parametrize(
    "header",
    [
        {"alg": "none"},
        {"alg": "HS256", "x5c": ["AA=="]},
        {"alg": "ES256"},
        {"alg": "ES256", "x5c": []},
        {"alg": "ES256", "x5c": [1]},
        {"alg": "ES256", "x5c": ["!"]},
        {"alg": "ES256", "x5c": ["AA=="] * 7},
    ],
)
def test_a_head_that_this_program_never_writes_is_doubted(
    signature: bytes, header: dict[str, object]
) -> None:
    head = base64.urlsafe_b64encode(json.dumps(header).encode()).rstrip(b"=")
    with pytest.raises(Doubtful):
        verified(PAYLOAD, head + b".." + signature.split(b".")[2], where="p")


@pytest.mark.parametrize("junk", [b"", b".", b"..", b"\xff", b"a.b.c.d", b"{}"])
def test_what_is_no_signature_is_doubted(junk: bytes) -> None:
    with pytest.raises(Doubtful):
        verified(PAYLOAD, junk, where="p")


def test_a_key_of_another_kind_is_doubted(key: Key) -> None:
    forged = sign(PAYLOAD, key.private, [b"no certificate"])
    with pytest.raises(Doubtful):
        verified(PAYLOAD, forged, where="p")
