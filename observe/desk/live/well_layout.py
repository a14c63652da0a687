"""Where everything stands in the well: the full set of keys for one learner. Pure geometry."""

from __future__ import annotations

from dataclasses import dataclass

from observe.desk.live.layout import Box, split_row
from observe.desk.theme import Skin


@dataclass(frozen=True, slots=True)
class WellSizes:
    """Heights and widths of the parts, in screen px, for one density of the screen.

    row, row_most: least and greatest useful height of a row of keys. least: the
    least side of a key (12 mm). line: height of a single text line for last and
    next where they have no row.
    """

    pad: int
    gap: int
    header: int
    header_low: int
    rod_above: int
    rod: int
    rod_below: int
    row: int
    least: int
    row_most: int
    current: int
    current_low: int
    line: int
    further: int
    side_key: int
    clock: int
    hand: int
    hand_gap: int
    stop: int


def well_sizes(skin: Skin) -> WellSizes:
    """The sizes for the screen that is there."""
    pick = skin.pick
    return WellSizes(
        pad=pick(8, 6),
        gap=pick(5, 6),
        header=pick(70, 54),
        header_low=pick(42, 42),
        rod_above=pick(14, 14),
        rod=pick(13, 11),
        rod_below=pick(8, 9),
        row=max(skin.mm(12), pick(70, 45)),
        least=skin.mm(12),
        row_most=pick(96, 66),
        current=pick(56, 50),
        current_low=pick(46, 46),
        line=pick(0, 18),
        further=pick(60, 44),
        side_key=pick(100, 92),
        clock=pick(118, 96),
        hand=max(skin.mm(20), pick(117, 98)),
        hand_gap=max(skin.mm(3), pick(18, 12)),
        stop=max(skin.mm(20), pick(117, 80)),
    )


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows beside the hand column, from above.

    last, next: texts; take_back, put_back, not_seen: their keys. further: rows for
    steps after the next one. note: where an interruption is told, or a reason asked.
    """

    last: Box
    take_back: Box
    put_back: Box
    current: Box
    marks: Box
    prompts: Box
    next: Box
    not_seen: Box
    further: tuple[Box, ...]
    note: Box


@dataclass(frozen=True, slots=True)
class WellPlan:
    """The well laid out, in its own px.

    low: last and next stand on their keys. more, rate, clock: keys of the header.
    reach_below: how far their targets go beyond their faces. body: everything below
    the rod, for a panel that asks something.
    """

    low: bool
    header: Box
    clock: Box
    rate: Box
    more: Box
    reach_below: int
    rod: Box
    rows: Rows
    marks: tuple[Box, ...]
    prompts: tuple[Box, ...]
    critical: Box
    stop: Box
    body: Box


def least_height(sizes: WellSizes, *, low: bool) -> int:
    """The height in which the full set fits."""
    rod = sizes.rod_above + sizes.rod + sizes.rod_below
    if low:
        lines = 2 * sizes.line
        fixed = sizes.header_low + rod + lines + sizes.current_low + sizes.pad
        return fixed + 3 * sizes.row + 3 * sizes.gap
    return sizes.header + rod + sizes.current + 4 * sizes.row + 4 * sizes.gap + sizes.pad


def well_plan(width: int, height: int, sizes: WellSizes, *, prompts: int) -> WellPlan:
    """Lay out the well in width × height px. prompts: how many keys the second row has."""
    low = height < least_height(sizes, low=False)
    builder = _Builder(width, height, sizes, low=low, prompts=prompts)
    return builder.low() if low else builder.high()


class _Builder:
    """Rows from above; what height is left goes to the mark keys, then to further steps."""

    def __init__(
        self, width: int, height: int, sizes: WellSizes, *, low: bool, prompts: int
    ) -> None:
        self.sizes = sizes
        self.is_low = low
        self.prompts = prompts
        self.header = Box(0, 0, width, sizes.header_low if low else sizes.header)
        rod_height = sizes.rod_above + sizes.rod + sizes.rod_below
        self.rod = Box(0, self.header.bottom, width, rod_height)
        self.body = Box(0, self.rod.bottom, width, max(0, height - self.rod.bottom)).inset(
            sizes.pad, 0, sizes.pad, sizes.pad
        )
        hand_x = self.body.right - sizes.hand
        stop_y = self.body.bottom - sizes.stop
        self.stop = Box(hand_x, stop_y, sizes.hand, sizes.stop)
        self.critical = Box(
            hand_x, self.body.y, sizes.hand, max(0, stop_y - sizes.hand_gap - self.body.y)
        )
        self.keys = self.body.inset(0, 0, sizes.hand + sizes.hand_gap, 0)
        self.spare = max(0, height - least_height(sizes, low=low))
        self.y = self.keys.y

    def _row(self, height: int) -> Box:
        box = Box(self.keys.x, self.y, self.keys.width, height)
        self.y += height + self.sizes.gap
        return box

    def _grown(self, rows: int) -> int:
        """Height of `rows` key rows, as much as the spare height and their most allow."""
        more = min(self.spare // rows, self.sizes.row_most - self.sizes.row)
        self.spare -= max(0, more) * rows
        return self.sizes.row + max(0, more)

    def low(self) -> WellPlan:
        sizes = self.sizes
        last = Box(self.keys.x, self.y, self.keys.width, sizes.line)
        self.y += sizes.line
        row = self._grown(3)
        current = self._row(sizes.current_low + self.spare)
        marks, prompts, third = self._row(row), self._row(row), self._row(row)
        self.y -= sizes.gap
        following = Box(self.keys.x, self.y, self.keys.width, sizes.line)
        take_back, not_seen = split_row(third, (1, 1), sizes.gap + 1)
        thirds = split_row(third, (1, 1, 1), sizes.gap + 1)
        return self._plan(
            Rows(
                last=last,
                take_back=take_back,
                put_back=thirds[1],
                current=current,
                marks=marks,
                prompts=prompts,
                next=following,
                not_seen=not_seen,
                further=(),
                note=Box(third.x, third.y, third.width, following.bottom - third.y),
            )
        )

    def high(self) -> WellPlan:
        sizes = self.sizes
        row = self._grown(2)
        many = self.spare // (sizes.further + sizes.gap)
        self.spare -= many * (sizes.further + sizes.gap)
        last = self._row(sizes.row)
        current = self._row(sizes.current + self.spare)
        marks, prompts = self._row(row), self._row(row)
        following = self._row(sizes.row)
        further = tuple(self._row(sizes.further) for _ in range(many))
        return self._plan(
            Rows(
                last=last,
                take_back=self._side(last),
                put_back=self._side(last, 1),
                current=current,
                marks=marks,
                prompts=prompts,
                next=following,
                not_seen=self._side(following),
                further=further,
                note=last,
            )
        )

    def _side(self, row: Box, place: int = 0) -> Box:
        """A key at the right end of a row; place 1 stands left of it."""
        wide = self.sizes.side_key
        x = row.right - wide * (place + 1) - self.sizes.gap * place
        return Box(x, row.y, wide, row.height)

    def _plan(self, rows: Rows) -> WellPlan:
        sizes = self.sizes
        reach = max(sizes.row, self.header.height - 6)
        clock = Box(self.header.right - sizes.clock - 4, 3, sizes.clock, reach)
        wide = max(round(sizes.side_key * 0.66), sizes.least)
        rate = Box(clock.x - wide - sizes.gap, 3, wide, reach)
        return WellPlan(
            low=self.is_low,
            header=self.header,
            clock=clock,
            rate=rate,
            more=Box(rate.x - wide - sizes.gap, 3, wide, reach),
            reach_below=max(0, reach + 6 - self.header.height),
            rod=self.rod,
            rows=rows,
            marks=split_row(rows.marks, (1.45, 0.8, 0.8, 0.95), sizes.gap + 1),
            prompts=split_row(rows.prompts, (1,) * self.prompts, sizes.gap + 1),
            critical=self.critical,
            stop=self.stop,
            body=self.body,
        )
