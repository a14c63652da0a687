"""Where everything in Live stands: seats round the horseshoe, the well in its middle.

Pure geometry in whole screen px: no Qt, no painting. What fits is decided in
millimetres; a seat never leaves its place in the room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

MOST_SEATS = 12
RAIL_UNDER_MM = 187
"""Rooms narrower than this cannot hold four columns; the seats become a rail."""
SENTENCE_MM = 20
ASIDE_MM, BELOW_MM = 40, 46
"""Least width of the list of steps, and least height of the critical items by name."""
ASIDE_LARGE_MM = (100, 60)
"""The same for larger text, before it is multiplied with its scale."""
RAIL_MM = 74
"""Most width of a column of the rail."""
RAIL_ROW_MM = (9.4, 20)
"""Height of a place of the rail: the least before it folds into two columns, and the most."""
RAIL_SHARE = 0.34
"""Most share of the room's width for one column of the rail."""
RAIL_ROW_GAP = 3
"""px between the places of a rail that would otherwise be too low."""
GLOVED_NAME_MM = 14
"""The same least height where a glove presses it."""
MOST_GLOVED = 8
"""Seats round the horseshoe whose names a glove can press; more become a rail."""


def twenty_millimetres(_: int) -> int:
    """Without labels a sentence key needs no more than its target."""
    return 0


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the screen."""

    x: int
    y: int
    width: int
    height: int

    @property
    def right(self) -> int:
        return self.x + self.width

    @property
    def bottom(self) -> int:
        return self.y + self.height

    def mirrored(self, outer: Box) -> Box:
        """The same box as seen in a mirror that stands upright in the middle of `outer`."""
        return Box(outer.x + outer.right - self.right, self.y, self.width, self.height)

    def inset(self, left: int, top: int, right: int, bottom: int) -> Box:
        """The box less a margin on each side; never less than nothing."""
        return Box(
            self.x + left,
            self.y + top,
            max(0, self.width - left - right),
            max(0, self.height - top - bottom),
        )


@dataclass(frozen=True, slots=True)
class Measure:
    """What the layout must know of the screen.

    full_width, full_height: px that the full set of keys of one learner needs.
    well_width, well_height: the least for a well of its own, without the table
    edge. head: px of a low seat that are no key. gap: px between seats; margin:
    px round the room. beside: px of a seat's width that are not its sentence key;
    sentence: least px of height of that key for a width, so that it holds the longest
    step. text: scale of the text, with which the rail may grow wider. names: rail only,
    no seat has keys. gloved: who presses wears gloves.
    """

    px_per_mm: float
    full_width: int
    full_height: int
    well_width: int
    well_height: int
    head: int
    gap: int
    margin: int
    beside: int = 0
    sentence: Callable[[int], int] = twenty_millimetres
    text: float = 1.0
    names: bool = False
    gloved: bool = False

    def mm(self, px: float) -> float:
        return px / self.px_per_mm


class Arrangement(StrEnum):
    """How seats share the room."""

    FULL = "full"
    """Every seat has the full set of keys."""
    TABLE = "table"
    """So it has, and the middle shows everybody."""
    SHARED = "shared"
    """Seats have two keys each; the well in the middle has the full set for one learner."""
    RAIL = "rail"
    """Seats are names along the side; all keys are in the well."""


class Edge(StrEnum):
    """The sides of a seat that lie on the outer edge of the table."""

    LEFT = "left"
    TOP = "top"
    RIGHT = "right"
    LEFT_TOP = "left, then top"
    RIGHT_TOP = "right, then top"
    TOP_FROM_RIGHT = "top, from the right"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class SeatPlace:
    box: Box
    edge: Edge


@dataclass(frozen=True, slots=True)
class RoomPlan:
    """The room laid out. seats: in seat order; free: places without a learner.

    middle: the well, the table, or nothing. aside: for one learner the list of
    steps, and below: the critical items by name.
    """

    arrangement: Arrangement
    seats: tuple[SeatPlace, ...]
    free: tuple[Box, ...] = ()
    middle: Box | None = None
    aside: Box | None = None
    below: Box | None = None
    rows: int = 1


Cell = tuple[int, int]
"""Column and row."""

# Seats by number of seats: up the left side, across the back, down the right, as one walks past.
_SIX: Sequence[Cell] = ((0, 2), (0, 1), (0, 0), (3, 0), (3, 1), (3, 2))
_EIGHT: Sequence[Cell] = (
    *((0, 2), (0, 1), (0, 0)),
    *((1, 0), (2, 0)),
    *((3, 0), (3, 1), (3, 2)),
)
_TEN: Sequence[Cell] = (
    *((0, 3), (0, 2), (0, 1), (0, 0)),
    *((1, 0), (2, 0)),
    *((3, 0), (3, 1), (3, 2), (3, 3)),
)
_TWELVE: Sequence[Cell] = (
    *((0, 3), (0, 2), (0, 1), (0, 0)),
    *((1, 1), (1, 0), (2, 0), (2, 1)),
    *((3, 0), (3, 1), (3, 2), (3, 3)),
)
_SHOES: Mapping[int, tuple[Sequence[Cell], int, int]] = MappingProxyType(
    {6: (_SIX, 3, 0), 8: (_EIGHT, 3, 1), 10: (_TEN, 4, 1), 12: (_TWELVE, 4, 2)}
)
"""Places to (cells, rows, first row of the middle)."""


def room_plan(seats: int, width: int, height: int, measure: Measure) -> RoomPlan:
    """Lay out `seats` seats in a room of width × height px.

    Raises ValueError for no seat or more than twelve: planning refuses those.
    """
    if not 1 <= seats <= MOST_SEATS:
        raise ValueError(f"a room has 1 to {MOST_SEATS} seats, not {seats}")
    room = Box(0, 0, width, height).inset(*[measure.margin] * 4)
    if seats == 1:
        return _alone(room, measure)
    for plan in _plans(seats, room, measure):
        if _has_room(plan, measure):
            return plan
    return _rail(seats, room, measure)


def _plans(seats: int, room: Box, measure: Measure) -> Iterator[RoomPlan]:
    """What may be tried before the rail, best first."""
    too_many = measure.gloved and seats > MOST_GLOVED
    if measure.names or too_many or measure.mm(room.width + 2 * measure.margin) < RAIL_UNDER_MM:
        return
    if seats <= 4:
        yield _wells(seats, room, measure)
    if seats > 4 or measure.gloved:
        yield _horseshoe(seats, room, measure)


def _has_room(plan: RoomPlan, measure: Measure) -> bool:
    """Whether the wells hold all their keys, and each seat its longest sentence, 20 mm high."""
    seats = [place.box for place in plan.seats]
    wells = [plan.middle] if plan.middle else seats
    if plan.arrangement is Arrangement.SHARED:
        least = round(SENTENCE_MM * measure.px_per_mm)
        wide = min(box.width for box in seats) - measure.beside
        high = measure.head + max(least, measure.sentence(wide))
        if any(box.height < high for box in seats):
            return False
    return all(
        box.width >= measure.well_width and box.height >= measure.well_height for box in wells
    )


def _alone(room: Box, measure: Measure) -> RoomPlan:
    """One learner: the full set, the critical items by name below, all steps at the side."""
    gap = measure.gap
    left = max(round(room.width * 0.585), min(measure.full_width, room.width))
    upper = max(round(room.height * 0.595), min(measure.full_height, room.height))
    well = Box(room.x, room.y, left, upper)
    aside = Box(well.right + gap, room.y, room.right - well.right - gap, room.height)
    below = Box(room.x, well.bottom + gap, left, room.bottom - well.bottom - gap)
    seat = SeatPlace(well, Edge.NONE)
    wide, high = (ASIDE_MM, BELOW_MM) if measure.text <= 1 else ASIDE_LARGE_MM
    scale = max(1, measure.text)
    if measure.mm(aside.width) < wide * scale or measure.mm(below.height) < high * scale:
        return RoomPlan(Arrangement.FULL, (SeatPlace(room, Edge.NONE),))
    return RoomPlan(Arrangement.FULL, (seat,), aside=aside, below=below)


def _wells(seats: int, room: Box, measure: Measure) -> RoomPlan:
    if seats == 2:
        cells: Sequence[Cell] = ((0, 0), (1, 0))
        rows = 1
    else:
        cells = ((0, 1), (0, 0), (1, 0), (1, 1))
        rows = 2
    boxes = [_cell(room, cell, 2, rows, measure.gap) for cell in cells]
    edges = [Edge.LEFT if cell[0] == 0 else Edge.RIGHT for cell in cells]
    placed = tuple(SeatPlace(box, edge) for box, edge in zip(boxes, edges, strict=True))
    return RoomPlan(Arrangement.FULL, placed[:seats], free=tuple(boxes[seats:]), rows=rows)


def _horseshoe(seats: int, room: Box, measure: Measure) -> RoomPlan:
    places = max(6, seats + seats % 2)
    cells, rows, first = _SHOES[places]
    gap = measure.gap if rows == 3 else max(1, measure.gap - 1)
    boxes = [_cell(room, cell, 4, rows, gap) for cell in cells]
    middle = _span(_cell(room, (1, first), 4, rows, gap), _cell(room, (2, rows - 1), 4, rows, gap))
    smallest = min(boxes, key=lambda box: (box.width, box.height))
    fits = smallest.width >= measure.full_width and smallest.height >= measure.full_height
    placed = tuple(SeatPlace(box, _edge_of(cell)) for box, cell in zip(boxes, cells, strict=True))
    return RoomPlan(
        Arrangement.TABLE if fits else Arrangement.SHARED,
        placed[:seats],
        free=tuple(boxes[seats:]),
        middle=middle,
        rows=rows,
    )


def _edge_of(cell: Cell) -> Edge:
    """The fill runs from the open end of the horseshoe towards the middle of its back."""
    column, row = cell
    if column == 0:
        return Edge.LEFT_TOP if row == 0 else Edge.LEFT
    if column == 3:
        return Edge.RIGHT_TOP if row == 0 else Edge.RIGHT
    return Edge.TOP if column == 1 else Edge.TOP_FROM_RIGHT


def _rail(seats: int, room: Box, measure: Measure) -> RoomPlan:
    """Names in seat order from below, and one well beside them.

    Where they would be too low for a finger they fold: up one column, down the other.
    """
    gap = measure.gap
    lowest = GLOVED_NAME_MM if measure.gloved else RAIL_ROW_MM[0]
    least, most = (round(measure.px_per_mm * mm) for mm in (lowest, RAIL_ROW_MM[1]))
    between = gap if _row_height(room, seats, gap) >= least else min(gap, RAIL_ROW_GAP)
    columns = 1 if _row_height(room, seats, between) >= least else 2
    rows = -(-seats // columns)
    between = gap if columns == 2 else between
    high = min(_row_height(room, rows, between), most)
    beside = max(measure.full_width, measure.well_width) + gap * columns
    wide = min(round(room.width * RAIL_SHARE), round(measure.px_per_mm * RAIL_MM * measure.text))
    wide = min(wide, (room.width - beside) // columns)
    placed: list[SeatPlace] = []
    for seat in range(seats):
        column, row = divmod(seat, rows)
        x = room.x + column * (wide + gap)
        above = row + 1 if column == 0 else rows - row
        y = room.bottom - above * high - (above - 1) * between
        placed.append(SeatPlace(Box(x, y, wide, high), Edge.LEFT))
    left = columns * (wide + gap)
    well = Box(room.x + left, room.y, room.width - left, room.height)
    return RoomPlan(Arrangement.RAIL, tuple(placed), middle=well, rows=rows)


def _row_height(room: Box, rows: int, gap: int) -> int:
    return (room.height - gap * (rows - 1)) // rows


def _cell(room: Box, cell: Cell, columns: int, rows: int, gap: int) -> Box:
    """One cell of an even grid whose edges lie on whole px."""
    column, row = cell
    left = room.x + _at(column, columns, room.width, gap)
    top = room.y + _at(row, rows, room.height, gap)
    right = room.x + _at(column + 1, columns, room.width, gap) - gap
    bottom = room.y + _at(row + 1, rows, room.height, gap) - gap
    return Box(left, top, right - left, bottom - top)


def _at(place: int, places: int, extent: int, gap: int) -> int:
    return round(place * (extent + gap) / places)


def _span(one: Box, other: Box) -> Box:
    return Box(one.x, one.y, other.right - one.x, other.bottom - one.y)


def split_row(box: Box, parts: Sequence[float], gap: int) -> tuple[Box, ...]:
    """A row cut into boxes side by side, widths in proportion to `parts`."""
    spare = box.width - gap * (len(parts) - 1)
    total = sum(parts)
    boxes: list[Box] = []
    done = 0.0
    for number, part in enumerate(parts):
        left = box.x + round(spare * done / total) + gap * number
        done += part
        right = box.x + round(spare * done / total) + gap * number
        boxes.append(Box(left, box.y, right - left, box.height))
    return tuple(boxes)


def split_grid(box: Box, columns: int, rows: int, gap: int) -> tuple[Box, ...]:
    """An even grid, row by row."""
    return tuple(
        _cell(box, (column, row), columns, rows, gap)
        for row in range(rows)
        for column in range(columns)
    )
