"""Layout as data: a block has a size and holds lines of text and shapes.

Everything is measured while it is placed, so nothing can be cut or run into its
neighbour. Origin top left, y down, in points; the painter turns it for the page.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import reduce

from observe.look.shapes import Rect, Shape, Shapes, extent, moved
from observe.look.tokens import Token
from observe.sheets.scripts import runs_leftward
from observe.sheets.tags import Close, Open, Role, Tag
from observe.sheets.typeset import Style, broken, prepared, width

ROOM = 0.005
"""Slack in points for sums of measured widths."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text. y: its baseline."""

    x: float
    y: float
    text: str
    style: Style
    width: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of what the letters may cover."""
        size = self.style.size
        return (self.x, self.y - 0.8 * size, self.x + self.width, self.y + 0.21 * size)


@dataclass(frozen=True, slots=True)
class Place:
    """A named place for something that is not drawn here: a signature field."""

    name: str
    x: float
    y: float
    width: float
    height: float


Drawing = Line | Place | Shape
"""What is seen of a page."""

Item = Drawing | Open | Close
"""What a page is made of: what is seen, and between it what it is to a listener."""


@dataclass(frozen=True, slots=True)
class Block:
    """Items within (0, 0, width, height), in the order of reading."""

    width: float
    height: float
    items: tuple[Item, ...] = ()


NOTHING = Block(0, 0)


def shifted(items: Iterable[Item], dx: float, dy: float) -> tuple[Item, ...]:
    """The same items elsewhere."""
    if not dx and not dy:
        return tuple(items)
    there: list[Item] = []
    for item in items:  # Most of the time that a layout takes is spent here.
        if type(item) is Line:
            there.append(Line(item.x + dx, item.y + dy, item.text, item.style, item.width))
        elif type(item) is Open or type(item) is Close:
            there.append(item)
        elif type(item) is Rect:
            there.append(Rect(item.x + dx, item.y + dy, item.width, item.height, item.ink))
        elif isinstance(item, Place):
            there.append(Place(item.name, item.x + dx, item.y + dy, item.width, item.height))
        elif not isinstance(item, Line | Open | Close):
            there.extend(moved((item,), dx, dy))
    return tuple(there)


def drawn(shapes: Shapes, wide: float, high: float) -> Block:
    """Shapes as a block."""
    return Block(wide, high, shapes)


def tagged(block: Block, *tags: Tag | Role) -> Block:
    """A block as an element of the page's structure, the outermost tag first.

    Whatever has nothing in it gets no tag.
    """
    if not block.items:
        return block
    items = block.items
    for one in reversed(tags):
        tag = Tag(one) if isinstance(one, Role) else one
        items = (Open(tag), *items, Close(tag))
    return Block(block.width, block.height, items)


def figure(block: Block, said: str) -> Block:
    """A block as a picture, with the words that say the same."""
    return tagged(block, Tag(Role.FIGURE, said))


def seen_of(items: Iterable[Item]) -> tuple[Drawing, ...]:
    """What is seen, without what it is to a listener."""
    return tuple(item for item in items if not isinstance(item, Open | Close))


def paragraph(
    text: str, style: Style, room: float, *, right: bool = False, role: Role | None = None
) -> Block:
    """Text broken to `room`. An empty text takes no room.

    right: flush right, as several lines that run from right to left are in any case.
    role: what it is to a listener, where it is an element of its own.
    """
    lines = broken(text, style, room)
    right = right or (len(lines) > 1 and runs_leftward(text))
    first = (style.line + style.cap) / 2
    items: list[Item] = []
    for number, line in enumerate(lines):
        wide = width(line, style)
        x = room - wide if right else 0.0
        items.append(Line(x, first + number * style.line, line, style, wide))
    block = Block(room, len(lines) * style.line, tuple(items))
    return tagged(block, role) if role else block


def one_line(text: str, style: Style, *, role: Role | None = None) -> Block:
    """Text in a single line, as wide as it is. role: as in `paragraph`."""
    line = prepared(text)
    wide = width(line, style)
    items: tuple[Item, ...] = (
        (Line(0, (style.line + style.cap) / 2, line, style, wide),) if line else ()
    )
    block = Block(wide, style.line, items)
    return tagged(block, role) if role else block


def space(high: float) -> Block:
    """Room with nothing in it."""
    return Block(0, high)


def stacked(blocks: Iterable[Block], gap: float = 0) -> Block:
    """Blocks one below the other; those without height leave no gap."""
    items: list[Item] = []
    y = 0.0
    wide = 0.0
    for block in blocks:
        if block.height <= 0:
            continue
        y += gap if y else 0
        items.extend(shifted(block.items, 0, y))
        y += block.height
        wide = max(wide, block.width)
    return Block(wide, y, tuple(items))


def height_of(blocks: Iterable[Block], gap: float = 0) -> float:
    """How high the blocks are when they are stacked."""
    heights = [block.height for block in blocks if block.height > 0]
    return sum(heights) + gap * max(0, len(heights) - 1)


def beside(blocks: Sequence[tuple[float, Block]], wide: float) -> Block:
    """Blocks side by side, each at its x, their tops level."""
    items: list[Item] = []
    for x, block in blocks:
        items.extend(shifted(block.items, x, 0))
    return Block(wide, max((block.height for _, block in blocks), default=0), tuple(items))


def levelled(blocks: Sequence[tuple[float, Block]], wide: float) -> Block:
    """Blocks side by side, each in the middle of the highest."""
    high = max((block.height for _, block in blocks), default=0)
    items: list[Item] = []
    for x, block in blocks:
        items.extend(shifted(block.items, x, (high - block.height) / 2))
    return Block(wide, high, tuple(items))


def padded(
    block: Block,
    *,
    left: float = 0,
    top: float = 0,
    right: float = 0,
    bottom: float = 0,
    fill: Token | None = None,
) -> Block:
    """A block with room round it, on a coloured ground if asked."""
    wide = block.width + left + right
    high = block.height + top + bottom
    ground: tuple[Item, ...] = () if fill is None else (Rect(0, 0, wide, high, fill),)
    return Block(wide, high, ground + shifted(block.items, left, top))


def ruled(wide: float, thick: float = 0.6, ink: Token = Token.RULE) -> Block:
    """A level line."""
    return Block(wide, thick, (Rect(0, 0, wide, thick, ink),))


def bulleted(mark: Block, body: Block, *, indent: float, first_line: float, wide: float) -> Block:
    """A mark at the left of a body, in the middle of the body's first line."""
    drop = (first_line - mark.height) / 2
    raised = max(0.0, -drop)
    items = shifted(mark.items, 0, max(0.0, drop)) + shifted(body.items, indent, raised)
    return Block(wide, max(body.height + raised, mark.height + max(0.0, drop)), items)


