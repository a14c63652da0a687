"""Where everything stands in the well: the full set of keys for one learner. Pure geometry."""

from __future__ import annotations

from dataclasses import dataclass, replace

from observe.desk.live.layout import Box, split_row
from observe.desk.theme import Skin


@dataclass(frozen=True, slots=True)
class WellSizes:
    """Heights and widths of the parts, in screen px, for one density of the screen.

    row, row_most: least and greatest useful height of a row of keys. least: the
    least side of a key (12 mm). line: height of a single text line for last and
    next where they have no row. hint: height of the line that says how another learner
    is marked. even: all marks equally wide; left: for the left hand, so mirrored.
    on_keys: last and next stand on their keys whatever the height, as for gloves and
    where larger text leaves a row of their own no room. naming: least px of the header
    for number, name and what is read beside them.
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
    hint: int = 0
    even: bool = False
    left: bool = False
    on_keys: bool = False
    naming: int = 0


GLOVED_ROW_MM = 18.9
"""Height of a row of keys for gloves."""
GLOVED_KEY_MM = 19
"""Width of a mark key for gloves."""


def well_sizes(skin: Skin, *, hint: bool = False) -> WellSizes:
    """The sizes for the screen that is there. hint: with a line that says what two taps do."""
    pick, still, grows = skin.pick, skin.still, skin.grows
    meta = 2 * skin.px(19) + skin.px(4)
    face = skin.sign(23, 17) + pick(22, 18) + still(15, 10)
    row = max(skin.mm(12), still(70, 45), face)
    gloved = max(row, skin.mm(GLOVED_ROW_MM))
    return WellSizes(
        pad=pick(8, 6),
        gap=pick(5, 6),
        header=max(still(70, 54), meta),
        header_low=max(still(42, 42), meta),
        rod_above=skin.sign(14, 14),
        rod=skin.sign(13, 11),
        rod_below=pick(8, 9),
        row=gloved if skin.gloves else row,
        least=skin.mm(12),
        row_most=max(gloved, pick(96, 66)) if skin.gloves else max(row, grows(96, 66, 0.6)),
        current=pick(56, 50),
        current_low=pick(42, 42) if skin.gloves else pick(46, 46),
        line=pick(0, 18) if skin.text == 1 else 0,
        further=pick(60, 44),
        side_key=grows(100, 92, 0.5),
        clock=grows(118, 96, 0.5),
        hand=max(skin.mm(20), grows(117, 98, 0.3)),
        hand_gap=max(skin.mm(3), pick(12, 12)),
        stop=max(skin.mm(20), grows(117, 80, 0.4)),
        hint=skin.px(24) if hint else 0,
        even=skin.gloves,
        left=skin.is_left,
        on_keys=skin.gloves or skin.text > 1,
        naming=pick(300, 254),
    )


def well_widths(skin: Skin, sizes: WellSizes) -> tuple[int, int]:
    """Least px of width of a full set for each seat, and of the one well that is shared.

    Both grow with the words on the mark keys.
    """
    column = sizes.hand + sizes.hand_gap + 2 * sizes.pad
    words = 5 * skin.pick(64, 52) + 4 * (sizes.gap + 1) + column if skin.text > 1 else 0
    full = skin.mm(108) if skin.is_hand else skin.mm(118)
    shared = skin.mm(106) if skin.is_hand else skin.still(485, 485)
    if skin.gloves:
        words = max(words, 4 * skin.mm(GLOVED_KEY_MM) + 3 * (sizes.gap + 1) + column)
    return max(full, words), max(shared, words)


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows beside the hand column, from above.

    last, next: texts; take_back, put_back, not_seen: their keys. further: rows for
    steps after the next one. note: where an interruption is told, or a reason asked.
    hint: where it is said how another learner is marked; of no height if it is not.
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
    hint: Box

    def mirrored(self, outer: Box) -> Rows:
        """The rows for the other hand."""

        def turned(box: Box) -> Box:
            return box.mirrored(outer)

        return Rows(
            last=turned(self.last),
            take_back=turned(self.take_back),
            put_back=turned(self.put_back),
            current=turned(self.current),
            marks=turned(self.marks),
            prompts=turned(self.prompts),
            next=turned(self.next),
            not_seen=turned(self.not_seen),
            further=tuple(turned(box) for box in self.further),
            note=turned(self.note),
            hint=turned(self.hint),
        )


@dataclass(frozen=True, slots=True)
class WellPlan:
    """The well laid out, in its own px.

    low: last and next stand on their keys. more, rate, clock: keys of the header; rate
    is empty where the name has no room beside it.
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
        fixed = sizes.header_low + rod + lines + sizes.current_low + sizes.pad + sizes.hint
        return fixed + 3 * sizes.row + 3 * sizes.gap
    fixed = sizes.header + rod + sizes.current + sizes.pad + sizes.hint
    return fixed + 4 * sizes.row + 4 * sizes.gap


