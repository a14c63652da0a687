"""A report of a defect that leaves out names and marks.

Built from a list of what may be said: versions, kinds of error, and the lines of
this program that were running. Messages, values and paths of files are never in it.
"""

from __future__ import annotations

import platform
import traceback
from collections.abc import Iterator
from datetime import UTC, datetime
from importlib import metadata
from pathlib import Path

from observe import __version__, places

_PACKAGE = Path(__file__).resolve().parents[1]
_LIBRARIES = ("PySide6-Essentials", "SQLAlchemy", "reportlab", "pyHanko", "numpy")


def write(defect: BaseException) -> Path | None:
    """Keep a report of `defect` in the data folder; None where it cannot be written."""
    now = datetime.now(UTC)
    try:
        folder = places.data() / "defects"
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"defect-{now:%Y%m%d-%H%M%S-%f}.txt"
        path.write_text(report(defect, now), encoding="utf-8")
    except OSError:
        return None
    return path


def report(defect: BaseException, at: datetime) -> str:
    """The text of a report; `at` is when the defect was met."""
    lines = [
        f"Observe {__version__}, defect met at {at:%Y-%m-%d %H:%M:%S} UTC",
        f"Python {platform.python_version()} on {platform.system()} {platform.machine()}",
        *(f"{name} {_version(name)}" for name in _LIBRARIES),
        "",
    ]
    for error in _chain(defect):
        lines.append(f"{type(error).__module__}.{type(error).__qualname__}")
        lines.extend(f"  {frame}" for frame in _own_frames(error))
    return "\n".join(lines) + "\n"


def _version(library: str) -> str:
    try:
        return metadata.version(library)
    except metadata.PackageNotFoundError:
        return "is not installed"


def _chain(defect: BaseException) -> Iterator[BaseException]:
    """The error, then what it came from; each once."""
    met: set[int] = set()
    error: BaseException | None = defect
    while error is not None and id(error) not in met:
        met.add(id(error))
        yield error
        error = error.__cause__ or error.__context__


def _own_frames(error: BaseException) -> Iterator[str]:
    for frame in traceback.extract_tb(error.__traceback__):
        path = Path(frame.filename)
        if path.is_relative_to(_PACKAGE):
            place = path.relative_to(_PACKAGE.parent).as_posix()
            yield f"{place}:{frame.lineno} {frame.name}"
