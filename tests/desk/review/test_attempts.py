"""A learner's attempts in order, each in words, with what they come to below."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.review.attempts import AttemptsPanel, Line
from observe.desk.theme import Skin
from observe.work.settings import Settings

LINES = (
    Line("2026-03-02", 61.25, "Remediate", mark=False),
    Line("2026-03-09", 74.0, "Undecided", None, "no decision"),
    Line("2026-03-12", None, "Void", None, "void"),
    Line("2026-03-16", 100.0, "Pass", None, "another mode or scoring"),
)
FOOT = "Remediate by the policy “last” over 1 attempt. To show it again: 2026-04-02, as agreed."


@pytest.fixture
def panel(skin: Skin, qtbot: QtBot) -> AttemptsPanel:
    parent = QWidget()
    qtbot.addWidget(parent)
    made = AttemptsPanel(skin, parent)
    made.show_attempts("Ada Brook", LINES, FOOT, ("", ""))
    return made


def test_every_attempt_is_told_in_words(panel: AttemptsPanel) -> None:
    assert panel.accessibleName() == (
        "Attempts. Ada Brook: 2026-03-02, 61.2 %, Remediate; 2026-03-09, 74.0 %, Undecided "
        "(no decision); 2026-03-12, no score, Void; 2026-03-16, 100.0 %, Pass (another mode or "
        f"scoring). {FOOT}"
    )


@pytest.mark.parametrize("size", [(300, 190), (420, 240), (640, 400)])
@pytest.mark.parametrize("text", [100, 200])
def test_every_text_has_its_place(
    panel: AttemptsPanel,
    skin: Skin,
    size: tuple[int, int],
    text: int,
    misfits: list[paint.Misfit],
) -> None:
    skin.apply(Settings(text=text))
    wide = size[0] * text // 100
    panel.resize(wide, max(size[1], panel.needed(wide) if text > 100 else 0))
    panel.grab()
    assert misfits == []


def test_many_attempts_scroll_and_the_newest_are_in_sight(panel: AttemptsPanel) -> None:
    panel.resize(420, 220)
    panel.window().show()
    panel.show_attempts("Ada Brook", LINES * 10, FOOT, ("", ""))
    assert panel.area.scrolls
    bar = panel.area.verticalScrollBar()
    assert bar.value() == bar.maximum() > 0
    panel.show_attempts("Ada Brook", (), "", ("Nothing is sealed.", "Seal it."))
    assert not panel.area.isVisibleTo(panel)
    assert panel.accessibleName() == "Attempts. Nothing is sealed. Seal it."
