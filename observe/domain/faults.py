"""Faults found in a person's file: data, never exceptions."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One fault of one file.

    line: counted from 1; the line of the offending entry.
    sentence: what is wrong. remedy: what to do about it.
    entry: the offending text, as short as still recognisable.
    blocking: False for a remark that does not stop the file from being used.
    """

    line: int
    sentence: str
    remedy: str
    entry: str = ""
    blocking: bool = True
