"""The structure of a sheet: a tree of what its pages say, built while they are painted.

Letters belong to the element they stand in, shapes only to a figure; all else is marked
as decoration (ISO 14289-1, 7.1). A stretch of one element is one marked sequence.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from math import ceil, floor

from observe.look.shapes import extent
from observe.sheets.blocks import Drawing, Line, Place
from observe.sheets.scripts import as_written, turned
from observe.sheets.tags import Role, Tag

_DECORATION = "/Artifact BMC"
_FOOT = "/Artifact <</Type /Pagination /Subtype /Footer>> BDC"
_END = "EMC"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A marked sequence. page: from 0; number: unique on its page."""

    page: int
    number: int


@dataclass(slots=True, eq=False)
class Element:
    """box: left, bottom, right, top of a figure on its page, in points from below.

    place: the name of the signature field that it stands for.
    """

    tag: Tag
    parent: Element | None
    kids: list[Element | Stretch] = field(default_factory=list)
    box: tuple[int, int, int, int] | None = None
    place: str = ""
    page: int = 0

    def all(self) -> Iterator[Element]:
        """The element and all below it, in the order of reading."""
        yield self
        for kid in self.kids:
            if isinstance(kid, Element):
                yield from kid.all()


class Structure:
    """Told what is painted, in its order; says what is to be written before it.

    write: puts drawing instructions onto the page at hand.
    """

    def __init__(self, write: Callable[[str], None]) -> None:
        self.document = Element(Tag(Role.DOCUMENT), None)
        self.pages: list[list[Element]] = []
        self._write = write
        self._known: dict[Tag, Element] = {}
        self._open = [self.document]
        self._running: Element | str = ""
        self._height = 0.0

    @property
    def goes_on(self) -> bool:
        """Whether words painted now may be followed by more of the same element."""
        return self._open[-1].tag.role not in (Role.FIGURE, Role.ARTIFACT, Role.DOCUMENT)

    def begin_page(self, height: float) -> None:
        self.pages.append([])
        self._height = height

    def end_page(self) -> None:
        self._end()

    def enter(self, tag: Tag) -> None:
        """What follows belongs to this tag, until it is left."""
        element = self._known.get(tag)
        if element is None:
            parent = self._open[-1]
            element = Element(tag, parent, page=len(self.pages) - 1)
            self._known[tag] = element
            if tag.role is not Role.ARTIFACT:
                parent.kids.append(element)
        self._open.append(element)

    def leave(self) -> None:
        self._open.pop()

    def before(self, item: Drawing) -> None:
        """An item is painted next."""
        element = self._open[-1]
        role = element.tag.role
        if isinstance(item, Place):
            element.place, element.page = item.name, len(self.pages) - 1
        elif role is Role.FIGURE:
            self._widen(element, item)
            self._begin(element)
        elif role is Role.ARTIFACT:
            self._decorate(_FOOT)
        elif isinstance(item, Line) and role is not Role.DOCUMENT:
            self._begin(element, _aloud(item))
        else:
            self._decorate(_DECORATION)

    def _begin(self, element: Element, aloud: str = "") -> None:
        if self._running is element and not aloud:
            return
        self._end()
        owners = self.pages[-1]
        stretch = Stretch(len(self.pages) - 1, len(owners))
        if not element.kids:
            element.page = stretch.page
        element.kids.append(stretch)
        owners.append(element)
        said = f" /ActualText <FEFF{aloud.encode('utf-16-be').hex()}>" if aloud else ""
        self._write(f"/{element.tag.role} <</MCID {stretch.number}{said}>> BDC")
        self._running = element
        if aloud:  # The words stand for this line alone.
            self._running = _ONE_LINE

    def _decorate(self, words: str) -> None:
        if self._running != words:
            self._end()
            self._write(words)
            self._running = words

    def _end(self) -> None:
        if self._running:
            self._write(_END)
            self._running = ""

    def _widen(self, element: Element, item: Drawing) -> None:
        left, top, right, bottom = (
            item.box if isinstance(item, Line) else extent((item,))  # type: ignore[arg-type] # places are no part of a figure
        )
        box = (
            floor(left),
            floor(self._height - bottom),
            ceil(right),
            ceil(self._height - top),
        )
        old = element.box or box
        element.box = (
            min(old[0], box[0]),
            min(old[1], box[1]),
            max(old[2], box[2]),
            max(old[3], box[3]),
        )


_ONE_LINE = "one line"


def _aloud(line: Line) -> str:
    """A line in the order of reading, where its letters stand in another on the page."""
    written = as_written(line.text)
    return written if written != line.text or turned(line.text) != line.text else ""
