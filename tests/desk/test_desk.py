"""The desk joins pages and use cases: from a logbook to a room, a rating, a decision."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

import pytest
from pytestqt.qtbot import QtBot

from observe.desk.debrief.page import DebriefPage
from observe.desk.desk import AGAIN_S, Desk
from observe.desk.live.debounce import Debounce
from observe.desk.live.room_deeds import SETTINGS
from observe.desk.rating.page import RatingPage
from observe.desk.rating.words import WordsPane
from observe.desk.records.carrying import Carrying
from observe.desk.records.page import RecordsPage
from observe.desk.settings.page import SettingsPage
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.work.logbooks import default_path
from observe.work.seating import note_absent
from observe.work.session import Room
from observe.work.settings import default_path as settings_path
from tests.desk.people import ready_to_seal

Page = TypeVar("Page", RatingPage, DebriefPage, SettingsPage, RecordsPage)


@pytest.fixture
def open_desk(skin: Skin, qtbot: QtBot) -> Iterator[Callable[[Path | None], Desk]]:
    opened: list[Desk] = []

    def make(path: Path | None = None) -> Desk:
        desk = Desk(skin, path)
        qtbot.addWidget(desk.frame)
        desk.show()
        desk.open_logbook()
        opened.append(desk)
        return desk

    yield make
    for desk in opened:
        desk.close_logbook()


@pytest.fixture
def planned(make_room: Callable[..., Room]) -> Path:
    """A logbook with a planned workshop."""
    return make_room(2).logbook.path


def shown_page(desk: Desk, kind: type[Page]) -> Page:
    """The page that is shown, of the kind that is expected."""
    assert isinstance(desk.frame.page, kind)
    return desk.frame.page


def test_the_persons_own_logbook_is_made_on_first_use(
    open_desk: Callable[..., Desk],
) -> None:
    desk = open_desk()
    assert default_path().exists()
    assert desk.start.demo_key.isVisible()
    assert [row.accessibleName() for row in desk.frame.bar.words if row.isVisible()] == [
        "Live",
        "Review",
        "Records",
    ]


def test_a_file_that_is_no_logbook_is_told_and_left_alone(
    open_desk: Callable[..., Desk], tmp_path: Path
) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear colleague", encoding="utf-8")
    desk = open_desk(path)
    assert desk.logbook is None
    assert desk.frame.trouble.isVisible()
    assert path.read_text(encoding="utf-8") == "Dear colleague"
    desk.frame.trouble.keys[0].click()
    assert desk.frame.trouble.isVisible()


def test_from_the_logbook_to_the_decision(open_desk: Callable[..., Desk], planned: Path) -> None:
    desk = open_desk(planned)
    desk.start.observer_keys[0].click()
    assert desk.frame.page is desk.live
    assert desk.model is not None
    assert desk.frame.windowTitle() == "Lumbar puncture · Live · Observe"
    assert desk.live is not None
    desk.model._debounce = Debounce(itertools.count().__next__)
    desk.live.well.mark_done()
    desk.live.rate.emit(0)
    page = shown_page(desk, RatingPage)
    ready_to_seal(desk.model, 0)
    page.open_section(len(page.sections) - 1)
    page.on_key.click()
    debrief = shown_page(desk, DebriefPage)
    assert debrief.shown.mine is not None
    assert desk.frame.windowTitle() == "Amara Voss · Debrief · Observe"


def test_leaving_live_keeps_the_room_and_the_way_back(
    open_desk: Callable[..., Desk], planned: Path
) -> None:
    desk = open_desk(planned)
    desk.start.observer_keys[0].click()
    assert desk.model is not None
    desk.model.do(1, gestures.start_clock)
    assert desk.live is not None
    desk.live.leave.emit()
    assert desk.frame.page is desk.start
    assert desk.frame.bar.title == "Open: Lumbar puncture, 14 March 2026"
    desk.start.observer_keys[0].click()
    assert desk.model.state(1).clock.is_running


def test_what_was_typed_is_kept_when_the_window_is_closed(
    open_desk: Callable[..., Desk], planned: Path
) -> None:
    desk = open_desk(planned)
    desk.start.observer_keys[0].click()
    desk.show_rating(0)
    page = shown_page(desk, RatingPage)
    place = [section.title for section in page.sections].index("Strength and change")
    page.open_section(place)
    pane = page.sections[place].pane
    assert isinstance(pane, WordsPane)
    pane.columns[0].field.setPlainText("Steady hands")
    assert desk.model is not None
    model = desk.model
    desk.frame.close()
    event = model.state(0).texts["strength"]
    assert model.sessions[0].text(event, "text") == "Steady hands"


def test_planning_again_shows_the_new_workshop_first(
    open_desk: Callable[..., Desk], planned: Path
) -> None:
    desk = open_desk(planned)
    desk.start.again_key.click()
    assert len(desk.start.lines) == 2
    assert desk.start.lines[0].when != desk.start.lines[1].when


def test_a_double_press_on_planning_again_plans_once(
    open_desk: Callable[..., Desk], planned: Path
) -> None:
    desk = open_desk(planned)
    seconds = iter((0.0, 0.0, AGAIN_S - 0.1, AGAIN_S, AGAIN_S))
    desk._again = Debounce(seconds.__next__)
    for _ in range(2):
        desk.start.again_key.click()
    assert len(desk.start.lines) == 2
    desk.start.again_key.click()
    assert len(desk.start.lines) == 3


def test_the_word_live_leads_from_the_decision_back_to_the_seats(
    open_desk: Callable[..., Desk], planned: Path
) -> None:
    desk = open_desk(planned)
    desk.start.observer_keys[0].click()
    desk.show_debrief(0)
    desk.choose("Live")
    assert desk.frame.page is desk.live


def test_a_defect_is_told_and_work_goes_on(
    open_desk: Callable[..., Desk], planned: Path, own_home: Path
) -> None:
    desk = open_desk(planned)
    try:
        raise ZeroDivisionError("Amara Voss, step 3")  # noqa: TRY301 - stands for any defect
    except ZeroDivisionError as defect:
        desk.meet_defect(type(defect), defect, defect.__traceback__)
        first = desk._defect
        desk.meet_defect(type(defect), defect, defect.__traceback__)
        assert desk._defect is first, "one window for all of them"
    reports = list((own_home / "defects").iterdir())
    assert reports
    assert "Amara" not in reports[0].read_text(encoding="utf-8")
    desk.start.observer_keys[0].click()
    assert desk.frame.page is desk.live


def test_the_start_page_names_both_forms_and_who_is_absent(
    open_desk: Callable[..., Desk], make_room: Callable[..., Room]
) -> None:
    room = make_room(4, other=("intrauterine-device-placement", "copper"))
    note_absent(room.logbook, room.workshop, room.workshop.seats[1].attempt, by="o-1")
    (line,) = open_desk(room.logbook.path).start.lines
    said = "Lumbar puncture and Device placement, forms LPX 1.0 and IUP 1.0"
    assert line.form.startswith(said)
    assert line.about == "formative · 4 learners, 1 absent"
    assert line.seats[1] == (2, f"{room.names['p-1']}, absent")
    assert [one.watches for one in line.observers] == [3, 0]


def test_the_settings_are_left_to_where_they_were_opened(
    open_desk: Callable[..., Desk], planned: Path
) -> None:
    desk = open_desk(planned)
    desk.frame.bar.settings_key.click()
    shown_page(desk, SettingsPage).back_key.click()
    assert desk.frame.page is desk.start
    desk.start.observer_keys[0].click()
    assert desk.live is not None
    desk.live.strike(SETTINGS)
    desk.keeper.choose(text=200)
    shown_page(desk, SettingsPage).back_key.click()
    assert desk.frame.windowTitle() == "Lumbar puncture · Live · Observe"
    assert desk.skin.text == 2.0


def test_settings_that_cannot_be_read_are_told_and_the_desk_opens(
    open_desk: Callable[..., Desk],
) -> None:
    settings_path().parent.mkdir(parents=True, exist_ok=True)
    settings_path().write_text("{", encoding="utf-8")
    desk = open_desk()
    assert desk.frame.trouble.isVisible()
    assert desk.frame.page is desk.start


# papers


def more(desk: Desk, words: str) -> None:
    """Press one of the deeds for the learner in front."""
    assert desk.live is not None
    desk.live.ask_for_more(0)
    keys = desk.live.questions.choices.answers
    next(key for key in keys if key.accessibleName().startswith(words)).click()


def write(desk: Desk, text: str) -> None:
    """Write an answer and keep it."""
    assert desk.live is not None
    texts = desk.live.questions.texts
    texts.field.setPlainText(text)
    texts.keep_key.click()


def test_a_paper_is_typed_in_with_the_time_it_took(
    open_desk: Callable[..., Desk], planned: Path
) -> None:
    desk = open_desk(planned)
    desk.start.observer_keys[0].click()
    assert desk.model is not None
    desk.type_in(desk.model.room.observer, "2026-03-02", "09:40")
    more(desk, "Time taken")
    write(desk, "12:30")
    assert desk.model.state(0).clock.spent_ns == 750 * 1_000_000_000


def test_a_paper_begun_by_mistake_is_marked_live_again_with_its_reason(
    open_desk: Callable[..., Desk], planned: Path
) -> None:
    desk = open_desk(planned)
    desk.start.observer_keys[0].click()
    assert desk.model is not None
    observer = desk.model.room.observer
    desk.type_in(observer, "2026-03-02", "09:40")
    assert desk.live is not None
    desk.live.well.mark_done()
    typed = desk.model.state(0).marks
    more(desk, "No paper")
    write(desk, "The attempt went on with the tablet.")
    assert type(desk.model.room) is Room
    assert desk.model.room.observer == observer
    assert not desk.model.state(0).is_typed
    assert desk.model.state(0).marks == typed
    desk.live.well.mark_done()
    assert desk.model.state(0).marks != typed


def test_without_a_reason_a_paper_stays_one(open_desk: Callable[..., Desk], planned: Path) -> None:
    desk = open_desk(planned)
    desk.start.observer_keys[0].click()
    assert desk.model is not None
    desk.type_in(desk.model.room.observer, "", "")
    more(desk, "No paper")
    write(desk, " ")
    assert desk.model.state(0).is_typed


def test_a_page_that_is_left_or_closed_stops_what_it_did_beside_the_window(
    open_desk: Callable[..., Desk], planned: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = open_desk(planned)
    left: list[str] = []
    monkeypatch.setattr(Carrying, "leave", lambda _: left.append("left"))
    desk.show_records()
    assert shown_page(desk, RecordsPage).isVisible()
    desk.show_review()
    assert left == ["left"]
    desk.show_records()
    desk.close()
    assert left == ["left", "left"]
