"""The page of the records, in each section and size."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from observe.desk import paint
from observe.desk.records.page import NOTHING, RecordsPage, Section
from observe.desk.theme import Skin
from tests.desk.records.conftest import Opened
from tests.work.machines import Desk, lead_desk, new_desk


@pytest.mark.parametrize("section", Section)
@pytest.mark.parametrize("size", [(1280, 690), (1024, 660), (1920, 980)])
def test_every_text_has_its_place(
    lead: Desk, opened: Opened, section: Section, size: tuple[int, int]
) -> None:
    lead.watch(1, "o1", upto=2)
    lead.packet("o1")
    page = opened(lead)
    found: list[paint.Misfit] = []
    paint.misfits.append(found.append)
    try:
        page.resize(*size)
        page.rows[section].click()
        page.grab()
    finally:
        paint.misfits.remove(found.append)
    assert found == []
    assert page.section is section
    assert section.value in page.accessibleName()


def test_an_empty_logbook_says_what_to_do(opened: Opened, tmp_path: Path) -> None:
    desk = new_desk(tmp_path, "empty")
    page = opened(desk, "")
    assert [one.title for one in page.list.blocks] == [NOTHING[Section.WANTED]]
    page.rows[Section.COMING].click()
    assert "Take a plan in" in page.list.blocks[0].title
    assert not page.out_key.isEnabled()
    desk.logbook.close()


def test_esc_leaves_a_question_and_nothing_is_kept(lead: Desk, opened: Opened) -> None:
    page = opened(lead)
    before = lead.logbook.log.position()
    page.out_key.click()
    assert page.panel_area.isVisible()
    QTest.keyClick(page.panel, Qt.Key.Key_Escape)
    assert page.list_area.isVisible()
    assert lead.logbook.log.position() == before


def test_t3_nothing_on_the_page_tells_what_was_marked(tmp_path: Path, opened: Opened) -> None:
    """Before all have sealed: how far it came, and no mark, score or decision."""
    desk = lead_desk(tmp_path)
    desk.seal(desk.watch(1, "o1"))
    page = opened(desk, "Ben")
    for section in Section:
        page.rows[section].click()
        said = page.list.accessibleName().casefold()
        assert not any(word in said for word in ("pass", "remediate", "score", "%", "incorrect"))
    desk.logbook.close()


def test_it_shows_in_the_dark_and_enlarged(lead: Desk, skin: Skin, opened: Opened) -> None:
    page: RecordsPage = opened(lead)
    skin.turn_over()
    page.grab()
    assert page.list.needed(400) > page.list.needed(1200) - 1
