"""A screen, and the system libraries that a window is built on."""

import ctypes
import subprocess
import sys
from pathlib import Path

import pytest

from observe.domain.troubles import Surroundings
from observe.work import surroundings

linux_only = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="elsewhere the wheels bring all they need"
)


@pytest.fixture
def loadable(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """The libraries that can be loaded; filled by each test."""
    present: set[str] = set()

    def load(library: str) -> None:
        if library not in present:
            raise OSError(library)

    monkeypatch.setattr(ctypes, "CDLL", load)
    monkeypatch.setattr(sys, "platform", "linux")
    return present


@pytest.mark.parametrize("variable", ["DISPLAY", "WAYLAND_DISPLAY"])
def test_a_session_with_a_display_has_a_screen(
    variable: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    assert not surroundings.has_screen()
    monkeypatch.setenv(variable, ":0")
    assert surroundings.has_screen()


def test_other_systems_always_have_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    assert surroundings.has_screen()
    assert surroundings.missing_packages(surroundings.X_WINDOW) == ()


def test_on_a_bare_machine_every_package_is_named(loadable: set[str]) -> None:
    assert not loadable
    missing = surroundings.missing_packages(surroundings.X_WINDOW)
    assert {"libegl1", "libxkbcommon0", "libxcb-cursor0", "libxcb-util1"} <= set(missing)
    assert list(missing) == sorted(missing)
    assert "libxcb-cursor0" not in surroundings.missing_packages({})


@pytest.mark.parametrize(
    ("display", "wayland", "window"),
    [
        ("", "", {}),
        (":0", "", surroundings.X_WINDOW),
        ("", "wayland-0", surroundings.WAYLAND_WINDOW),
        (":0", "wayland-0", surroundings.X_WINDOW),
    ],
)
def test_each_session_has_its_own_kind_of_window(
    display: str, wayland: str, window: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("DISPLAY", display)
    monkeypatch.setenv("WAYLAND_DISPLAY", wayland)
    assert surroundings.session_window() == window


def test_what_is_there_is_not_named(loadable: set[str]) -> None:
    loadable |= set(surroundings.DRAWING) - {"libEGL.so.1"}
    missing = surroundings.missing_packages({})
    assert missing == ("libegl1",)
    assert surroundings.install_command(missing).endswith("apt-get install libegl1")


def test_a_window_needs_a_screen(loadable: set[str], monkeypatch: pytest.MonkeyPatch) -> None:
    loadable |= set(surroundings.DRAWING) | set(surroundings.X_WINDOW)
    for variable in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(variable, raising=False)
    with pytest.raises(Surroundings, match="No screen is attached"):
        surroundings.require_window()
    monkeypatch.setenv("DISPLAY", ":0")
    surroundings.require_window()


def test_a_window_needs_its_libraries(loadable: set[str], monkeypatch: pytest.MonkeyPatch) -> None:
    loadable |= set(surroundings.DRAWING)
    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    monkeypatch.setenv("DISPLAY", ":0")
    with pytest.raises(Surroundings, match="libxcb-cursor0") as told:
        surroundings.require_window()
    assert "apt-get install" in told.value.remedy


def test_drawing_in_memory_may_be_chosen(
    loadable: set[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    loadable |= set(surroundings.DRAWING)
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    surroundings.require_window()


@linux_only
@pytest.mark.outside("readelf")
def test_the_tables_name_what_the_installed_qt_is_linked_against() -> None:
    """A newer Qt that needs another library must not surprise a workshop."""
    qt = Path(pytest.importorskip("PySide6").__file__).parent / "Qt"
    needed: set[str] = set()
    for name in ("Core", "Gui", "Widgets", "DBus", "XcbQpa", "PrintSupport"):
        needed |= linked(qt / "lib" / f"libQt6{name}.so.6")
    known = set(surroundings.DRAWING) | set(surroundings.X_WINDOW)
    from_the_c_library = {"c", "m", "stdc++", "gcc_s", "pthread", "dl", "rt"}
    strange = {
        library
        for library in needed - known
        if library.removeprefix("lib").partition(".so")[0] not in from_the_c_library
        and not library.startswith(("libQt6", "libicu", "ld-linux", "libgthread"))
    }
    assert not strange


def linked(library: Path) -> set[str]:
    told = subprocess.run(
        ["readelf", "-d", library], capture_output=True, text=True, check=True
    ).stdout
    return {row.split("[")[1].rstrip("]") for row in told.splitlines() if "(NEEDED)" in row}
