"""The skin: sizes for the screen that is there, colours of the theme, faces of the program."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QFontInfo, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk.paint import Style, fit
from observe.desk.theme import DESK_DPI, HAND_DPI, Skin, dots_per_inch, system_theme
from observe.look.tokens import CONTRAST, CONTRAST_DARK, DARK, DESK, HAND, LIGHT, Token, Weight
from observe.work.settings import TEXT_SIZES, Motion, Settings, ThemeChoice, WritingHand

pytestmark = pytest.mark.also_in_memory  # fonts and pixels are found in another way there


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


@pytest.mark.parametrize("text", TEXT_SIZES)
def test_text_grows_and_millimetres_stay(skin: Skin, text: int) -> None:
    skin.apply(Settings(text=text))
    assert skin.font(15).pixelSize() == round(15 * text / 100)
    assert skin.mm(20) == Skin(LIGHT, HAND_DPI).mm(20)
    assert skin.px(20) == 20 * text / 100
    assert skin.px(8) == 8
    assert skin.still(70, 45) == 70


def test_the_least_size_of_a_text_grows_with_it(skin: Skin) -> None:
    """Text may step down, but at 200 % never to the least size of the usual one."""
    skin.apply(Settings(text=200))
    laid_out = fit(skin, "Prepares skin in a wide field", 40, 10, Style(18, least=15))
    assert laid_out.size == 30


def test_a_line_of_text_has_room_in_its_height_at_every_size(skin: Skin) -> None:
    """A height that holds a line at the usual size holds it at every other one."""
    for text in TEXT_SIZES:
        skin.apply(Settings(text=text))
        for size in range(12, 31):
            line = skin.px(round(size * 1.2))
            assert fit(skin, "Ågy", 500, line, Style(size, least=size)).fits, (text, size)


def test_settings_change_the_skin_at_once_and_only_once(skin: Skin) -> None:
    told: list[int] = []
    skin.changed.connect(lambda: told.append(1))
    chosen = Settings(ThemeChoice.DARK, 150, WritingHand.LEFT, gloves=True, motion=Motion.REDUCED)
    skin.apply(chosen)
    assert told == [1]
    assert skin.theme is DARK
    assert skin.is_left
    assert skin.gloves
    assert skin.motion_reduced
    skin.apply(chosen)
    assert told == [1]


@pytest.mark.parametrize(
    ("choice", "theme"),
    [
        (ThemeChoice.LIGHT, LIGHT),
        (ThemeChoice.DARK, DARK),
        (ThemeChoice.CONTRAST, CONTRAST),
        (ThemeChoice.CONTRAST_DARK, CONTRAST_DARK),
    ],
)
def test_a_chosen_theme_is_shown_whatever_the_system_has(
    skin: Skin, choice: ThemeChoice, theme: object
) -> None:
    skin.apply(Settings(theme=choice))
    assert skin.theme is theme
    skin.apply(Settings())
    assert skin.theme is system_theme()


def test_high_contrast_turned_over_stays_high(skin: Skin) -> None:
    skin.apply(Settings(ThemeChoice.CONTRAST))
    seen = [(skin.theme, skin.is_contrast, skin.is_dark)]
    for _ in range(2):
        skin.turn_over()
        seen.append((skin.theme, skin.is_contrast, skin.is_dark))
    assert seen == [(CONTRAST, True, False), (CONTRAST_DARK, True, True), (CONTRAST, True, False)]


def test_motion_follows_the_system_until_it_is_chosen(
    skin: Skin, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("observe.desk.theme.system_motion_reduced", lambda: True)
    skin.apply(Settings())
    assert skin.motion_reduced
    skin.apply(Settings(motion=Motion.FULL))
    assert not skin.motion_reduced


def test_the_bar_keeps_its_height_until_its_words_need_more(skin: Skin) -> None:
    usual = skin.bar_height
    assert usual == 70
    skin.apply(Settings(text=200))
    assert usual < skin.bar_height < 1.5 * usual
