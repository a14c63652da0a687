"""A packet closed with a passphrase."""

from __future__ import annotations

import base64
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.domain.troubles import Refused
from observe.store.packet.closed import close, is_closed, open_closed, sealed, unsealed


def b64(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


PASSPHRASE = "correct horse"  # noqa: S105 - of a test


def closed(data: bytes, passphrase: str = PASSPHRASE) -> bytes:
    out = io.BytesIO()
    close(io.BytesIO(data), out, passphrase)
    return out.getvalue()


def again(data: bytes, passphrase: str = PASSPHRASE) -> bytes:
    out = io.BytesIO()
    open_closed(io.BytesIO(data), out, passphrase, where="p")
    return out.getvalue()


def test_the_example_of_rfc_8188_in_section_3_1() -> None:
    """One record: key, salt and body as printed there."""
    key = b64("yqdlZ-tYemfogSmv7Ws5PQ")
    body = b64("I1BsxtFttlv3u_Oo94xnmwAAEAAA-NAVub2qFgBEuQKRapoZu-IxkIva3MEB1PD-ly8Thjg")
    salt, head = body[:16], 21
    found = b"".join(unsealed(io.BytesIO(body[head:]), key, salt, record=4096))
    assert found == b"I am the walrus"
    assert b"".join(sealed(io.BytesIO(found), key, salt, record=4096)) == body[head:]


def test_the_example_of_rfc_8188_in_section_3_2() -> None:
    """Two records of 25 bytes, the first of them padded."""
    key = b64("BO3ZVPxUlnLORbVGMpbT1Q")
    body = b64(
        "uNCkWiNYzKTnBN9ji3-qWAAAABkCYTHOG8chz_gnvgOqdGYovxyjuqRyJFjEDyoF1Fvkj6hQPdPHI51OEUKEpgz3SsLW"
        "IqS_uA"
    )
    assert int.from_bytes(body[16:20], "big") == 25
    head = 21 + body[20]
    found = b"".join(unsealed(io.BytesIO(body[head:]), key, body[:16], record=25))
    assert found == b"I am the walrus"


@settings(max_examples=6, deadline=None)
@given(st.sampled_from([0, 1, 100, 65518, 65519, 65520, 200_000]))
def test_what_was_closed_opens_again(length: int) -> None:
    data = bytes(range(256)) * (length // 256 + 1)
    held = closed(data[:length])
    assert is_closed(held[:64])
    assert again(held) == data[:length]


def test_another_passphrase_or_a_changed_byte_does_not_open_it() -> None:
    held = closed(b"marks" * 20_000)
    with pytest.raises(Refused, match="does not open"):
        again(held, "correct Horse")
    for place in (40, 70_000, len(held) - 1):
        with pytest.raises(Refused, match="does not open"):
            again(held[:place] + bytes([held[place] ^ 1]) + held[place + 1 :])


def test_one_that_was_cut_at_a_record_is_told() -> None:
    held = closed(b"x" * 150_000)
    head = 21 + held[20]
    for records in (1, 2):
        with pytest.raises(Refused, match="does not open"):
            again(held[: head + records * 65536])


@pytest.mark.parametrize("passphrase", ["", "a"])
def test_without_its_passphrase_it_says_that_there_is_one(passphrase: str) -> None:
    held = closed(b"marks")
    with pytest.raises(Refused, match="passphrase"):
        again(held, passphrase)


def test_nothing_is_closed_without_one() -> None:
    with pytest.raises(Refused):
        closed(b"marks", "")


@pytest.mark.parametrize(
    "keyid", [b"scrypt$30$8$1", b"scrypt$15$99$1", b"scrypt$15$8$9", b"scrypt$0$8$1", b"other"]
)
def test_a_head_that_would_cost_too_much_is_no_head(keyid: bytes) -> None:
    start = bytes(16) + (65536).to_bytes(4, "big") + bytes([len(keyid)]) + keyid
    assert not is_closed(start)
    assert not is_closed(start[:10])
