"""A packet's file: a ZIP with known members only, written whole or not at all, read with limits."""

from __future__ import annotations

import errno
import hashlib
import os
import secrets
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import replace
from pathlib import Path
from tempfile import SpooledTemporaryFile
from typing import IO

from observe.domain.troubles import BadInput, Doubtful, Surroundings
from observe.store.packet.closed import close, is_closed, open_closed
from observe.store.packet.lines import LONGEST
from observe.store.packet.manifest import (
    FORM,
    LOG,
    Manifest,
    Member,
    NewerFormatError,
    read_manifest,
)
from observe.store.surroundings import file_in_words

MANIFEST, SIGNATURE = "manifest.json", "signature.jws"
_MOST = {MANIFEST: 4 << 20, SIGNATURE: 1 << 18}
_MOST_FORM, _MOST_LOG, _MOST_MEMBERS = 4 << 20, 8 << 30, 200
_MOST_RATIO = 200
"""Times by which a member may be larger than it is in the file; records come to about 4."""
_CHUNK = 1 << 20
_IN_MEMORY = 64 << 20
"""Bytes of a closed packet that are held open in memory; more go to a file without a name."""
_HEAD = 512
_LEVEL = 1
_TOO_MUCH = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError)
_UNREADABLE = (*_TOO_MUCH, struct.error, ValueError, OverflowError, UnicodeError, KeyError)
_BEGINS = b"PK\x03\x04"
_OTHER = "it is another kind of file"
_DAMAGED = "it is damaged, or not a packet"
_ASK_ANEW = "Ask for the packet anew. Nothing of it was taken in."


def write(
    path: Path,
    manifest: Manifest,
    lines: Iterable[bytes],
    forms: Mapping[str, str],
    sign: Callable[[bytes], bytes],
    *,
    passphrase: str = "",
) -> Manifest:
    """Write a packet; the manifest as it came to be, with its members.

    forms: sources by whole digest. sign: gives the signature of the manifest's bytes.
    passphrase: with which the whole is closed; empty leaves it open. A file
    that is there is never replaced: raises `Surroundings`, as where the disk does not allow it;
    nothing half-written stays behind.
    """
    draft = path.with_name(f".{secrets.token_hex(8)}.part")
    with file_in_words(path):
        handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        try:
            with os.fdopen(handle, "wb") as out:
                if passphrase:
                    with SpooledTemporaryFile(max_size=_IN_MEMORY) as plain:
                        whole = _fill(plain, manifest, lines, forms, sign)
                        plain.seek(0)
                        close(plain, out, passphrase)
                else:
                    whole = _fill(out, manifest, lines, forms, sign)
                out.flush()
                os.fsync(out.fileno())
            _put(draft, path)
        finally:
            with suppress(FileNotFoundError):
                draft.unlink()
    return whole


def _put(draft: Path, path: Path) -> None:
    if path.exists():
        raise Surroundings(
            "There is a file of this name already.",
            where=str(path),
            remedy="Choose another name; a packet never replaces a file.",
        )
    draft.replace(path)


def _fill(
    out: IO[bytes],
    manifest: Manifest,
    lines: Iterable[bytes],
    forms: Mapping[str, str],
    sign: Callable[[bytes], bytes],
) -> Manifest:
    members: dict[str, Member] = {}
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=_LEVEL) as packed:
        with packed.open(_info(LOG), "w", force_zip64=True) as member:
            members[LOG] = _poured(member, lines)
        for digest, source in sorted(forms.items()):
            data = source.encode("utf-8")
            packed.writestr(_info(f"forms/{digest}.toml"), data)
            members[f"forms/{digest}.toml"] = Member(len(data), hashlib.sha256(data).hexdigest())
        whole = replace(manifest, members=members)
        packed.writestr(_info(MANIFEST), whole.as_bytes())
        packed.writestr(_info(SIGNATURE), sign(whole.as_bytes()))
    return whole


def _info(name: str) -> zipfile.ZipInfo:
    """A member without a time of its own, so that the same record gives the same bytes."""
    info = zipfile.ZipInfo(name)
    info.compress_type = zipfile.ZIP_DEFLATED
    info.external_attr = 0o600 << 16
    return info


def _poured(member: IO[bytes], lines: Iterable[bytes]) -> Member:
    digest, size = hashlib.sha256(), 0
    held: list[bytes] = []
    waiting = 0
    for line in lines:
        held.append(line)
        waiting += len(line) + 1
        if waiting >= _CHUNK:
            size += _pour(member, digest.update, held)
            held, waiting = [], 0
    size += _pour(member, digest.update, held)
    return Member(size, digest.hexdigest())


def _pour(member: IO[bytes], learn: Callable[[bytes], None], lines: list[bytes]) -> int:
    data = b"".join(line + b"\n" for line in lines)
    learn(data)
    member.write(data)
    return len(data)


