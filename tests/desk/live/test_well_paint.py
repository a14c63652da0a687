"""Readings of the well fit their places in every state, at both densities."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from observe.desk.live import well_paint
from observe.desk.live.model import LiveModel
from observe.desk.paint import Misfit, Pen
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.look.signs import SignLook
from observe.look.tokens import Token
from tests.desk.people import DESK, HAND


@pytest.mark.parametrize("dpi", [HAND, DESK])
def test_every_step_of_the_form_has_room_as_the_current_one(
    make_model: Callable[..., LiveModel], skin: Skin, misfits: list[Misfit], dpi: float
) -> None:
    skin.set_screen(dpi)
    model = make_model(1)
    image = QImage(500, 200, QImage.Format.Format_RGB32)
    wide, high = (476, 46) if dpi == HAND else (340, 46)
    for step in model.state(0).steps:
        model.do(0, gestures.move_to, step.id)
        painter = QPainter(image)
        pen = Pen(painter, skin)
        box = QRectF(0, 0, wide, high)
        well_paint.paint_current(pen, box, model.state(0), low=True, refusal="")
        well_paint.paint_step_row(pen, box, Token.INK, "Next · 11", step.label, None)
        painter.end()
    assert {(one.text, one.width, one.height) for one in misfits} == set()


@pytest.mark.parametrize("watched", [None, SignLook.BLIND, SignLook.BOTH_SEALED])
def test_a_long_name_is_shortened_in_the_header(
    skin: Skin, misfits: list[Misfit], watched: SignLook | None
) -> None:
    image = QImage(500, 70, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    shown = well_paint.HeaderReading(
        number=12,
        name="Anne-Katharina Wolfeschlegelstein-Marrek",
        seen="100 % seen",
        looked="looked 12:34 ago",
        watched=watched,
        front=True,
    )
    well_paint.paint_header(Pen(painter, skin), QRectF(0, 0, 420, 70), Token.INK, shown)
    painter.end()
    assert misfits == []
