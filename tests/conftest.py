"""What holds for every test: no noise, no network, no screen needed, the same run each time."""

import logging
import os
import shutil
import socket
import sys
from collections.abc import Iterator
from importlib.abc import MetaPathFinder
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# Qt reads this when it is first loaded; a real screen is used only where one was asked for.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

settings.register_profile(
    "gate",
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("free", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "gate"))


class Absent(MetaPathFinder):
    """Makes the desk's library seem not to be installed."""

    @staticmethod
    def find_spec(name: str, *_: object) -> None:
        if name.partition(".")[0] in {"PySide6", "shiboken6"}:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)


# Set by the deep check: all but the desk has to work where Qt is not installed.
if os.environ.get("OBSERVE_TESTS_WITHOUT_QT"):
    sys.meta_path.insert(0, Absent())


def pytest_addoption(parser: pytest.Parser, pluginmanager: pytest.PytestPluginManager) -> None:
    parser.addoption("--deep", action="store_true", help="also run the tests marked deep")
    if not pluginmanager.hasplugin("pytest-qt"):
        parser.addini("qt_api", "a setting of the plugin that is left out")
        parser.addini("qt_log_level_fail", "the same")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--deep"):
        return
    deep = [item for item in items if item.get_closest_marker("deep")]
    if deep:
        config.hook.pytest_deselected(items=deep)
        items[:] = [item for item in items if not item.get_closest_marker("deep")]


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip a test whose outside programs are absent; in the gate, fail it."""
    marker = item.get_closest_marker("outside")
    if marker is None:
        return
    absent = [tool for tool in marker.args if shutil.which(tool) is None]
    if not absent:
        return
    sentence = f"outside programs absent: {', '.join(absent)}"
    if os.environ.get("CI") == "true":
        pytest.fail(sentence, pytrace=False)
    pytest.skip(sentence)


@pytest.fixture(autouse=True)
def own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep each test away from the person's own logbook and keys."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("OBSERVE_HOME", str(home))
    return home


@pytest.fixture(autouse=True)
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """The program is offline: a test that reaches for the network fails."""
    connect = socket.socket.connect

    def refuse(self: socket.socket, address: tuple[str, int]) -> None:
        if self.family in {socket.AF_INET, socket.AF_INET6}:
            pytest.fail(f"a test reached for the network: {address!r}")
        connect(self, address)

    monkeypatch.setattr(socket.socket, "connect", refuse)


@pytest.fixture(autouse=True)
def no_loud_log(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """A log record of WARNING or above fails the test; one that expects it clears `caplog`."""
    yield
    loud = [r.getMessage() for r in caplog.get_records("call") if r.levelno >= logging.WARNING]
    if loud:
        pytest.fail("unexpected log records: " + "; ".join(loud))


@pytest.fixture(scope="session")
def checkout() -> Path:
    """The folder that holds the project."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def python() -> str:
    """The interpreter that runs the tests, for those that start the program itself."""
    return sys.executable
