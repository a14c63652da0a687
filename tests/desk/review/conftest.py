"""Reviews of a logbook in which every learner was seen by two, and of one that is empty."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from observe.desk.review.agreement import AgreementFace
from observe.desk.theme import Skin
from observe.work.demo.term import play_term
from observe.work.logbooks import Logbook, open_logbook
from observe.work.reviewing import Review, conditions, gather, review
from tests.work.second_looks import seen_by_two

Opened = Callable[..., AgreementFace]


@pytest.fixture(scope="session")
def busy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Logbook]:
    path = tmp_path_factory.mktemp("review") / "l.observe"
    with seen_by_two(path, workshops=2, learners=8, seed=3) as logbook:
        yield logbook


@pytest.fixture(scope="session")
def made(busy: Logbook) -> Review:
    (condition,) = conditions(busy)
    return review(gather(busy, condition))


@pytest.fixture(scope="session")
def term_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented term of the demonstration: learners who come back, three observers."""
    path = tmp_path_factory.mktemp("term") / "term.observe"
    play_term(path, tick=lambda _done, _total: None)
    return path


@pytest.fixture
def term(term_path: Path, tmp_path: Path) -> Iterator[Logbook]:
    copy = tmp_path / "term.observe"
    copy.write_bytes(term_path.read_bytes())
    with open_logbook(copy) as logbook:
        yield logbook


@pytest.fixture
def empty(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Logbook]:
    path = tmp_path_factory.mktemp("empty") / "l.observe"
    with open_logbook(path, create=True) as logbook:
        yield logbook


@pytest.fixture
def opened(skin: Skin, qtbot: QtBot) -> Iterator[Opened]:
    """Opens the page on a logbook and waits until it has computed."""
    pages: list[AgreementFace] = []

    def open_page(logbook: Logbook, size: tuple[int, int] = (1280, 698)) -> AgreementFace:
        page = AgreementFace(skin, logbook)
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
