"""The skin: sizes for the screen that is there, colours of the theme, faces of the program."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QFontInfo, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk.theme import DESK_DPI, HAND_DPI, Skin, dots_per_inch
from observe.look.tokens import DARK, DESK, HAND, LIGHT, Token, Weight


@pytest.mark.parametrize(("dpi", "hand"), [(96, False), (129, False), (130, True), (220, True)])
def test_density_follows_the_screen(dpi: float, hand: bool) -> None:
    """Look, "Type": hand from 130 dots an inch."""
    assert Skin(LIGHT, dpi).is_hand is hand


@pytest.mark.parametrize("dpi", [96.0, 149.0, 220.0])
def test_a_millimetre_is_a_millimetre(dpi: float) -> None:
    assert Skin(LIGHT, dpi).mm(25.4) == round(dpi)


def test_px_are_those_of_the_densitys_own_screen() -> None:
    assert Skin(LIGHT, HAND_DPI).px(18) == 18
    assert Skin(LIGHT, DESK_DPI).px(18) == 18
    assert Skin(LIGHT, 2 * HAND_DPI).px(18) == 36
    assert Skin(LIGHT, HAND_DPI).px(0.1) == 1
    assert Skin(LIGHT, HAND_DPI).pick(70, 45) == 70
    assert Skin(LIGHT, DESK_DPI).density is DESK
    assert Skin(LIGHT, HAND_DPI).density is HAND


def test_turning_over_changes_every_colour_and_says_so(skin: Skin, qtbot: QtBot) -> None:
    before = skin.colour(Token.GROUND)
    with qtbot.waitSignal(skin.changed):
        skin.turn_over()
    assert skin.theme is DARK
    assert skin.colour(Token.GROUND) != before
    assert skin.palette().color(QPalette.ColorRole.Text).name() == DARK.ink.lower()
    skin.turn_over()
    assert skin.colour(Token.GROUND) == before


@pytest.mark.parametrize("weight", Weight)
def test_the_bundled_faces_are_used(skin: Skin, weight: Weight) -> None:
    assert QFontInfo(skin.font(18, weight)).family().startswith("Lato")
    assert QFontInfo(skin.font(18, code=True)).family() == "DejaVu Sans Mono"


def test_a_screen_that_lies_about_its_size_is_not_believed(faces: QApplication) -> None:
    assert faces is not None
    screen = QGuiApplication.primaryScreen()
    assert 50 <= dots_per_inch(screen) <= 500
