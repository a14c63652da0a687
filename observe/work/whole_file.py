"""A file that the program makes for a person: its name, and written whole or not at all."""

from __future__ import annotations

import os
import re
import tempfile
import unicodedata
from collections.abc import Mapping
from pathlib import Path


def slug(name: str, otherwise: str) -> str:
    """A name as part of a file's name, in letters that every system takes.

    otherwise: what stands for a name of which nothing is left.
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-") or otherwise


def write_together(files: Mapping[Path, bytes]) -> None:
    """Write new files all or none. Raises OSError as the machine does, with none of them left."""
    written: list[Path] = []
    try:
        for path, data in files.items():
            write_whole(path, data)
            written.append(path)
    except OSError:
        for path in written:
            path.unlink(missing_ok=True)
        raise


def write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all; its folder is made. Raises OSError as the machine does."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    finally:
        Path(name).unlink(missing_ok=True)
