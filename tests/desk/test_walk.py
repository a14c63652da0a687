"""A walk through the desk at every size: no text cut, no key over another, no target too small.

Look §14, with the longest names in three scripts. The gate walks a part in which every
two values meet once; the deep check walks the whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, cycle, product
from pathlib import Path

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QAccessible, QFontDatabase, QFontMetricsF, QImage
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from observe.desk.keys import Key, Row
from observe.desk.live.model import LiveModel
from observe.desk.live.page import LivePage
from observe.desk.live.rod_strip import RodKey
from observe.desk.live.seat import SeatCard
from observe.desk.live.well import WellPanel
from observe.desk.paint import Misfit
from observe.desk.settings.keeper import SettingsKeeper
from observe.desk.theme import Skin
from observe.look.tokens import Weight, contrast
from observe.work import pins
from observe.work.logbooks import Logbook
from observe.work.pins import Pins, pins_path
from observe.work.settings import ThemeChoice, WritingHand
from tests.desk.people import (
    ARABIC_NAMES,
    CHINESE_NAMES,
    HAND,
    LONG_NAMES,
    HandClock,
    keys_of,
    painted,
    work_through,
)
from tests.desk.visits import VISITS, Guide

SIZES = {
    "1024": (1024, 768, 96.0),
    "tablet": (1280, 800, HAND),
    "desktop": (1920, 1080, 96.0),
    "big": (2560, 1440, 109.0),
}
TEXTS = (100, 200)
THEMES = (ThemeChoice.LIGHT, ThemeChoice.DARK, ThemeChoice.CONTRAST)
SEATS = (1, 6, 8, 10, 12)
NAMES = {"Latin": LONG_NAMES, "Arabic": ARABIC_NAMES, "Chinese": CHINESE_NAMES}
FACTORS = (tuple(SIZES), TEXTS, THEMES, SEATS, tuple(NAMES))


@dataclass(frozen=True, slots=True)
class Walk:
    """One combination of all that may differ."""

    size: str
    text: int
    theme: ThemeChoice
    seats: int
    names: str

    def __str__(self) -> str:
        return f"{self.size}-{self.text}-{self.theme}-{self.seats}-{self.names}"


EVERYTHING = tuple(Walk(*row) for row in product(*FACTORS))
BETWEEN = tuple(Walk(*row) for row in product(tuple(SIZES), (125, 150), *FACTORS[2:]))


def pairs(walk: Walk) -> frozenset[tuple[object, ...]]:
    """Every two values that meet in a combination."""
    values = (walk.size, walk.text, walk.theme, walk.seats, walk.names)
    return frozenset((i, values[i], j, values[j]) for i, j in combinations(range(len(values)), 2))


def meeting_once(walks: tuple[Walk, ...]) -> Iterator[Walk]:
    """A part of some walks in which every two of their values meet, chosen greedily."""
    left = set().union(*(pairs(walk) for walk in walks))
    while left:
        best = max(walks, key=lambda walk: len(pairs(walk) & left))
        left -= pairs(best)
        yield best


GATE = tuple(meeting_once(EVERYTHING))
DEEP = (*EVERYTHING, *meeting_once(BETWEEN))


def measurable(names: tuple[str, ...]) -> tuple[str, ...]:
    """Names as they are; Han names twice as long where no face here has their letters.

    The box that stands for a missing letter is over half an em wide, a Han letter one em:
    two boxes are wider than the letter, so a name that fits so, fits.
    """
    if names is not CHINESE_NAMES or QFontDatabase.families(
        QFontDatabase.WritingSystem.SimplifiedChinese
    ):
        return names
    return tuple("".join(one if one == "·" else one * 2 for one in name) for name in names)


def test_every_two_values_meet_in_the_part_that_the_gate_walks() -> None:
    everything = set().union(*(pairs(walk) for walk in EVERYTHING))
    assert set().union(*(pairs(walk) for walk in GATE)) == everything
    assert len(GATE) <= 24


def test_the_names_of_the_walk_are_measured_in_letters_or_wider(faces: QApplication) -> None:
    """No text may pass because its letters are missing and their boxes are narrow."""
    assert faces is not None
    assert QFontDatabase.families(QFontDatabase.WritingSystem.Arabic)
    metrics = QFontMetricsF(Skin().font(20, Weight.BOLD))
    for name, measured in zip(CHINESE_NAMES, measurable(CHINESE_NAMES), strict=True):
        assert metrics.horizontalAdvance(measured) >= 20 * (len(name.replace("·", "")) - 0.5)


# what is asked of every page


def require_room(page: QWidget, skin: Skin) -> None:
    """Routine keys 12 mm, none over another, each with a name for the reader."""
    keys = keys_of(page)
    for key in keys:
        name = key.accessibleName()
        assert name.strip(), key
        assert QAccessible.queryAccessibleInterface(key).text(QAccessible.Text.Name) == name
        if not isinstance(key, Row | RodKey):
            assert min(key.width(), key.height()) >= skin.mm(11.8), name
    parents = {key.parentWidget() for key in keys}
    for parent in parents:
        mine = [key for key in keys if key.parentWidget() is parent]
        for one, other in combinations(mine, 2):
            drawn = one.geometry().adjusted(0, 0, 0, -one.reach_below)
            over = drawn.intersects(other.geometry().adjusted(0, 0, 0, -other.reach_below))
            assert not over, (one.accessibleName(), other.accessibleName())


def require_critical_room(page: LivePage, skin: Skin) -> None:
    """Critical, stop and sentence keys 20 mm; 3 mm clear round critical and stop."""
    clear = skin.mm(2.9)
    panels: list[SeatCard | WellPanel] = [*page.seats.cards, *page.seats.wells]
    for panel in panels:
        guarded = [panel.critical] + ([panel.stop] if isinstance(panel, WellPanel) else [])
        large = [*guarded, *([panel.sentence] if isinstance(panel, SeatCard) else [])]
        for key in (one for one in large if one.isVisible()):
            assert min(key.width(), key.height()) >= skin.mm(19.8), key.accessibleName()
        others = [key for key in keys_of(panel) if key.parentWidget() is panel]
        for key in (one for one in guarded if one.isVisible()):
            around = key.geometry().adjusted(-clear, -clear, clear, clear)
            for other in others:
                if other is not key and not isinstance(other, Row | RodKey):
                    assert not around.intersects(drawn_box(other)), other.accessibleName()


def drawn_box(key: Key) -> QRect:
    return key.drawn().toRect().translated(key.pos())


def contrast_of(key: Key) -> float:
    """The greatest contrast on a key between what is drawn on it and its own face."""
    image = key.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    face = key.skin.theme.colour(key.face.fill)
    inner = image.copy(image.rect().adjusted(8, 8, -8, -8))
    pixels = set(memoryview(inner.constBits()).cast("I"))
    return max(contrast(face, f"#{pixel & 0xFFFFFF:06x}") for pixel in pixels)


def require_contrast(page: LivePage, skin: Skin) -> None:
    """From the pixels: what stands on a key against its face (WCAG 2.2, 1.4.3 and 1.4.6)."""
    least = 7 if skin.is_contrast else 4.5
    well = page.well
    for key in (*well.marks, *well.prompts, well.take_back, well.critical, well.stop):
        if key.isVisible() and key.isEnabled():
            assert contrast_of(key) >= least, key.accessibleName()


# the walk


WalkThrough = Callable[[Walk, WritingHand, bool], None]


@pytest.fixture
def walk_through(
    make_model: Callable[..., LiveModel],
    clock: HandClock,
    skin: Skin,
    misfits: list[Misfit],
    qtbot: QtBot,
    tmp_path: Path,
) -> WalkThrough:
    """Build the page of Live for one combination and ask all that is asked of it."""

    def go(walk: Walk, hand: WritingHand, gloves: bool) -> None:
        width, height, dpi = SIZES[walk.size]
        skin.set_screen(dpi)
        keeper = SettingsKeeper(skin, tmp_path / "settings.json")
        keeper.choose(text=walk.text, theme=walk.theme, hand=hand, gloves=gloves)
        model = make_model(walk.seats, names=measurable(NAMES[walk.names]), looks=1)
        work_through(model, clock)
        live = LivePage(skin, model)
        qtbot.addWidget(live)
        for seat in {0, walk.seats - 1}:
            model.look(seat)
            painted(live, width, height)
            require_room(live, skin)
            require_critical_room(live, skin)
        require_contrast(live, skin)
        assert {(one.text, one.width, one.height) for one in misfits} == set()

    return go


HANDS = tuple(product(WritingHand, (False, True)))


@pytest.mark.parametrize(("place", "walk"), tuple(enumerate(GATE)), ids=str)
def test_a_part_of_all_that_may_differ(walk_through: WalkThrough, place: int, walk: Walk) -> None:
    hand, gloves = HANDS[place % len(HANDS)]
    walk_through(walk, hand, gloves)


@pytest.mark.deep
@pytest.mark.parametrize(("place", "walk"), tuple(enumerate(DEEP)), ids=str)
def test_all_that_may_differ(walk_through: WalkThrough, place: int, walk: Walk) -> None:
    hand, gloves = HANDS[place % len(HANDS)]
    walk_through(walk, hand, gloves)


# every page of the desk


@dataclass(frozen=True, slots=True)
class Stop:
    """One page, and how it is looked at."""

    page: str
    walk: Walk

    def __str__(self) -> str:
        return f"{self.page}-{self.walk}"


def stops(rooms: Iterable[tuple[str, tuple[str, int]]]) -> Iterator[Stop]:
    """Pages in sizes of screen and text, with all else in turn."""
    rest = zip(cycle(NAMES), cycle(THEMES), cycle((8, 4, 12, 1, 6, 10, 2)), strict=False)
    for (page, (size, text)), (names, theme, seats) in zip(rooms, rest, strict=False):
        yield Stop(page, Walk(size, text, theme, seats, names))


ROOMS = tuple(product(SIZES, TEXTS))
SMALLEST = ("1024", 200)
OTHERS = tuple(room for room in ROOMS if room != SMALLEST)
VISITED = (
    *stops((page, SMALLEST) for page in VISITS),
    *stops(zip(VISITS, cycle(OTHERS), strict=False)),
)
"""In the gate each page in the smallest room at the largest text, and in one other."""
VISITED_DEEP = tuple(
    stops(product(VISITS, tuple(product(SIZES, (100, 125, 150, 200))) * len(NAMES)))
)


@pytest.fixture
def guide_to(
    make_model: Callable[..., LiveModel],
    logbook: Logbook,
    clock: HandClock,
    skin: Skin,
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> Callable[[Walk], Guide]:
    """What a visit needs, for one combination."""
    monkeypatch.setattr(pins, "COST", 4)

    def make(walk: Walk) -> Guide:
        width, height, dpi = SIZES[walk.size]
        skin.set_screen(dpi)
        keeper = SettingsKeeper(skin, tmp_path / "settings.json")
        keeper.choose(text=walk.text, theme=walk.theme)
        return Guide(
            skin=skin,
            keeper=keeper,
            clock=clock,
            qtbot=qtbot,
            pins=Pins(pins_path(logbook.path), logbook.machine),
            wide=width,
            high=height,
            seats=walk.seats,
            names=measurable(NAMES[walk.names]),
            make_model=make_model,
        )

    return make


def visit(stop: Stop, guide: Guide, misfits: list[Misfit]) -> None:
    """Look at a page in each of its states, and ask all that is asked of it."""
    for page in VISITS[stop.page](guide):
        misfits.clear()
        if page.minimumSize() == page.maximumSize():
            page.show()
            page.grab()
        else:
            painted(page, guide.wide, guide.high)
        require_room(page, guide.skin)
        assert {(one.text, one.width, one.height) for one in misfits} == set()


def test_the_gate_visits_every_page_and_all_that_may_differ() -> None:
    walks = [stop.walk for stop in VISITED]
    assert {stop.page for stop in VISITED} == set(VISITS)
    assert {(one.size, one.text) for one in walks} == set(ROOMS)
    assert {one.theme for one in walks} == set(THEMES)
    assert {one.names for one in walks} == set(NAMES)


@pytest.mark.parametrize("stop", VISITED, ids=str)
def test_every_page_keeps_its_texts_whole(
    stop: Stop, guide_to: Callable[[Walk], Guide], misfits: list[Misfit]
) -> None:
    visit(stop, guide_to(stop.walk), misfits)


@pytest.mark.deep
@pytest.mark.parametrize("stop", VISITED_DEEP, ids=str)
def test_every_page_keeps_its_texts_whole_in_every_room(
    stop: Stop, guide_to: Callable[[Walk], Guide], misfits: list[Misfit]
) -> None:
    visit(stop, guide_to(stop.walk), misfits)