class Packet:
    """An open packet whose manifest was read. digest: SHA-256 of the manifest's bytes."""

    def __init__(self, path: Path, packed: zipfile.ZipFile) -> None:
        self.path = path
        self._packed = packed
        self._infos = _members(packed, path)
        self.manifest_bytes = self._small(MANIFEST)
        self.signature = self._small(SIGNATURE)
        self.digest = hashlib.sha256(self.manifest_bytes).hexdigest()
        self.manifest = self._read_manifest()

    def _read_manifest(self) -> Manifest:
        try:
            found = read_manifest(self.manifest_bytes)
        except NewerFormatError as newer:
            raise BadInput(
                f"This packet was made by a newer version of Observe (format {newer}).",
                where=str(self.path),
                remedy="Take it in with that version, or install it here.",
            ) from newer
        except (ValueError, RecursionError) as error:
            raise _doubtful(self.path, f"what it says of itself cannot be read: {error}") from error
        if {*found.members, MANIFEST, SIGNATURE} != {*self._infos}:
            raise _doubtful(self.path, "it does not hold the files that it names")
        return found

    def _small(self, name: str) -> bytes:
        most = _MOST.get(name, _MOST_FORM)
        if name not in self._infos:
            raise _no_packet(self.path, f"it holds no {name}")
        with self._packed.open(self._infos[name]) as member:
            data = member.read(most + 1)
        if len(data) > most:
            raise _doubtful(self.path, f"its {name} is too long")
        return data

    def forms(self) -> Iterator[tuple[str, str]]:
        """Whole digest and source of each form; each is what the manifest says."""
        for name, member in self.manifest.members.items():
            found = FORM.fullmatch(name)
            if found:
                with _reading(self.path):
                    data = self._small(name)
                    if hashlib.sha256(data).hexdigest() != member.sha256:
                        raise _doubtful(self.path, "a form in it is not what was written")
                    yield found[1], data.decode("utf-8")

    def lines(self) -> Iterator[bytes]:
        """The lines of the log. At the end raises `Doubtful` if they are not what was signed."""
        member = self.manifest.members.get(LOG)
        if member is None:
            raise _doubtful(self.path, "it holds no log")
        digest, size, rest = hashlib.sha256(), 0, b""
        with _reading(self.path), self._packed.open(self._infos[LOG]) as stream:
            while chunk := stream.read(_CHUNK):
                digest.update(chunk)
                size += len(chunk)
                if size > member.bytes:
                    break
                *whole, rest = (rest + chunk).split(b"\n")
                yield from whole
                if len(rest) > LONGEST:
                    raise _doubtful(self.path, "a line in it is too long")
        if rest or size != member.bytes or digest.hexdigest() != member.sha256:
            raise _doubtful(self.path, "its log is not what was signed")


def is_closed_packet(path: Path) -> bool:
    """Whether a file was closed with a passphrase."""
    with file_in_words(path), path.open("rb") as file:
        return is_closed(file.read(_HEAD))


@contextmanager
def opened(path: Path, passphrase: str = "") -> Iterator[Packet]:
    """Open a packet and read its manifest. passphrase: for one that was closed with one.

    Raises `Refused` for one that it does not open, `BadInput` for what is no packet or of a newer
    format, `Doubtful` for one that is not what was written, `Surroundings` where the file cannot
    be read.
    """
    with file_in_words(path):
        file: IO[bytes] = path.open("rb")
    with ExitStack() as stack:
        stack.enter_context(file)
        start = file.read(_HEAD)
        file.seek(0)
        if is_closed(start):
            plain = stack.enter_context(SpooledTemporaryFile(max_size=_IN_MEMORY))
            with file_in_words(path):
                open_closed(file, plain, passphrase, where=str(path))
            plain.seek(0)
            file = plain
        if not zipfile.is_zipfile(file):
            raise _cut_short(path) if start.startswith(_BEGINS) else _no_packet(path, _OTHER)
        with _reading(path):
            packed = zipfile.ZipFile(file)
        with packed:
            with _reading(path):
                packet = Packet(path, packed)
            yield packet


@contextmanager
def _reading(path: Path) -> Iterator[None]:
    try:
        with file_in_words(path):
            yield
    except _UNREADABLE as error:
        raise _doubtful(path, _DAMAGED) from error
    except Surroundings as trouble:
        # A damaged archive leads to places that its file does not have.
        if isinstance(trouble.__cause__, OSError) and trouble.__cause__.errno == errno.EINVAL:
            raise _doubtful(path, _DAMAGED) from trouble
        raise


def _members(packed: zipfile.ZipFile, path: Path) -> Mapping[str, zipfile.ZipInfo]:
    """The members by name, once it is sure that each is one that a packet may hold."""
    infos = packed.infolist()
    if len(infos) > _MOST_MEMBERS:
        raise _doubtful(path, "it holds too many files")
    found: dict[str, zipfile.ZipInfo] = {}
    for info in infos:
        name = info.filename
        known = name in (MANIFEST, SIGNATURE, LOG) or FORM.fullmatch(name)
        if not known or name != info.orig_filename or name in found:
            raise _doubtful(path, "it holds a file that no packet holds, or one twice")
        most = _MOST_LOG if name == LOG else _MOST.get(name, _MOST_FORM)
        if info.file_size > min(most, _CHUNK + _MOST_RATIO * info.compress_size):
            raise _doubtful(path, "a file in it would become too large")
        if info.flag_bits & 0x1 or info.compress_type not in (
            zipfile.ZIP_STORED,
            zipfile.ZIP_DEFLATED,
        ):
            raise _doubtful(path, "a file in it is packed as no packet packs")
        found[name] = info
    return found


def _cut_short(path: Path) -> Doubtful:
    return Doubtful(
        "This packet is not whole: it begins as packets do, and ends too early.",
        where=str(path),
        remedy="Copy it once more from where it was written. Nothing of it was taken in.",
    )


def _no_packet(path: Path, why: str) -> BadInput:
    return BadInput(
        f"This is no packet: {why}.",
        where=str(path),
        remedy="Choose a packet; its name ends in .packet.",
    )


def _doubtful(path: Path, why: str) -> Doubtful:
    return Doubtful(
        f"This packet is not what was written: {why}.", where=str(path), remedy=_ASK_ANEW
    )
