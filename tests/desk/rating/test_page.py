"""The rating in the order of rule D3: left, come back to, sealed."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.keys import Key
from observe.desk.live.model import LiveModel
from observe.desk.rating.page import PART, RatingPage
from observe.desk.rating.scales import DimensionsPane, ScalePane
from observe.desk.rating.summary import SummaryPane
from observe.desk.theme import Skin
from observe.domain.form import Mode
from observe.domain.marks import DONE
from observe.domain.troubles import Surroundings
from tests.desk.people import (
    LONG_NAMES,
    SCREENS,
    HandClock,
    keys_of,
    painted,
    ready_to_seal,
    work_through,
)

LEFT = Qt.MouseButton.LeftButton
OpenPage = Callable[..., RatingPage]


@pytest.fixture
def open_page(make_model: Callable[..., LiveModel], skin: Skin, qtbot: QtBot) -> OpenPage:
    def make(model: LiveModel | None = None, seat: int = 0, **options: object) -> RatingPage:
        page = RatingPage(skin, model or make_model(2, **options), seat)
        qtbot.addWidget(page)
        painted(page, 1280, 800)
        return page

    return make


def click(key: QWidget) -> None:
    assert key.isVisible()
    QTest.mouseClick(key, LEFT)


def titles(page: RatingPage) -> list[str]:
    return [section.title for section in page.sections]


def test_who_handed_over_seals_a_part_and_is_asked_for_nothing_of_the_rest(
    open_page: OpenPage, make_model: Callable[..., LiveModel]
) -> None:
    """Rule T5: what comes later is for whoever goes on."""
    model = make_model(2, observers=("Dr Petra Quill", "Dr Ines Ward"))
    model.mark(0, DONE)
    assert model.hand_over("o-2") is not None
    page = open_page(model)
    assert page.ending is PART
    assert titles(page) == ["Before you seal"]
    summary = page.sections[0].pane
    assert isinstance(summary, SummaryPane)
    assert summary.time_key.isHidden()
    assert not page.ending.ready.startswith("Sealing shows")


def test_parts_stand_in_the_order_of_the_rule(open_page: OpenPage) -> None:
    """Rule D3: overall grade and dimensions, criticals, one strength and one change, seal."""
    page = open_page()
    page.model.critical(0)
    again = open_page(page.model)
    assert titles(again) == [
        "Overall grade",
        "Dimensions",
        "Independence",
        "Critical events",
        "Watched throughout",
        "Strength and change",
        "Before you seal",
    ]


def test_a_grade_is_one_press_with_its_anchor_in_full(open_page: OpenPage) -> None:
    page = open_page()
    pane = page.sections[0].pane
    assert isinstance(pane, ScalePane)
    assert "Neither clearly safe" in pane.keys[1].accessibleName()
    assert pane.keys[1].accessibleName().casefold().count("borderline") == 1, "its own name says so"
    click(pane.keys[3])
    assert page.state.overall == 4
    assert titles(page)[page.now] == "Dimensions"


def test_dimensions_open_one_after_the_other(open_page: OpenPage, clock: HandClock) -> None:
    page = open_page()
    page.open_section(1)
    pane = page.sections[1].pane
    assert isinstance(pane, DimensionsPane)
    click(pane.keys[2])
    clock.go(1)
    click(pane.not_observable)
    assert page.state.dimensions == {"preparation": 3, "asepsis": None}
    assert pane.open == 2
    clock.go(1)
    click(pane.rows[0])
    click(pane.keys[0])
    assert page.state.dimensions["preparation"] == 1


def test_the_seal_waits_and_says_for_what(open_page: OpenPage) -> None:
    page = open_page()
    page.open_section(len(page.sections) - 1)
    assert page.on_key.accessibleName() == "Seal"
    assert not page.on_key.isEnabled()
    ready_to_seal(page.model, 0)
    assert page.on_key.isEnabled()


def test_a_double_tap_gives_one_rating(open_page: OpenPage) -> None:
    page = open_page()
    page.open_section(1)
    pane = page.sections[1].pane
    assert isinstance(pane, DimensionsPane)
    click(pane.keys[2])
    click(pane.keys[2])
    assert page.state.dimensions == {"preparation": 3}


def test_a_double_tap_on_go_on_never_seals(open_page: OpenPage, clock: HandClock) -> None:
    page = open_page()
    ready_to_seal(page.model, 0)
    page.open_section(len(page.sections) - 2)
    click(page.on_key)
    clock.go(0.3)
    click(page.on_key)
    assert not page.state.sealed
    clock.go(1)
    click(page.on_key)
    assert page.state.sealed


def test_a_key_that_is_held_gives_one_answer_and_never_seals(
    open_page: OpenPage, clock: HandClock
) -> None:
    page = open_page()
    for key in (Qt.Key.Key_3, Qt.Key.Key_Return):
        held = QKeyEvent(
            QKeyEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier, "", autorep=True
        )
        for _ in range(20):
            clock.go(1)
            page.keyPressEvent(held)
    assert page.state.overall is None
    assert page.now == 0


def test_sealing_tells_whose_it_was(open_page: OpenPage, qtbot: QtBot, clock: HandClock) -> None:
    page = open_page()
    ready_to_seal(page.model, 0)
    page.open_section(len(page.sections) - 1)
    clock.go(1)
    with qtbot.waitSignal(page.sealed) as told:
        click(page.on_key)
    assert told.args == [0]
    assert page.state.sealed


def test_leaving_keeps_everything_and_coming_back_goes_on(
    open_page: OpenPage, qtbot: QtBot
) -> None:
    page = open_page()
    click(page.sections[0].pane.keys[2])  # type: ignore[attr-defined]  # a ScalePane
    with qtbot.waitSignal(page.back):
        click(page.back_key)
    again = open_page(page.model)
    assert again.state.overall == 3
    assert titles(again)[again.now] == "Dimensions"


def test_a_whole_rating_by_keyboard(open_page: OpenPage, qtbot: QtBot, clock: HandClock) -> None:
    page = open_page()
    for key in (Qt.Key.Key_3, *[Qt.Key.Key_4] * 7, Qt.Key.Key_Return, Qt.Key.Key_5):
        QTest.keyClick(page, key)
        clock.go(1)
    assert page.state.overall == 3
    assert set(page.state.dimensions.values()) == {4}
    assert page.state.independence == 5
    with qtbot.waitSignal(page.back):
        QTest.keyClick(page, Qt.Key.Key_Escape)


def test_practice_needs_no_words(open_page: OpenPage) -> None:
    page = open_page(mode=Mode.PRACTICE)
    page.model.mark(0, DONE)
    click(page.sections[0].pane.keys[2])  # type: ignore[attr-defined]  # a ScalePane
    page.open_section(len(page.sections) - 1)
    assert page.on_key.isEnabled()


def test_the_score_stays_covered(open_page: OpenPage, clock: HandClock) -> None:
    """Rule D3."""
    page = open_page()
    work_through(page.model, clock)
    for place in range(len(page.sections)):
        page.open_section(place)
        said = " ".join(key.accessibleName() for key in keys_of(page)).lower()
        assert "%" not in said
        assert "remediate" not in said


@pytest.mark.parametrize("size", ["tablet", "desktop", "laptop", "least on a desktop"])
def test_every_text_has_room(
    open_page: OpenPage,
    make_model: Callable[..., LiveModel],
    clock: HandClock,
    misfits: list[paint.Misfit],
    size: str,
) -> None:
    width, height, dpi = SCREENS[size]
    model = make_model(2, names=LONG_NAMES)
    work_through(model, clock)
    page = open_page(model)
    misfits.clear()
    page.skin.set_screen(dpi)
    for place in range(len(page.sections)):
        page.open_section(place)
        page.resize(10, 10)
        painted(page, width, height)
    assert {(one.text, one.width, one.height) for one in misfits if one.width > 100} == set()


def test_what_could_not_be_kept_is_tried_again_from_here(
    open_page: OpenPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = open_page()

    def full(*_: object, **__: object) -> None:
        raise Surroundings("The disk is full.", remedy="Free some space.")

    with monkeypatch.context() as patch:
        patch.setattr(page.model.room.logbook, "append", full)
        click(page.sections[0].pane.keys[2])  # type: ignore[attr-defined]  # a ScalePane
        assert page.on_key.accessibleName() == "Try again"
        assert not any(key.isEnabled() for key in page.sections[0].pane.findChildren(Key))
        assert page.model.kept == 0
    click(page.on_key)
    assert page.state.overall == 3
    assert page.on_key.accessibleName() == "Go on"
    assert all(key.isEnabled() for key in page.sections[0].pane.findChildren(Key))


def test_a_seal_that_is_kept_at_the_second_try_leads_on(
    open_page: OpenPage, monkeypatch: pytest.MonkeyPatch, clock: HandClock, qtbot: QtBot
) -> None:
    page = open_page()
    ready_to_seal(page.model, 0)
    page.open_section(len(page.sections) - 1)
    clock.go(5)

    def full(*_: object, **__: object) -> None:
        raise Surroundings("The disk is full.", remedy="Free some space.")

    with monkeypatch.context() as patch:
        patch.setattr(page.model.room.logbook, "append", full)
        click(page.on_key)
        assert not page.state.sealed
    with qtbot.waitSignal(page.sealed):
        click(page.on_key)
    assert page.state.sealed
