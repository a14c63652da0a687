"""A person's file, or a sentence why it cannot be read."""

from __future__ import annotations

from pathlib import Path

from observe.domain.troubles import BadInput, Surroundings

SPREADSHEETS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
WIDE = (b"\xff\xfe", b"\xfe\xff")
MARK = b"\xef\xbb\xbf"


def read_text(path: Path, most_bytes: int, when_larger: str, *, encoding: str = "utf-8") -> str:
    """The text of a file, a byte order mark at its start left out.

    A mark tells UTF-8 and UTF-16; without one the text is in `encoding`, "utf-8" or
    "latin-1". Raises as `read_bytes` does, and BadInput for what is not such text.
    """
    return _decoded(read_bytes(path, most_bytes, when_larger), str(path), encoding)


def read_bytes(path: Path, most_bytes: int, when_larger: str) -> bytes:
    """The bytes of a file.

    when_larger: the remedy for a file of more than `most_bytes`. Raises BadInput for
    what is missing, no ordinary file or larger; Surroundings where the machine refuses
    to read it.
    """
    where = str(path)
    try:
        _ordinary(path, where)
        size = path.stat().st_size
        if size > most_bytes:
            raise BadInput(
                f"The file has {_megabytes(size)} MB; up to {_megabytes(most_bytes)} MB are read.",
                where=where,
                remedy=when_larger,
            )
        return path.read_bytes()
    except OSError as error:
        from observe.work import disk

        reason, remedy = disk.refusal(error)
        what = f"The file cannot be read: {reason}."
        raise Surroundings(what, where=where, remedy=remedy) from None


def _ordinary(path: Path, where: str) -> None:
    if path.is_dir():
        raise BadInput("This is a folder.", where=where, remedy="Name a file.")
    if not path.exists():
        raise BadInput("There is no such file.", where=where, remedy="Check its name and folder.")
    if not path.is_file():
        raise BadInput("This is not an ordinary file.", where=where, remedy="Name a file on disk.")


def _decoded(data: bytes, where: str, encoding: str) -> str:
    if data.startswith(SPREADSHEETS):
        raise BadInput(
            "This is a spreadsheet or an archive, not a text file.",
            where=where,
            remedy="Export the sheet as CSV in UTF-8.",
        )
    if data.startswith(WIDE):
        return _wide(data, where)
    zero = data.find(b"\0")
    if zero >= 0:
        raise BadInput(
            f"This is not a text file: byte {zero + 1:,} is zero.",
            where=_line(data, zero, where),
            remedy="Export the table as CSV in UTF-8.",
        )
    if encoding == "latin-1" and not data.startswith(MARK):
        return data.decode("latin-1")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        at = error.start
        raise BadInput(
            f"The text is not UTF-8: byte {at + 1:,} of the file is {data[at]:#04x}.",
            where=_line(data, at, where),
            remedy="Save the file again as UTF-8.",
        ) from None


def _wide(data: bytes, where: str) -> str:
    """UTF-16 text whose byte order mark says which end comes first."""
    try:
        text = data.decode("utf-16")
    except UnicodeDecodeError as error:
        raise BadInput(
            f"The text begins as UTF-16, and byte {error.start + 1:,} of the file does not go on.",
            where=where,
            remedy="Save the file again as UTF-8.",
        ) from None
    if "\0" in text:
        raise BadInput(
            "This is not a text file: it has characters that are zero.",
            where=where,
            remedy="Export the table as CSV in UTF-8.",
        )
    return text


def _line(data: bytes, at: int, where: str) -> str:
    ends = data.replace(b"\r\n", b"\n ").replace(b"\r", b"\n")
    line = ends.count(b"\n", 0, at) + 1
    return f"{where}, line {line}"


def _megabytes(size: int) -> str:
    """A size in MB, with a decimal where it says more: "1", "1.2", "50"."""
    return f"{size / 2**20:.1f}".removesuffix(".0")
