"""The note after an interruption."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.live.interruptions import Away, Last
from observe.desk.live.model import LiveModel
from observe.desk.live.note import AwayNote
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from tests.desk.people import painted


@pytest.fixture
def note(make_model: Callable[..., LiveModel], skin: Skin, parent: QWidget) -> AwayNote:
    made = AwayNote(skin, make_model(8), parent)
    made.resize(480, 70)
    return made


@pytest.mark.parametrize(
    ("seconds", "said"), [(102, "You were away 1:42."), (7380, "You were away for 2 h 3 min.")]
)
def test_it_says_how_long_and_what_was_last(
    note: AwayNote, parent: QWidget, misfits: list[Misfit], seconds: int, said: str
) -> None:
    note.model.away = Away(seconds, (Last(4, "Done, prompt 4 (took over), step 29, at 12:31"),))
    note.refresh()
    painted(parent, 480, 70)
    assert note.accessibleName().startswith(said)
    assert "seat 5" in note.accessibleName()
    assert misfits == []


def test_it_leads_to_the_learner_of_the_last_mark_and_goes(note: AwayNote) -> None:
    note.model.away = Away(60, (Last(4, "Done, step 9, at 12:31"),))
    note.model.away_changed.connect(note.refresh)
    note.refresh()
    note.go_key.click()
    assert note.model.front == 4
    assert note.isHidden()


def test_nothing_seen_ends_it(note: AwayNote) -> None:
    note.model.away = Away(60, (Last(4, "Done, step 9, at 12:31"),))
    note.nothing_key.click()
    assert note.model.away is None