def well_plan(width: int, height: int, sizes: WellSizes, *, prompts: int) -> WellPlan:
    """Lay out the well in width × height px. prompts: how many keys the second row has."""
    low = sizes.on_keys or height < least_height(sizes, low=False)
    builder = _Builder(width, height, sizes, low=low, prompts=prompts)
    plan = builder.low() if low else builder.high()
    return for_left_hand(plan) if sizes.left else plan


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
        self.hint = Box(self.keys.x, self.y, self.keys.width, sizes.hint)
        self.y += sizes.hint

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
                hint=self.hint,
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
                hint=self.hint,
            )
        )

    def _side(self, row: Box, place: int = 0) -> Box:
        """A key at the right end of a row; place 1 stands left of it."""
        wide = self.sizes.side_key
        x = row.right - wide * (place + 1) - self.sizes.gap * place
        return Box(x, row.y, wide, row.height)

    def _plan(self, rows: Rows) -> WellPlan:
        sizes = self.sizes
        reach = max(sizes.row if not sizes.even else sizes.least, self.header.height - 6)
        clock = Box(self.header.right - sizes.clock - 4, 3, sizes.clock, reach)
        wide = max(round(sizes.side_key * 0.66), sizes.least)
        rate = Box(clock.x - wide - sizes.gap, 3, wide, reach)
        more = Box(rate.x - wide - sizes.gap, 3, wide, reach)
        if more.x < sizes.naming:
            more, rate = rate, Box(rate.x, 3, 0, 0)
        parts = (1, 1, 1, 1) if sizes.even else (1.45, 0.8, 0.8, 0.95)
        marks = split_row(rows.marks, parts, sizes.gap + 1)
        prompts = split_row(rows.prompts, (1,) * self.prompts, sizes.gap + 1)
        return WellPlan(
            low=self.is_low,
            header=self.header,
            clock=clock,
            rate=rate,
            more=more,
            reach_below=max(0, reach + 6 - self.header.height),
            rod=self.rod,
            rows=rows,
            marks=marks,
            prompts=prompts,
            critical=self.critical,
            stop=self.stop,
            body=self.body,
        )


def for_left_hand(plan: WellPlan) -> WellPlan:
    """The keys mirrored: the hand column at the left, Done and the first prompt beside it last.

    Header and rod stay: they are read, not pressed with the marks.
    """

    def turned(boxes: tuple[Box, ...]) -> tuple[Box, ...]:
        return tuple(box.mirrored(plan.body) for box in boxes)

    return replace(
        plan,
        rows=plan.rows.mirrored(plan.body),
        marks=turned(plan.marks),
        prompts=turned(plan.prompts),
        critical=plan.critical.mirrored(plan.body),
        stop=plan.stop.mirrored(plan.body),
    )


def beside(row: Box, *keys: Box) -> Box:
    """What is left of a row where keys stand at one of its ends."""
    left = max((key.right for key in keys if key.x == row.x), default=row.x)
    if left > row.x:
        left = max(key.right for key in keys)
        return Box(left, row.y, max(0, row.right - left), row.height)
    right = min((key.x for key in keys), default=row.right)
    return Box(row.x, row.y, max(0, right - row.x), row.height)
