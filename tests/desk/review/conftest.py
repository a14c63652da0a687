"""Reviews of a logbook in which every learner was seen by two, and of one that is empty."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Protocol, TypeVar

import pytest
from pytestqt.qtbot import QtBot

from observe.desk.review.agreement import AgreementFace
from observe.desk.review.face import ReviewFace
from observe.desk.theme import Skin
from observe.work.demo.term import play_term
from observe.work.logbooks import Logbook, open_logbook
from observe.work.reviewing import Review, conditions, gather, review
from tests.work.second_looks import seen_by_two

Opened = Callable[..., AgreementFace]
Face = TypeVar("Face", bound=ReviewFace)


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


class Opens(Protocol):
    """Opens a face of the review on a logbook and waits until it has computed."""

    def __call__(
        self,
        kind: Callable[[Skin, Logbook], Face],
        logbook: Logbook,
        size: tuple[int, int] = (1280, 616),
    ) -> Face: ...


def settled(qtbot: QtBot, face: ReviewFace) -> None:
    """Wait until a face has computed."""
    qtbot.waitUntil(lambda: not face.keys["Stop"].isEnabled(), timeout=30_000)


@pytest.fixture
def opens(skin: Skin, qtbot: QtBot) -> Iterator[Opens]:
    faces: list[ReviewFace] = []

    def open_face(
        kind: Callable[[Skin, Logbook], Face],
        logbook: Logbook,
        size: tuple[int, int] = (1280, 616),
    ) -> Face:
        face = kind(skin, logbook)
        qtbot.addWidget(face)
        face.resize(*size)
        face.show()
        faces.append(face)
        settled(qtbot, face)
        return face

    yield open_face
    for face in faces:
        face.runner.stop()
        face.runner.wait()


@pytest.fixture
def opened(opens: Opens) -> Opened:
    return partial(opens, AgreementFace)
