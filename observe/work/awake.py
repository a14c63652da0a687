"""What can keep the screen of this machine on while an attempt runs. Knows no window."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from urllib.parse import unquote

INHIBIT = ("systemd-inhibit", "--what=idle", "--mode=block", "--who=Observe")
"""Asks the system's own login service, where no desktop answers; ends with its child."""
CAFFEINATE = ("caffeinate", "-d", "-w")
"""macOS: no display sleep while the process with the id that follows lives."""


def has_session_bus() -> bool:
    """Whether a desktop's message bus can be asked here (freedesktop.org, idle inhibition)."""
    address = os.environ.get("DBUS_SESSION_BUS_ADDRESS", "")
    if not address:
        runtime = os.environ.get("XDG_RUNTIME_DIR", "")
        return bool(runtime) and (Path(runtime) / "bus").exists()
    for way in address.split(";"):
        kind, _, rest = way.partition(":")
        keys = dict(one.partition("=")[::2] for one in rest.split(","))
        if kind != "unix" or "path" not in keys or Path(unquote(keys["path"])).exists():
            return True
    return False


def command() -> tuple[str, ...] | None:
    """The command that keeps the screen on while it runs; None where the system has none."""
    if sys.platform == "darwin":
        return (*CAFFEINATE, str(os.getpid())) if shutil.which(CAFFEINATE[0]) else None
    if not Path("/run/systemd/system").is_dir() or shutil.which(INHIBIT[0]) is None:
        return None
    return (*INHIBIT, "--why=An attempt is running", "sleep", "infinity")


def means() -> str | None:
    """What keeps the screen on here, in words; None where nothing does."""
    if sys.platform == "win32":
        return "the system"
    if sys.platform == "darwin":
        return "the system" if command() else None
    if has_session_bus():
        return "the desktop, where it hears programs"
    return "the login service" if command() else None
