"""A file closed with a passphrase: aes128gcm (RFC 8188), its key by scrypt (RFC 7914).

The `keyid` in the head of RFC 8188 holds how the key follows from the passphrase:
`scrypt$LOG2N$R$P`, over the salt of the same head.
"""

from __future__ import annotations

import re
import secrets
import struct
from collections.abc import Iterator
from typing import IO, NamedTuple

from observe.domain.troubles import Refused

_SALT, _TAG = 16, 16
_RECORD = 1 << 16
_COST = (15, 8, 1)
"""Log2 of N, r and p: 32 MiB, about a tenth of a second."""
_KEYID = re.compile(rb"scrypt\$(\d{1,2})\$(\d{1,2})\$(\d{1,2})")
_LARGEST_COST = 18
_LAST, _MORE = b"\x02", b"\x01"


class _Head(NamedTuple):
    salt: bytes
    record: int
    cost: tuple[int, int, int]
    length: int


def is_closed(start: bytes) -> bool:
    """Whether a file that begins so is one that was closed with a passphrase."""
    return _head(start) is not None


def close(source: IO[bytes], out: IO[bytes], passphrase: str) -> None:
    """Write what `source` holds to `out`, closed with a passphrase; a record at a time.

    Raises Refused without a passphrase.
    """
    if not passphrase:
        raise Refused("A packet is not closed without a passphrase.", remedy="Give one.")
    salt = secrets.token_bytes(_SALT)
    keyid = "scrypt${}${}${}".format(*_COST).encode()
    out.write(salt + struct.pack(">IB", _RECORD, len(keyid)) + keyid)
    for record in sealed(source, _key(passphrase, salt, _COST), salt, record=_RECORD):
        out.write(record)


def open_closed(source: IO[bytes], out: IO[bytes], passphrase: str, *, where: str) -> None:
    """Write what was closed in `source` to `out`.

    Raises Refused without the passphrase that it was closed with, or where it is damaged: the
    two cannot be told apart.
    """
    from cryptography.exceptions import InvalidTag

    start = source.read(_SALT + 5 + 255)
    head = _head(start)
    if head is None or not passphrase:
        raise Refused(
            "This packet is closed with a passphrase.",
            where=where,
            remedy="Ask whoever made it, by another way than the packet came.",
        )
    source.seek(head.length)
    try:
        for part in unsealed(
            source, _key(passphrase, head.salt, head.cost), head.salt, record=head.record
        ):
            out.write(part)
    except (InvalidTag, ValueError) as error:
        raise Refused(
            "The passphrase does not open this packet, or the packet is damaged.",
            where=where,
            remedy="Type it again with care; then ask for the packet anew.",
        ) from error


def sealed(source: IO[bytes], key: bytes, salt: bytes, *, record: int) -> Iterator[bytes]:
    """The records of RFC 8188, section 2, over what a file holds. record: bytes of each."""
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    cipher, nonce = AESGCM(_derived(key, salt, b"aes128gcm", 16)), _derived(key, salt, b"nonce", 12)
    room = record - _TAG - 1
    part = source.read(room)
    number = 0
    while True:
        following = source.read(room)
        yield cipher.encrypt(_counted(nonce, number), part + (_MORE if following else _LAST), None)
        if not following:
            return
        part, number = following, number + 1


def unsealed(source: IO[bytes], key: bytes, salt: bytes, *, record: int) -> Iterator[bytes]:
    """What records of RFC 8188 hold, of a file that stands after their head.

    Raises InvalidTag where one was not sealed with the key, ValueError where the last is missing.
    """
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    cipher, nonce = AESGCM(_derived(key, salt, b"aes128gcm", 16)), _derived(key, salt, b"nonce", 12)
    held = source.read(record)
    number = 0
    while True:
        following = source.read(record)
        padded = cipher.decrypt(_counted(nonce, number), held, None).rstrip(b"\x00")
        if padded[-1:] != (_MORE if following else _LAST):
            raise ValueError("its last record is missing")
        yield padded[:-1]
        if not following:
            return
        held, number = following, number + 1


def _derived(key: bytes, salt: bytes, use: bytes, length: int) -> bytes:
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.hazmat.primitives.kdf.hkdf import HKDF

    info = b"Content-Encoding: " + use + b"\x00"
    return HKDF(algorithm=SHA256(), length=length, salt=salt, info=info).derive(key)


def _counted(nonce: bytes, number: int) -> bytes:
    return (int.from_bytes(nonce, "big") ^ number).to_bytes(len(nonce), "big")


def _key(passphrase: str, salt: bytes, cost: tuple[int, int, int]) -> bytes:
    from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

    log_n, r, p = cost
    return Scrypt(salt=salt, length=32, n=1 << log_n, r=r, p=p).derive(passphrase.encode("utf-8"))


def _head(start: bytes) -> _Head | None:
    if len(start) < _SALT + 5:
        return None
    record, length = struct.unpack(">IB", start[_SALT : _SALT + 5])
    read = _KEYID.fullmatch(start[_SALT + 5 : _SALT + 5 + length])
    if read is None or not 18 <= record <= 1 << 20:
        return None
    log_n, r, p = (int(one) for one in read.groups())
    if not (1 <= log_n <= _LARGEST_COST and 1 <= r <= 16 and 1 <= p <= 4):
        return None
    return _Head(start[:_SALT], record, (log_n, r, p), _SALT + 5 + length)
