"""What a part of a page is to somebody who listens to it (ISO 32000-1, 14.7 and 14.8).

An opening and a closing stand among the items of a page, in the order of reading. A tag
that opens again later goes on there: a table over two columns, a paragraph over two pages.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Role(StrEnum):
    """Standard structure types, and what is no content at all."""

    DOCUMENT = "Document"
    H1 = "H1"
    H2 = "H2"
    H3 = "H3"
    P = "P"
    LIST = "L"
    ENTRY = "LI"
    LABEL = "Lbl"
    BODY = "LBody"
    TABLE = "Table"
    ROW = "TR"
    HEAD = "TH"
    CELL = "TD"
    FIGURE = "Figure"
    FORM = "Form"
    ARTIFACT = "Artifact"


@dataclass(frozen=True, slots=True, eq=False)
class Tag:
    """One element, itself and no other however alike. said: in words, for what is drawn."""

    role: Role
    said: str = ""


@dataclass(frozen=True, slots=True)
class Open:
    tag: Tag


@dataclass(frozen=True, slots=True)
class Close:
    tag: Tag
