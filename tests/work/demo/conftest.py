"""The demonstration, made once for all tests here."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.work.demo.run import Demonstration, demonstrate
from observe.work.logbooks import Logbook, open_logbook


def quiet(done: int, total: int) -> None:
    del done, total


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Demonstration:
    os.environ.setdefault("TZ", "UTC")
    folder: Path = tmp_path_factory.mktemp("demonstration") / "demo"
    return demonstrate(folder, tick=quiet)


@pytest.fixture
def logbook(made: Demonstration) -> Iterator[Logbook]:
    with open_logbook(made.logbook) as opened:
        yield opened
