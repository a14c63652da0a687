"""Every cell has a picture of its own, in one ink too; no text without room."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from observe.desk.live.grid.cells import Cell, Place
from observe.desk.live.grid.paint import Dress, paint_cell, paint_label, paint_run
from observe.desk.live.grid.rows import GridRow, Run
from observe.desk.paint import Misfit, Pen
from observe.desk.theme import Skin
from observe.look.marks import MarkLook
from observe.look.signs import SignLook

LOOKS = [look for look in MarkLook if look not in (MarkLook.NOW, MarkLook.AHEAD)]


def drawn(skin: Skin, cell: Cell, dress: Dress, width: int = 116, height: int = 70) -> QImage:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    paint_cell(Pen(painter, skin), QRectF(0, 0, width, height), cell, dress)
    painter.end()
    return image.convertToFormat(QImage.Format.Format_Grayscale8)


@pytest.mark.parametrize(
    "size", [(116, 70, True), (56, 70, True), (116, 11, False), (116, 8, False)]
)
def test_no_two_marks_look_alike(skin: Skin, size: tuple[int, int, bool]) -> None:
    width, height, is_open = size
    dress = Dress(open=is_open)
    found = {look: drawn(skin, Cell(look), dress, width, height) for look in LOOKS}
    for one, other in combinations(LOOKS, 2):
        assert found[one] != found[other], (one, other)


def test_ahead_is_empty_and_now_is_not(skin: Skin) -> None:
    for dress in (Dress(), Dress(open=True)):
        ahead = drawn(skin, Cell(), dress)
        assert drawn(skin, Cell(place=Place.NOW), dress) != ahead
        assert drawn(skin, Cell(place=Place.MISSING, word="not in this variant"), dress) != ahead
        assert drawn(skin, Cell(place=Place.WAITS), dress) != drawn(
            skin, Cell(place=Place.NOW), dress
        )


def test_repair_focus_and_locks_can_be_seen(skin: Skin) -> None:
    cell = Cell(MarkLook.DONE, word="done", time="09:21")
    dresses = [
        Dress(open=True),
        Dress(open=True, chosen=True),
        Dress(open=True, focus=True),
        Dress(open=True, locked=True),
        Dress(open=True, lit=True),
    ]
    images = [drawn(skin, cell, dress) for dress in dresses]
    assert all(one != other for one, other in combinations(images, 2))


def test_a_late_mark_shows_both_times_where_there_is_room(
    skin: Skin, misfits: list[Misfit]
) -> None:
    """Rule E2; a narrow cell leaves the second one to the strip."""
    once = Cell(MarkLook.DONE, word="done", time="09:21")
    late = replace(once, entered="entered 12:40")
    for width, is_shown in ((116, True), (186, True), (77, False)):
        pictures = [drawn(skin, cell, Dress(open=True), width) for cell in (once, late)]
        assert (pictures[0] != pictures[1]) == is_shown, width
    assert misfits == []


@pytest.mark.parametrize("width", [54, 77, 104, 116, 220])
def test_every_word_has_room(skin: Skin, misfits: list[Misfit], width: int) -> None:
    for word in ("took over", "did not arise", "not appl.", "incorrect, voiced", "not seen"):
        flags = (SignLook.RECOVERED, SignLook.ABSOLUTE)
        cell = Cell(MarkLook.PROMPT_4, Place.NOW, word, "1:02:03", flags, voiced=True, claimed=True)
        for one in (cell, replace(cell, entered="entered 1:02:03", flags=())):
            drawn(skin, one, Dress(open=True), width)
    for place in Place:
        drawn(skin, Cell(place=place, word="not in this variant"), Dress(open=True), width)
    assert misfits == []


def test_labels_have_room(skin: Skin, misfits: list[Misfit]) -> None:
    image = QImage(342, 200, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    pen = Pen(painter, skin)
    label = "Takes enough, names volume and the tests for each tube, and says so aloud"
    row = GridRow("f", "s", "24/25", label, "Pressure and samples", "weight 3", "Lumbar puncture")
    paint_label(pen, QRectF(0, 0, 274, 70), row)
    for height in (9, 12, 24, 80):
        run = Run(0, 3, "13–16", "Anaesthetic, Position and landmarks, Needle, Closing")
        paint_run(pen, QRectF(0, 0, 274, height), run)
    painter.end()
    assert misfits == []
