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

# The check starts one screen for each worker: two windows would take the keyboard from each other.
if os.environ.get("OBSERVE_TESTS_SCREENS"):
    screens = os.environ["OBSERVE_TESTS_SCREENS"].split()
    number = int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw"))
    os.environ["DISPLAY"] = screens[number % len(screens)]

settings.register_profile(
    "gate",
    derandomize=True,
    deadline=None,
    database=None,
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("deep", settings.get_profile("gate"), max_examples=300)
settings.register_profile("free", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "gate"))


DESK = Path(__file__).resolve().parent / "desk"


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
    parser.addoption(
        "--after-screen",
        action="store_true",
        help="leave out tests of the desk, which ran on a real screen, unless also_in_memory",
    )
    if not pluginmanager.hasplugin("pytest-qt"):
        parser.addini("qt_api", "a setting of the plugin that is left out")
        parser.addini("qt_log_level_fail", "the same")


def pytest_configure(config: pytest.Config) -> None:
    """The deep check tries more examples of every property."""
    if config.getoption("--deep") and "HYPOTHESIS_PROFILE" not in os.environ:
        settings.load_profile("deep")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    left_out = [item for item in items if is_left_out(item, config)]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in set(left_out)]


def is_left_out(item: pytest.Item, config: pytest.Config) -> bool:
    """Whether a test is too long for this run, or has just been run on a real screen."""
    if item.get_closest_marker("deep") and not config.getoption("--deep"):
        return True
    of_desk = DESK in item.path.parents and config.getoption("--after-screen")
    return bool(of_desk) and item.get_closest_marker("also_in_memory") is None


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
