"""From content to pages: each page in the roomiest type in which everything stands on two."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from observe.sheets import advice, closing, heading, numbers, steplist
from observe.sheets.blocks import Block, Item, Place, paragraph, shifted, stacked
from observe.sheets.content import SheetContent
from observe.sheets.record import digest_of, written
from observe.sheets.scripts import NUMBERED_NOTE, needs_note
from observe.sheets.setting import MARGIN, SETTINGS, Paper, Setting
from observe.sheets.typeset import has

_MOST_ON_FIRST = 4
_WISHED_ON_FIRST = 2
_STRETCH = 1.9


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
        return self.room - stacked(self.sections, self.setting.gap).height


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What every page of one sheet shares."""

    content: SheetContent
    paper: Paper
    digest: str
    note: str

    @property
    def wide(self) -> float:
        return self.paper.size[0] - 2 * MARGIN

    def foot(self, page: int, pages: int) -> Block:
        return closing.foot(self.content, self.digest, page, pages, self.wide)

    def draft(self, setting: Setting, sections: Iterable[Block], *, first: bool) -> _Draft:
        band = heading.band(self.content.occasion, setting, self.paper.size[0])
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
    first, count = _first_page(sheet)
    if first.spare >= 0:
        second = _second_page(sheet, count)
        if second.spare >= 0:
            return _finished(sheet, (first, second))
    return _finished(sheet, _flowing(sheet))


def _first_page(sheet: _Sheet) -> tuple[_Draft, int]:
    """The first page, and how many steps to work on stand on it.

    The type is made smaller for the sake of two such steps, not of more.
    """
    most = min(_MOST_ON_FIRST, len(sheet.content.advice.work_on))
    for least in (min(_WISHED_ON_FIRST, most), 0):
        for setting in SETTINGS:
            for count in range(most, least - 1, -1):
                draft = sheet.draft(setting, _first(sheet, setting, count), first=True)
                if draft.spare >= 0:
                    return draft, count
    return draft, 0


def _second_page(sheet: _Sheet, count: int) -> _Draft:
    for setting in SETTINGS:
        draft = sheet.draft(setting, _second(sheet, setting, count), first=False)
        if draft.spare >= 0:
            break
    return draft


def _first(sheet: _Sheet, setting: Setting, count: int) -> tuple[Block, ...]:
    content, wide = sheet.content, sheet.wide
    return (
        heading.decision(content, setting, wide),
        heading.rule_lines(content.lines, setting, wide),
        heading.criticals(content, setting, wide),
        heading.settling(content, setting, wide),
        numbers.numbers(content, setting, wide),
        advice.keep_and_change(content.advice, setting, wide),
        advice.work_on(content.advice.work_on[:count], "Steps to work on", setting, wide),
        advice.what_now(content.advice, setting, wide),
    )


def _second(sheet: _Sheet, setting: Setting, count: int) -> tuple[Block, ...]:
    content, wide = sheet.content, sheet.wide
    more = "More steps to work on" if count else "Steps to work on"
    return (
        steplist.title(content, setting, wide),
        steplist.rod_block(content, setting, wide),
        steplist.step_list(content.phases, setting, wide),
        advice.work_on(content.advice.work_on[count:], more, setting, wide),
        closing.notes(content, setting, wide),
        paragraph(sheet.note, setting.note(), wide),
        closing.signatures(content, setting, wide),
    )


def _flowing(sheet: _Sheet) -> tuple[_Draft, ...]:
    """The smallest type, over as many pages as it takes; the signatures come last."""
    setting = SETTINGS[-1]
    count = min(_MOST_ON_FIRST, len(sheet.content.advice.work_on))
    sections = [*_first(sheet, setting, count), *_second(sheet, setting, count)]
    pages = [sheet.draft(setting, (), first=True)]
    for section in sections:
        for piece in _pieces(section, pages[0].room):
            longer = replace(pages[-1], sections=(*pages[-1].sections, piece))
            if pages[-1].sections and longer.spare < 0:
                pages.append(sheet.draft(setting, (piece,), first=False))
            elif piece.height > 0:
                pages[-1] = longer
    return tuple(pages)


def _pieces(section: Block, room: float) -> tuple[Block, ...]:
    """A section whole, or its parts where it has some and is long."""
    if section.height < room / 4 or not section.parts:
        return (section,)
    return section.parts


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
            *shifted(foot.items, MARGIN, foot_top),
        )
        pages.append(Page(width, height, items))
    return tuple(pages)


def _gap(draft: _Draft) -> float:
    """The gap between sections, stretched a little over what is left of the page."""
    gap = draft.setting.gap
    between = max(1, len(draft.sections) - 1)
    return min(gap * _STRETCH, gap + max(0.0, draft.spare) / between)
