"""What can keep the screen on: asked of the system, and nothing is there without it."""

import shutil
import sys
from pathlib import Path

import pytest

from observe.work import awake


@pytest.fixture(autouse=True)
def bare(monkeypatch: pytest.MonkeyPatch) -> None:
    """A Linux machine without a desktop and without commands."""
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS", raising=False)
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    monkeypatch.setattr(shutil, "which", lambda _: None)


def test_on_a_bare_machine_there_is_nothing() -> None:
    assert not awake.has_session_bus()
    assert awake.means() is None


def test_a_bus_is_believed_where_its_socket_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", f"unix:path={tmp_path}/bus,guid=1")
    assert not awake.has_session_bus()
    (tmp_path / "bus").touch()
    assert awake.has_session_bus()
    assert awake.means() == "the desktop, where it hears programs"
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS")
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    assert awake.has_session_bus()
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:abstract=/tmp/x")
    assert awake.has_session_bus()


def test_a_mac_has_its_own_command_bound_to_this_process(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    assert awake.means() is None
    monkeypatch.setattr(shutil, "which", lambda name: f"/usr/bin/{name}")
    command = awake.command()
    assert command is not None
    assert command[:3] == ("caffeinate", "-d", "-w")
    assert command[3].isdigit()
    assert awake.means() == "the system"


def test_the_login_service_is_asked_where_it_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(Path, "is_dir", lambda _: True)
    command = awake.command()
    assert command is not None
    assert command[0] == "systemd-inhibit"
    assert awake.means() == "the login service"
    monkeypatch.setattr(Path, "is_dir", lambda _: False)
    assert awake.command() is None


def test_windows_needs_nothing_else(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "win32")
    assert awake.means() == "the system"
