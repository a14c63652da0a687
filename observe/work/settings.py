"""The settings of one person's machine: how the desk looks, and which hand presses.

They stand in one JSON file among the person's data. They are no part of any record:
what is marked does not depend on them. A file that cannot be understood is kept
aside and answered with a trouble, never with a refusal to open the desk.
"""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from types import MappingProxyType
from typing import Any

from observe import places
from observe.domain.troubles import BadInput, Surroundings, Trouble

NAME = "settings.json"
ASIDE = "settings-damaged.json"
MOST_BYTES = 100_000
"""A settings file is a few hundred bytes; a larger one is something else."""
TEXT_SIZES = (100, 125, 150, 200)
"""Text sizes in per cent of the usual one."""
EDGE_FULL_S = (30, 3600)
"""Least and most seconds without a look after which a stretch of the table edge is full."""


class ThemeChoice(StrEnum):
    """The colours of the desk."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"
    CONTRAST = "contrast"
    CONTRAST_DARK = "contrast-dark"


class WritingHand(StrEnum):
    """The hand that presses; the keys it covers are on its side."""

    RIGHT = "right"
    LEFT = "left"


class Motion(StrEnum):
    """Whether anything moves on the screen."""

    SYSTEM = "system"
    FULL = "full"
    REDUCED = "reduced"


@dataclass(frozen=True, slots=True)
class Settings:
    """All settings of this machine.

    text: per cent, one of `TEXT_SIZES`. cue: whether the desk says where to look next;
    None where the person never chose. edge_full_s: seconds without a look after which
    a seat's stretch of the table edge is full. unknown: what a newer program wrote,
    kept as it was.
    """

    theme: ThemeChoice = ThemeChoice.SYSTEM
    text: int = 100
    hand: WritingHand = WritingHand.RIGHT
    gloves: bool = False
    motion: Motion = Motion.SYSTEM
    cue: bool | None = None
    edge_full_s: int = 180
    unknown: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class SettingsRead:
    """What was read. trouble: what a person should be told, None if all is well."""

    settings: Settings
    trouble: Trouble | None = None


def default_path() -> Path:
    """Where the settings of this person are kept."""
    return places.data() / NAME


def read_settings(path: Path) -> SettingsRead:
    """Read the settings; the usual ones where there is no file yet.

    What cannot be understood takes its usual value, the file as it was is kept aside,
    and the trouble says so. Raises nothing: the desk opens with any file.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            return SettingsRead(Settings(), _damaged(path, "it is too large"))
        data = path.read_bytes()
    except FileNotFoundError:
        return SettingsRead(Settings())
    except OSError as error:
        reason, remedy = _refusal(error)
        what = f"The settings cannot be read: {reason}. The usual ones are used."
        return SettingsRead(Settings(), Surroundings(what, where=str(path), remedy=remedy))
    settings, why = _understood(data)
    return SettingsRead(settings, _damaged(path, why) if why else None)


def _understood(data: bytes) -> tuple[Settings, str]:
    """The settings in the bytes of a file, and what is wrong with it, if anything is."""
    try:
        record = json.loads(data.decode("utf-8-sig"), parse_constant=_no_number)
    except (ValueError, RecursionError):
        return Settings(), "it is no JSON text"
    if not isinstance(record, dict):
        return Settings(), "it holds no settings"
    settings, wrong = from_record(record)
    return settings, f"not understood: {', '.join(wrong)}" if wrong else ""


def write_settings(settings: Settings, path: Path) -> None:
    """Keep the settings, whole or not at all. Raises `Surroundings` where the disk refuses."""
    text = json.dumps(to_record(settings), ensure_ascii=False, indent=2, sort_keys=True)
    try:
        _replace(path, f"{text}\n".encode())
    except OSError as error:
        reason, remedy = _refusal(error)
        raise Surroundings(
            f"The settings hold for now, but cannot be kept: {reason}.",
            where=str(path),
            remedy=remedy,
        ) from None


def to_record(settings: Settings) -> dict[str, Any]:
    """The settings as they stand in the file; what a newer program wrote is among them."""
    record: dict[str, Any] = {name: getattr(settings, name) for name in _CHECKS}
    return {**settings.unknown, **record}


def from_record(record: Mapping[str, Any]) -> tuple[Settings, tuple[str, ...]]:
    """The settings in a record, and the names of those whose value is not understood."""
    known: dict[str, Any] = {}
    wrong: list[str] = []
    for name, check in _CHECKS.items():
        if name not in record:
            continue
        try:
            known[name] = check(record[name])
        except ValueError:
            wrong.append(name)
    unknown = {name: value for name, value in record.items() if name not in _CHECKS}
    return Settings(**known, unknown=MappingProxyType(unknown)), tuple(wrong)


def _text(value: object) -> int:
    if type(value) is not int or value not in TEXT_SIZES:
        raise ValueError("not a size of text")
    return value


def _seconds(value: object) -> int:
    least, most = EDGE_FULL_S
    if type(value) is not int or not least <= value <= most:
        raise ValueError("not a time in seconds")
    return value


def _switch(value: object) -> bool:
    if value is True or value is False:
        return bool(value)
    raise ValueError("neither true nor false")


def _chosen(value: object) -> bool | None:
    return None if value is None else _switch(value)


_CHECKS: Mapping[str, Callable[[Any], Any]] = MappingProxyType(
    {
        "theme": ThemeChoice,
        "text": _text,
        "hand": WritingHand,
        "gloves": _switch,
        "motion": Motion,
        "cue": _chosen,
        "edge_full_s": _seconds,
    }
)
"""Each setting, and what turns its value in the file into one; ValueError for any other."""


def _no_number(word: str) -> None:
    raise ValueError(word)


def _refusal(error: OSError) -> tuple[str, str]:
    from observe.work import disk

    return disk.refusal(error)


def _damaged(path: Path, why: str) -> BadInput:
    """Keep a damaged file aside; the trouble says where, or that it could not be."""
    aside = path.with_name(ASIDE)
    try:
        _replace(aside, path.read_bytes()[:MOST_BYTES])
    except OSError:
        kept = "It stays where it is until a setting is changed."
    else:
        kept = f"The file as it was is kept beside it as {ASIDE}."
    return BadInput(
        f"The settings file is damaged, {why}. The usual settings are used instead.",
        where=str(path),
        remedy=f"Look at the settings and choose again. {kept}",
    )


def _replace(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        Path(name).replace(path)
    finally:
        Path(name).unlink(missing_ok=True)
