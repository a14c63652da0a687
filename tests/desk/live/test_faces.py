"""The faces of the keys: what the reader of the screen hears, and when two are the same."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key
from observe.desk.live import faces
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.look.marks import MarkLook
from observe.look.signs import SignLook
from observe.look.tokens import Token
from tests.desk.people import painted

WHO = "Seat 5, Ravi Senapathi"


def test_the_sentence_says_step_order_and_deed() -> None:
    face = faces.sentence_face(
        "Prepares skin in a wide field", 10, "needs 8", low=False, can=True, name=f"{WHO}. "
    )
    assert face.name == f"{WHO}. Step 10, Prepares skin in a wide field. needs 8. Done."


def test_critical_is_quiet_until_something_is_recorded() -> None:
    quiet = faces.critical_face(
        sign=None, time="", words="", count=0, can=True, name=WHO, quiet=True
    )
    used = faces.critical_face(
        sign=SignLook.RECOVERED,
        time="08:40",
        words="recovered",
        count=1,
        can=True,
        name=WHO,
        quiet=True,
    )
    assert (quiet.fill, quiet.heel) == (Token.SHEET, Token.KEYHEEL)
    assert (used.fill, used.heel) == (Token.CRITBG, Token.CRIT)
    assert used.name == f"Critical, 1 recorded, recovered, 08:40. {WHO}"


def test_an_event_that_waits_says_which_one_it_is_and_that_it_is_to_be_decided() -> None:
    face = faces.critical_face(
        sign=SignLook.ABSOLUTE,
        time="08:40",
        words="to decide",
        count=1,
        can=True,
        name=WHO,
        quiet=True,
        item="Sterile break goes on",
    )
    assert face.border is Token.CRIT
    assert face.name == f"Critical, 1 recorded, Sterile break goes on, to decide, 08:40. {WHO}"


@pytest.mark.parametrize(
    ("look", "heel"),
    [
        (MarkLook.INCORRECT, Token.WRONG),
        (MarkLook.NOT_DONE, Token.INK),
        (MarkLook.NOT_APPLICABLE, Token.KEYHEEL),
    ],
)
def test_a_heel_has_the_colour_of_its_mark(look: MarkLook, heel: Token) -> None:
    assert faces.mark_face(look, "word", can=True, name=WHO).heel is heel


@pytest.mark.parametrize(("level", "word"), [(1, "asked"), (4, "took over")])
def test_a_prompt_says_its_level_and_what_it_was(level: int, word: str) -> None:
    face = faces.prompt_face(level, can=True, name=WHO)
    assert face.name == f"Done after prompt {level}, {word}. {WHO}"


@pytest.mark.parametrize(
    ("running", "started", "deed"),
    [(True, True, "Pause"), (False, True, "Go on"), (False, False, "Start")],
)
def test_the_clock_says_what_a_press_does(running: bool, started: bool, deed: str) -> None:
    face = faces.clock_face("12:44", running=running, started=started, front=True, can=True)
    assert face.name == f"{deed}, clock at 12:44"


@pytest.mark.parametrize("front", [True, False])
def test_at_the_end_of_time_the_clock_changes_colours_and_says_so(front: bool) -> None:
    before = faces.clock_face("14:59", running=True, started=True, front=front, can=True)
    after = faces.clock_face(
        "15:00",
        running=True,
        started=True,
        front=front,
        can=True,
        below="time is up",
        limit=" of 15:00, time is up",
        over=True,
    )
    assert {before.fill, after.fill} == {Token.BAND, Token.SHEET}
    assert after.name == "Pause, clock at 15:00 of 15:00, time is up"


def test_equal_faces_are_equal() -> None:
    assert faces.done_face(can=True, name=WHO) == faces.done_face(can=True, name=WHO)
    assert faces.done_face(can=True, name=WHO) != faces.done_face(can=False, name=WHO)


@pytest.mark.parametrize("size", [(112, 66), (150, 43)])
def test_a_reason_is_never_left_out(
    skin: Skin, parent: QWidget, misfits: list[Misfit], size: tuple[int, int]
) -> None:
    face = faces.reason_face(17, "Not possible on this trainer")
    assert face.name == "Step 17 is not applicable, because: Not possible on this trainer"
    key = Key(skin, parent, face)
    key.place(0, 0, *size)
    painted(parent, *size)
    assert misfits == []