def columns(parts: Sequence[Block], count: int, wide: float, gutter: float, gap: float) -> Block:
    """Whole parts in `count` columns of about the same height, in the order of reading."""
    column = (wide - gutter * (count - 1)) / count
    if not parts:
        return NOTHING
    bound = _least_height([part.height for part in parts], count, gap)
    stacks: list[list[Block]] = [[]]
    high = 0.0
    for part in parts:
        added = part.height + (gap if stacks[-1] else 0)
        if stacks[-1] and high + added > bound + ROOM and len(stacks) < count:
            stacks.append([])
            high, added = 0.0, part.height
        stacks[-1].append(part)
        high += added
    placed = [
        (number * (column + gutter), stacked(stack, gap)) for number, stack in enumerate(stacks)
    ]
    return beside(placed, wide)


def _least_height(heights: Sequence[float], count: int, gap: float) -> float:
    """The least column height at which the parts, in order, take `count` columns."""
    sums = {
        sum(heights[start:end]) + gap * (end - start - 1)
        for start in range(len(heights))
        for end in range(start + 1, len(heights) + 1)
    }
    bounds = sorted(bound for bound in sums if bound >= max(heights))
    low, high = 0, len(bounds) - 1
    while low < high:
        middle = (low + high) // 2
        if _columns_at(heights, bounds[middle], gap) <= count:
            high = middle
        else:
            low = middle + 1
    return bounds[low]


