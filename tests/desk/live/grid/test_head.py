"""The head of a column: name in full, edge, coverage, clock, and signs of what stands."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from observe.desk.live.grid.head import (
    NAME_LEAST,
    head_height,
    head_reading,
    name_lines,
    paint_head,
)
from observe.desk.live.grid.model import GridModel
from observe.desk.live.model import LiveModel
from observe.desk.paint import Misfit, Pen
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE
from observe.look.signs import SignLook
from tests.desk.live.grid.fingers import OpenGrid
from tests.desk.people import LONG_NAMES, NAMES, HandClock, ready_to_seal

FULL_NS = 180 * 10**9


def test_given_and_family_name_have_a_line_each(skin: Skin) -> None:
    assert name_lines(skin, "Ravi Senapathi", 90)[0] == "Ravi\nSenapathi"
    assert name_lines(skin, "Maria del Carmen Ortiz", 150)[0] == "Maria del Carmen\nOrtiz"


@pytest.mark.parametrize("width", [46, 61, 69, 80, 150])
def test_a_long_name_is_broken_and_never_cut(skin: Skin, width: int) -> None:
    for name in (*LONG_NAMES[:4], *NAMES):
        text, size = name_lines(skin, name, width)
        whole = text.replace("-\n", "").replace("\n", "").replace(" ", "").replace("-", "")
        family = name.rpartition(" ")[2].replace("-", "")
        assert whole.endswith(family)
        assert whole[0] == name[0]
        assert size >= NAME_LEAST
        assert "…" not in text


def test_the_head_says_how_long_ago_and_how_much(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(3)
    model.mark(0, DONE)
    model.mark(1, DONE)
    clock.go(90)
    shown = head_reading(model, 0, FULL_NS)
    assert (shown.number, shown.seen, shown.time, shown.share) == (1, "100 %", "01:30", 0.5)
    assert head_reading(model, 2, FULL_NS).seen == ""
    clock.go(7)
    assert head_reading(model, 0, FULL_NS, calm=True).share == 0.5
    assert head_reading(model, 1, FULL_NS).front


def test_what_stands_still_has_its_sign(make_model: Callable[..., LiveModel]) -> None:
    model = make_model(4)
    for seat in range(4):
        model.mark(seat, DONE)
    model.do(0, gestures.pause_clock)
    model.do(1, gestures.stop_for_safety)
    ready_to_seal(model, 2)
    model.do(2, gestures.seal)
    model.do(3, gestures.void, "The trainer broke")
    assert head_reading(model, 0, FULL_NS).sign is SignLook.PAUSED
    assert head_reading(model, 1, FULL_NS).stopped
    assert head_reading(model, 2, FULL_NS).sign is SignLook.SEALED
    assert head_reading(model, 3, FULL_NS).void
    grid = GridModel(model)
    said = [grid.learner_said(column).rpartition(", ")[2] for column in range(4)]
    assert said == ["paused.", "stopped.", "sealed.", "void."]


def test_heads_grow_for_a_name_of_three_lines(skin: Skin) -> None:
    assert head_height(skin, LONG_NAMES, 77) > head_height(skin, NAMES[:2], 77)


def test_only_the_head_that_changed_is_repainted(
    open_grid: OpenGrid, monkeypatch: pytest.MonkeyPatch
) -> None:
    fingers = open_grid(8)
    heads = fingers.view.heads
    heads.refresh()
    painted: list[int] = []
    monkeypatch.setattr(heads.viewport(), "update", lambda x, *_: painted.append(x))
    fingers.model.mark(0, DONE)
    assert set(painted) == {heads.sectionViewportPosition(0)}


def test_the_lamp_lights_one_head_and_the_reader_hears_it(open_grid: OpenGrid) -> None:
    fingers = open_grid(4)
    view = fingers.view
    for seat in range(4):
        fingers.model.mark(seat, DONE)
    view.light(2)
    assert [one.lit for one in view.heads._shown] == [False, False, True, False]
    said = [view.grid.learner_said(column) for column in range(4)]
    assert ["look here" in one for one in said] == [False, False, True, False]
    view.light(None)
    assert not any(one.lit for one in view.heads._shown)


@pytest.mark.parametrize("width", [54, 77, 92, 116, 150])
def test_the_lamp_has_words_that_can_be_read(
    skin: Skin, make_model: Callable[..., LiveModel], misfits: list[Misfit], width: int
) -> None:
    """Never by colour alone: without them the head looks different in grey too."""
    model = make_model(2)
    for seat in range(2):
        model.mark(seat, DONE)
    high = head_height(skin, ("Idris Kalnin",), width)
    pictures = []
    for lit in (False, True):
        image = QImage(width, high, QImage.Format.Format_RGB32)
        painter = QPainter(image)
        shown = head_reading(model, 1, skin.edge_full_ns, lit=lit)
        paint_head(Pen(painter, skin), QRectF(image.rect()), shown, least=width)
        painter.end()
        foot = image.copy(0, high - 22, width, 22)
        pictures.append(foot.convertToFormat(QImage.Format.Format_Mono))
    assert pictures[0] != pictures[1]
    assert misfits == []
