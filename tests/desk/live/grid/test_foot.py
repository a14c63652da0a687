"""The foot: a critical event is one press away, or two where columns are narrow."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRect
from PySide6.QtTest import QTest

from observe.desk.live.grid.foot import FRONT_WORDS
from observe.desk.live.grid.view import GridView
from observe.desk.live.shield import shield_of
from observe.desk.theme import MM_IN_INCH, Skin
from observe.domain import gestures
from observe.domain.marks import DONE
from observe.domain.troubles import Surroundings
from observe.look.tokens import CRITICAL_GAP_MM, CRITICAL_TARGET_MM
from tests.desk.live.grid.fingers import LEFT, Fingers, OpenGrid
from tests.desk.people import DESK, ready_to_seal


def press(fingers: Fingers, column: int) -> None:
    """Press a critical key; the one key where there is one only."""
    fingers.clock.go(1)
    fingers.taps += 1
    foot = fingers.view.foot
    QTest.mouseClick(foot.front_key if foot.is_wide else foot.keys[column], LEFT)


def occurred(fingers: Fingers) -> list[int]:
    return [len(fingers.state(seat).occurrences) for seat in range(len(fingers.model))]


@pytest.mark.parametrize("before", ["nothing", "strip", "moving", "lens elsewhere"])
def test_it_is_one_press_whatever_is_open(open_grid: OpenGrid, before: str) -> None:
    """Rule C1, C2: the time is kept at once; what it was is said later."""
    fingers = open_grid(8)
    kept: list[int] = []
    fingers.view.critical_kept.connect(kept.append)
    if before in ("strip", "moving"):
        fingers.model.mark(2, DONE)
        fingers.cell(0, 2)
    if before == "moving":
        fingers.key("Wrong learner")
    if before == "lens elsewhere":
        fingers.cell(30, 1)
    fingers.taps = 0
    press(fingers, 6)
    assert fingers.taps == 1
    assert occurred(fingers) == [0, 0, 0, 0, 0, 0, 1, 0]
    assert fingers.state(6).occurrences[0].item == ""
    assert kept == [6]
    assert fingers.model.front == 6
    assert fingers.open() is None
    assert "Critical, 1 recorded" in fingers.view.foot.keys[6].accessibleName()


@pytest.mark.parametrize(("seats", "screen"), [(8, (1280, 730, 149.0)), (12, (1920, 1018, DESK))])
def test_keys_have_their_millimetres_and_stand_under_their_learners(
    open_grid: OpenGrid, skin: Skin, seats: int, screen: tuple[int, int, float]
) -> None:
    """20 mm in whole millimetres, 3 mm away from the rows."""
    skin.set_screen(screen[2])
    view = open_grid(seats, size=screen[:2]).view
    assert not view.foot.is_wide
    for column, box in enumerate(view.foot.boxes()):
        assert millimetres(skin, box.width()) == CRITICAL_TARGET_MM or box.width() > 76
        assert millimetres(skin, box.height()) >= CRITICAL_TARGET_MM
        left = view.heads.mapTo(view, view.heads.rect().topLeft()).x()
        x = left + view.heads.sectionViewportPosition(column)
        placed = box.translated(view.foot.pos())
        assert x <= placed.left()
        assert placed.right() <= x + view.heads.sectionSize(column)
    away = view.foot.y() - view.table.geometry().bottom() - 1
    assert millimetres(skin, away) >= CRITICAL_GAP_MM
    assert view.rect().contains(view.foot.geometry())


def millimetres(skin: Skin, px: int) -> int:
    return round(px * MM_IN_INCH / skin.dots_per_inch)


def test_in_narrow_columns_it_is_a_name_and_then_critical_and_the_screen_says_so(
    open_grid: OpenGrid,
) -> None:
    fingers = open_grid(12)
    foot = fingers.view.foot
    assert foot.is_wide
    assert "press the name" in FRONT_WORDS[0]
    assert not any(key.isVisible() for key in foot.keys)
    fingers.head(4)
    assert "Ravi Senapathi" in foot.front_key.accessibleName()
    press(fingers, 0)
    assert occurred(fingers)[4] == 1
    assert sum(occurred(fingers)) == 1


def test_nothing_that_opens_covers_a_critical_key(open_grid: OpenGrid) -> None:
    view = open_grid(8).view
    keys = view.foot.geometry()
    for row in (0, 15, 30):
        view.lens.open_at(row)
        for cell in range(view.lens.top, view.lens.top + view.lens.count):
            view.mender.open((cell, 3))
            assert not _reaches(view, view.strip.geometry(), keys)
        assert not _reaches(view, view.note_box(), keys)
    assert not _reaches(view, view.middle(), keys)


def _reaches(view: GridView, box: QRect, keys: QRect) -> bool:
    """Whether a box comes nearer to the keys than 3 mm."""
    return box.bottom() >= keys.top() - view.foot.gap


def test_a_double_tap_is_one_event(open_grid: OpenGrid) -> None:
    fingers = open_grid(3)
    for _ in range(2):
        QTest.mouseClick(fingers.view.foot.keys[1], LEFT)
    assert occurred(fingers) == [0, 1, 0]


def test_the_shield_covers_what_was_recorded_and_the_key_still_keeps_it(
    open_grid: OpenGrid,
) -> None:
    """Rule P2."""
    fingers = open_grid(3)
    press(fingers, 1)
    shield_of(fingers.model).turn()
    name = fingers.view.foot.keys[1].accessibleName()
    assert name == "Critical, keep the time. Seat 2, Idris Kalnin"
    press(fingers, 1)
    assert fingers.view.foot.keys[1].accessibleName() == name
    assert occurred(fingers) == [0, 2, 0]


def test_who_is_sealed_or_void_has_no_critical_key(open_grid: OpenGrid) -> None:
    """Rule D3."""
    fingers = open_grid(3)
    ready_to_seal(fingers.model, 0)
    fingers.model.do(0, gestures.seal)
    fingers.model.do(1, gestures.void, "The trainer broke")
    assert [key.isVisible() for key in fingers.view.foot.keys] == [False, False, True]


def test_on_a_full_disk_the_keys_have_no_heel(
    open_grid: OpenGrid, monkeypatch: pytest.MonkeyPatch
) -> None:
    fingers = open_grid(3)
    kept: list[int] = []
    fingers.view.critical_kept.connect(kept.append)

    def full(*_: object, **__: object) -> None:
        raise Surroundings("This disk is full.", remedy="Free some space.")

    monkeypatch.setattr(fingers.model.room.logbook, "append", full)
    press(fingers, 1)
    assert kept == []
    assert not any(key.isEnabled() for key in fingers.view.foot.keys)