def _columns_at(heights: Sequence[float], bound: float, gap: float) -> int:
    def taken(state: tuple[int, float], height: float) -> tuple[int, float]:
        number, high = state
        longer = high + gap + height
        return (number, longer) if high and longer <= bound + ROOM else (number + 1, height)

    return reduce(taken, heights, (0, 0.0))[0]


def parted(block: Block, room: float) -> tuple[Block | None, Block | None]:
    """The upper part of a block, at most `room` high, and the rest.

    The cut runs through no letter and no mark; grounds and upright lines go on below
    it. Elements go on there too. A heading stays with what it stands over, and a row or an
    entry with itself, if that can be. None for a part with nothing in it.
    """
    cut = _cut_below(block, room, _kept_together(block.items)) or _cut_below(block, room, ())
    if cut <= 0:
        return None, block
    upper: list[Item] = []
    lower: list[Item] = []
    for item in block.items:
        if isinstance(item, Open | Close):
            upper.append(item)
            lower.append(item)
            continue
        top, bottom = _span(item)
        if bottom <= cut + ROOM:
            upper.append(item)
        elif top >= cut - ROOM:
            lower.append(item)
        elif isinstance(item, Rect):
            upper.append(replace(item, height=cut - item.y))
            lower.append(replace(item, y=cut, height=item.bottom - cut))
    rest = Block(block.width, block.height - cut, shifted(_filled(lower), 0, -cut))
    return Block(block.width, cut, _filled(upper)), rest


def _filled(items: Iterable[Item]) -> tuple[Item, ...]:
    """Items without the elements that have nothing in them."""
    kept: list[Item] = []
    for item in items:
        if isinstance(item, Close) and kept and isinstance(kept[-1], Open):
            kept.pop()
        else:
            kept.append(item)
    return tuple(kept)


_Span = tuple[float, float]


def _cut_below(block: Block, room: float, whole: Iterable[_Span]) -> float:
    """The lowest height within `room` that crosses no letter and no mark, and nothing whole."""
    seen = (_span(item) for item in seen_of(block.items) if not _may_be_cut(item))
    spans = sorted((*seen, *whole))
    first = min((bottom for _, bottom in spans), default=0.0)
    candidates = [top for top, _ in spans if 0 < first - ROOM <= top <= room]
    return max(
        (at for at in candidates if all(bottom <= at or top >= at for top, bottom in spans)),
        default=0.0,
    )


def _kept_together(items: Sequence[Item]) -> Iterator[_Span]:
    """From where to where a cut should not go: headings with the next letters, rows, entries."""
    begun: list[tuple[Tag, list[_Span]]] = []
    waiting: list[float] = []
    for item in items:
        if isinstance(item, Open):
            begun.append((item.tag, []))
        elif isinstance(item, Close):
            tag, spans = begun.pop()
            if spans and tag.role in _WHOLE:
                yield min(top for top, _ in spans), max(bottom for _, bottom in spans)
            elif spans and tag.role in _HEADINGS:
                waiting.append(min(top for top, _ in spans))
        elif not _may_be_cut(item):
            span = _span(item)
            for _, spans in begun:
                spans.append(span)
            if isinstance(item, Line) and not any(tag.role in _HEADINGS for tag, _ in begun):
                yield from ((top, span[1]) for top in waiting if top < span[1])
                waiting.clear()


_WHOLE = frozenset({Role.ROW, Role.ENTRY})
_HEADINGS = frozenset({Role.H1, Role.H2, Role.H3})


def _may_be_cut(item: Drawing) -> bool:
    """Whether an item is a ground or an upright line rather than a mark."""
    return isinstance(item, Rect) and item.height > 40


def _span(item: Drawing) -> tuple[float, float]:
    if isinstance(item, Line):
        return item.box[1], item.box[3]
    if isinstance(item, Place):
        return item.y, item.y + item.height
    _, top, _, bottom = extent((item,))
    return top, bottom
