"""The painter: shapes of the look in the theme's colours; text fits, or says it does not."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from observe.desk.paint import FLOOR, Misfit, Pen, Style, fit
from observe.desk.theme import Skin
from observe.look.marks import MarkLook, mark_shapes
from observe.look.tokens import LIGHT, Token, Weight
from tests.desk.people import HAND

pytestmark = pytest.mark.also_in_memory  # fonts and pixels are found in another way there


def picture(skin: Skin, look: MarkLook, side: int, ink: Token | None = None) -> QImage:
    image = QImage(side, side, QImage.Format.Format_RGB32)
    image.fill(skin.colour(Token.SHEET))
    painter = QPainter(image)
    Pen(painter, skin).shapes(mark_shapes(look, side), 0, 0, ink)
    painter.end()
    return image


def test_done_is_a_full_block_in_its_colour(skin: Skin) -> None:
    image = picture(skin, MarkLook.DONE, 20)
    assert {image.pixelColor(x, y).name() for x in range(20) for y in range(20)} == {
        LIGHT.done.lower()
    }


def test_one_ink_paints_everything(skin: Skin) -> None:
    image = picture(skin, MarkLook.PROMPT_2, 40, Token.ONBAND)
    assert image.pixelColor(20, 38) == QColor(LIGHT.onband)


@pytest.mark.parametrize("side", [14, 22, 40])
def test_every_mark_differs_from_every_other_in_one_ink(skin: Skin, side: int) -> None:
    """Look, "Seen without colour": shape alone tells the marks apart."""
    pictures = [
        bytes(picture(skin, look, side, Token.INK).constBits())
        for look in MarkLook
        if look is not MarkLook.AHEAD
    ]
    assert len(set(pictures)) == len(pictures)


def test_a_text_steps_down_before_it_is_cut(skin: Skin) -> None:
    style = Style(24, Weight.BOLD, least=14)
    wide = fit(skin, "Ravi Senapathi", 400, 40, style)
    narrow = fit(skin, "Ravi Senapathi", 130, 26, style)
    assert wide.size == 24
    assert 14 <= narrow.size < 24
    assert narrow.fits


def test_then_a_shorter_text_is_taken(skin: Skin) -> None:
    style = Style(24, Weight.BOLD, least=20)
    fitted = fit(skin, "Ravi Senapathi", 130, 26, style, ("R. Senapathi",))
    assert fitted.lines[0][0] == "R. Senapathi"


def test_the_shortest_text_goes_down_to_the_floor_and_no_further(skin: Skin) -> None:
    fitted = fit(skin, "Papadimitrakopoulou", 40, 20, Style(24, least=20), ("Papadimitra",))
    assert fitted.size >= FLOOR
    assert not fitted.fits


def test_a_text_without_room_is_reported(skin: Skin, misfits: list[Misfit]) -> None:
    image = QImage(40, 20, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    Pen(painter, skin).text(QRectF(0, 0, 40, 12), "Far too long for this", Style(18))
    painter.end()
    assert [one.text for one in misfits] == ["Far too long for this"]


@pytest.mark.usefixtures("faces")
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text("abcdef ", min_size=1, max_size=80), st.integers(30, 300), st.integers(14, 90))
def test_what_fits_is_inside_its_place(text: str, width: int, height: int) -> None:
    skin = Skin(LIGHT, HAND)
    fitted = fit(skin, text, width, height, Style(18, least=12))
    if fitted.fits:
        assert fitted.width <= width + 0.5
        assert fitted.height <= height + fitted.line_height
        assert "".join(line for line, _ in fitted.lines).replace(" ", "") == text.replace(" ", "")


def test_text_is_written_in_the_colour_of_its_style(skin: Skin) -> None:
    image = QImage(60, 30, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    Pen(painter, skin).text(QRectF(0, 0, 60, 30), "III", Style(24, Weight.BLACK, Token.CRIT))
    painter.end()
    colours = {image.pixelColor(x, y).name() for x in range(60) for y in range(30)}
    assert LIGHT.crit.lower() in colours
