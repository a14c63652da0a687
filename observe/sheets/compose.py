"""From content to pages: each page in the roomiest type in which everything stands on two."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from observe.sheets import advice, closing, heading, numbers, steplist
from observe.sheets.blocks import (
    NOTHING,
    Block,
    Item,
    Place,
    height_of,
    paragraph,
    parted,
    seen_of,
    shifted,
    space,
    stacked,
)
from observe.sheets.content import SheetContent
from observe.sheets.record import digest_of, written
from observe.sheets.scripts import NUMBERED_NOTE, needs_note
from observe.sheets.setting import MARGIN, SETTINGS, Paper, Setting
from observe.sheets.tags import Close, Open, Role, Tag
from observe.sheets.typeset import has

_MOST_ON_FIRST = 4
_WISHED_ON_FIRST = 2
_STRETCH = 1.9
_LONG = 4
"""A section longer than this share of a page may be parted."""

_Sections = tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One page: items in (0, 0, width, height), in the order of reading."""

    width: float
    height: float
    items: tuple[Item, ...]

    @property
    def places(self) -> tuple[Place, ...]:
        """The signature fields of this page."""
        return tuple(item for item in self.items if isinstance(item, Place))


@dataclass(frozen=True, slots=True)
class _Draft:
    """Sections of one page, before they are placed. band: only on the first page."""

    setting: Setting
    sections: tuple[Block, ...]
    room: float
    top: float
    band: Block | None = None

    @property
    def spare(self) -> float:
        """What is left of the page; negative if it does not fit."""
        return self.room - height_of(self.sections, self.setting.gap)


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What every page of one sheet shares."""

    content: SheetContent
    paper: Paper
    digest: str
    note: str
    made: dict[tuple[str, str], Block] = field(default_factory=dict)

    @property
    def wide(self) -> float:
        return self.paper.size[0] - 2 * MARGIN

    def _band(self, content: SheetContent, setting: Setting, wide: float) -> Block:
        return heading.band(content.occasion, setting, wide + 2 * MARGIN)

    def foot(self, page: int, pages: int) -> Block:
        return closing.foot(self.content, self.digest, page, pages, self.wide)

    def part(self, section: Callable[[SheetContent, Setting, float], Block], at: Setting) -> Block:
        """A section in one setting, measured once."""
        key = (section.__name__, at.name)
        if key not in self.made:
            self.made[key] = section(self.content, at, self.wide)
        return self.made[key]

    def draft(self, setting: Setting, sections: Iterable[Block], *, first: bool) -> _Draft:
        band = self.part(self._band, setting) if first else NOTHING
        top = band.height + max(setting.gap, 12) if first else setting.top
        below = self.foot(1, 2).height + closing.FOOT_MARGIN + max(setting.gap * 0.7, 8)
        standing = tuple(section for section in sections if section.height > 0)
        room = self.paper.size[1] - top - below
        return _Draft(setting, standing, room, top, band if first else None)


def compose(content: SheetContent, paper: Paper) -> tuple[Page, ...]:
    """The pages of a sheet: two, and more only where the smallest type does not do."""
    record = written(content)
    note = NUMBERED_NOTE if needs_note(record.decode("utf-8"), has) else ""
    sheet = _Sheet(content, paper, digest_of(record), note)
    for split in _splits(sheet):
        first = _roomiest(sheet, partial(_first, split=split), first=True)
        if first.spare < 0:
            continue
        second = _roomiest(sheet, partial(_second, split=split), first=False)
        if second.spare >= 0:
            return _finished(sheet, (first, second))
    return _finished(sheet, _flowing(sheet))


@dataclass(frozen=True, slots=True)
class _Split:
    """What stands on the first page: so many steps to work on, and what happens now or not.

    least: the smallest type that is worth it.
    """

    count: int
    now: bool = True
    least: int = len(SETTINGS)


def _splits(sheet: _Sheet) -> Iterator[_Split]:
    """Ways to part the content between two pages, the best first.

    The type is made smaller for the sake of two steps to work on, not of more.
    """
    most = min(_MOST_ON_FIRST, len(sheet.content.advice.work_on))
    wished = min(_WISHED_ON_FIRST, most)
    for least in range(1, len(SETTINGS) + 1):
        for count in range(most, wished - 1, -1):
            yield _Split(count, least=least)
    for count in range(wished, -1, -1):
        yield _Split(count)
    yield _Split(0, now=False)


def _roomiest(
    sheet: _Sheet, sections: Callable[[_Sheet, Setting], _Sections], *, first: bool
) -> _Draft:
    """The page in the roomiest type in which it fits, else in the smallest."""
    for setting in SETTINGS:
        draft = sheet.draft(setting, sections(sheet, setting), first=first)
        if draft.spare >= 0:
            break
    return draft


def _first(sheet: _Sheet, setting: Setting, split: _Split) -> _Sections:
    if SETTINGS.index(setting) >= split.least:
        return (space(sheet.paper.size[1]),)
    return (
        sheet.part(heading.decision, setting),
        sheet.part(heading.rule_lines, setting),
        sheet.part(heading.criticals, setting),
        sheet.part(heading.settling, setting),
        sheet.part(numbers.numbers, setting),
        sheet.part(advice.keep_and_change, setting),
        advice.work_on(
            sheet.content.advice.work_on[: split.count], "Steps to work on", setting, sheet.wide
        ),
        sheet.part(advice.what_now, setting) if split.now else NOTHING,
    )


def _second(sheet: _Sheet, setting: Setting, split: _Split) -> _Sections:
    more = "More steps to work on" if split.count else "Steps to work on"
    return (
        sheet.part(steplist.title, setting),
        sheet.part(steplist.rod_block, setting),
        sheet.part(steplist.step_list, setting),
        advice.work_on(sheet.content.advice.work_on[split.count :], more, setting, sheet.wide),
        NOTHING if split.now else sheet.part(advice.what_now, setting),
        sheet.part(closing.notes, setting),
        paragraph(sheet.note, setting.note(), sheet.wide, role=Role.P),
        sheet.part(closing.signatures, setting),
    )


def _flowing(sheet: _Sheet) -> tuple[_Draft, ...]:
    """The smallest type, over as many pages as it takes; the signatures come last."""
    setting = SETTINGS[-1]
    split = _Split(len(sheet.content.advice.work_on))
    sections = (*_first(sheet, setting, split), *_second(sheet, setting, split))
    waiting = [section for section in sections if section.height > 0]
    pages = [sheet.draft(setting, (), first=True)]
    while waiting:
        page = pages[-1]
        taken, left = _taken(waiting.pop(0), page)
        if taken is not None:
            pages[-1] = replace(page, sections=(*page.sections, taken))
        if left is not None:
            waiting.insert(0, left)
            pages.append(sheet.draft(setting, (), first=False))
    return tuple(pages)


def _taken(section: Block, page: _Draft) -> tuple[Block | None, Block | None]:
    """What of a section goes onto a page, and what is left for the next.

    A section that fits a page of its own is not parted, unless it is long.
    """
    gap = page.setting.gap if page.sections else 0.0
    spare = page.spare - gap
    if section.height <= spare:
        return section, None
    whole = page.room if not page.band else page.room + page.band.height
    if page.sections and section.height < whole / _LONG:
        return None, section
    taken, left = parted(section, spare)
    if taken is None and not page.sections:
        return section, None
    return taken, left


def _finished(sheet: _Sheet, drafts: Sequence[_Draft]) -> tuple[Page, ...]:
    width, height = sheet.paper.size
    pages: list[Page] = []
    for number, draft in enumerate(drafts, start=1):
        body = stacked(draft.sections, _gap(draft))
        foot = sheet.foot(number, len(drafts))
        foot_top = height - closing.FOOT_MARGIN - foot.height
        items = (
            *(draft.band.items if draft.band else ()),
            *shifted(body.items, MARGIN, draft.top),
            *shifted(_foot_items(foot, is_last=number == len(drafts)), MARGIN, foot_top),
        )
        pages.append(Page(width, height, items))
    return tuple(pages)


def _foot_items(foot: Block, *, is_last: bool) -> tuple[Item, ...]:
    """A listener is told the foot once, at the end; elsewhere it is page furniture."""
    if is_last:
        return foot.items
    furniture = Tag(Role.ARTIFACT)
    return (Open(furniture), *seen_of(foot.items), Close(furniture))


def _gap(draft: _Draft) -> float:
    """The gap between sections, stretched a little over what is left of the page."""
    gap = draft.setting.gap
    between = max(1, len(draft.sections) - 1)
    return min(gap * _STRETCH, gap + max(0.0, draft.spare) / between)
