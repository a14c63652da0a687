"""Reviews of a logbook in which every learner was seen by two, and of one that is empty."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from pytestqt.qtbot import QtBot

from observe.desk.review.page import ReviewPage
from observe.desk.theme import Skin
from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.logbooks import Logbook, open_logbook
from observe.work.reviewing import Review, conditions, gather, review
from tests.work.second_looks import plan_some, watch_all

Opened = Callable[..., ReviewPage]


@pytest.fixture(scope="session")
def busy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Logbook]:
    path = tmp_path_factory.mktemp("review") / "l.observe"
    machine = RehearsalMachine("2026-03-02T09:00:00.000+00:00")
    with open_logbook(path, create=True, machine=machine) as logbook:
        plan_some(logbook, workshops=2, learners=8)
        watch_all(logbook, 3)
        yield logbook


@pytest.fixture(scope="session")
def made(busy: Logbook) -> Review:
    (condition,) = conditions(busy)
    return review(gather(busy, condition))


@pytest.fixture
def empty(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Logbook]:
    path = tmp_path_factory.mktemp("empty") / "l.observe"
    with open_logbook(path, create=True) as logbook:
        yield logbook


@pytest.fixture
def opened(skin: Skin, qtbot: QtBot) -> Iterator[Opened]:
    """Opens the page on a logbook and waits until it has computed."""
    pages: list[ReviewPage] = []

    def open_page(logbook: Logbook, size: tuple[int, int] = (1280, 698)) -> ReviewPage:
        page = ReviewPage(skin, logbook)
        qtbot.addWidget(page)
        page.resize(*size)
        page.show()
        pages.append(page)
        if page.condition is not None:
            qtbot.waitUntil(lambda: page.made is not None, timeout=20_000)
        return page

    yield open_page
    for page in pages:
        page.runner.stop()
        page.runner.wait()
