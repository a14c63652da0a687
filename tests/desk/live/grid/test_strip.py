"""The strip: its keys are large enough and stand in one row where they fit."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.live.grid.repair import PROMPTED, MarkOffer, SeenTime
from observe.desk.live.grid.strip import RepairStrip, StripReading
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain.marks import DONE, INCORRECT
from observe.look.marks import MarkLook
from observe.look.tokens import ROUTINE_TARGET_MM
from tests.desk.people import DESK, HAND, LONG_NAMES, painted

OFFERS = (
    MarkOffer(DONE, MarkLook.DONE, "Done", chosen=False, can=True),
    *(
        MarkOffer(mark, MarkLook.PROMPT_1, word, chosen=False, can=True)
        for mark, word in zip(PROMPTED, ("asked", "cued", "guided", "took over"), strict=True)
    ),
    *(
        MarkOffer(INCORRECT, MarkLook.INCORRECT, word, chosen=word == "Incorrect", can=True)
        for word in ("Incorrect", "Not done", "Did not arise", "Voiced", "Not seen")
    ),
)
TIMES = (SeenTime("seen now", None), SeenTime("seen about 10:52", 1), SeenTime("a minute ago", 2))


@pytest.mark.parametrize(("width", "dpi"), [(1012, HAND), (1268, HAND), (1268, DESK)])
def test_every_key_has_its_millimetres_and_its_words(
    skin: Skin, parent: QWidget, misfits: list[Misfit], width: int, dpi: float
) -> None:
    skin.set_screen(dpi)
    strip = RepairStrip(skin, parent)
    title = f"12 {LONG_NAMES[1]}, step 12: done, prompt 3 (guided), seen 10:52, entered 12:40."
    told = "The highest prompt stands; for less, press Not seen first."
    strip.show_reading(StripReading(title, told, marks=OFFERS, times=TIMES, here=True, move="Move"))
    strip.resize(width, strip.height_for(width))
    strip.show()
    painted(parent, width, strip.height())
    assert misfits == []
    for key in strip.offered():
        assert key.width() >= skin.mm(ROUTINE_TARGET_MM), key.accessibleName()
        assert key.height() >= skin.mm(ROUTINE_TARGET_MM)
        assert strip.rect().contains(key.geometry())


def test_it_only_says_what_was_pressed(skin: Skin, parent: QWidget) -> None:
    strip = RepairStrip(skin, parent)
    strip.show_reading(StripReading("", marks=OFFERS, times=TIMES))
    said: list[object] = []
    strip.marked.connect(said.append)
    strip.timed.connect(said.append)
    strip.marks[0].click()
    strip.times[1].click()
    assert said == [DONE, 1]


def test_the_mark_that_stands_is_chosen_and_said(skin: Skin, parent: QWidget) -> None:
    strip = RepairStrip(skin, parent)
    strip.show_reading(StripReading("", marks=OFFERS))
    names = [key.accessibleName() for key in strip.offered()]
    assert "Incorrect, stands now" in names
    assert "Done after prompt 2, cued" in names


def test_a_refusal_is_shown_where_it_happened(
    skin: Skin, parent: QWidget, misfits: list[Misfit]
) -> None:
    strip = RepairStrip(skin, parent)
    told = "The form does not let this step be not applicable. Leave it not seen."
    strip.show_reading(StripReading("5 Ravi, step 8: done.", told, refused=True))
    strip.resize(1268, strip.height_for(1268))
    strip.show()
    painted(parent, 1268, 60)
    assert told in strip.accessibleName()
    assert misfits == []
