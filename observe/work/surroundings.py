"""What this machine offers a window: a screen, and the system libraries that Qt is built on.

Standard library only: the set-up scripts use it before anything is installed.
"""

from __future__ import annotations

import ctypes
import os
import sys

from observe.domain.troubles import Surroundings

# Shared library -> Debian package that carries it. Read from the dynamic sections of the Qt 6.11
# wheels and tried in a bare Debian 12. Newer releases carry some under longer names and still
# answer to these.
DRAWING = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libX11.so.6": "libx11-6",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libz.so.1": "zlib1g",
    "libzstd.so.1": "libzstd1",
}
X_WINDOW = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb.so.1": "libxcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
WAYLAND_WINDOW = {
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
}

IN_MEMORY = {"QT_QPA_PLATFORM": "offscreen"}  # lets Qt draw where no screen is attached


def has_screen() -> bool:
    """Whether a window could be shown to a person; a system other than Linux always has one."""
    if not sys.platform.startswith("linux"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def session_window() -> dict[str, str]:
    """The libraries for a window of the kind that this session shows; none without a screen."""
    if os.environ.get("DISPLAY"):
        return X_WINDOW
    return WAYLAND_WINDOW if has_screen() else {}


def missing_packages(window: dict[str, str]) -> tuple[str, ...]:
    """Names of the Debian packages whose libraries Qt would not find here, sorted.

    window: the libraries of a window, asked for beyond those that drawing in memory needs.
    Empty on systems other than Linux, where the wheels bring all they need.
    """
    if not sys.platform.startswith("linux"):
        return ()
    wanted = DRAWING | window
    return tuple(sorted(package for library, package in wanted.items() if not _loads(library)))


def require_window() -> None:
    """Raise `Surroundings` where Qt could not open a window, which would end the process."""
    chosen = "QT_QPA_PLATFORM" in os.environ  # somebody knows better where to draw
    if not chosen and not has_screen():
        raise Surroundings(
            "No screen is attached to this session, so the desk cannot open.",
            remedy="Open it in a graphical session; “observe --help” lists what works without.",
        )
    missing = missing_packages({} if chosen else session_window())
    if missing:
        what = f"Qt misses libraries of {len(missing)} system packages: {', '.join(missing)}."
        raise Surroundings(what, remedy=install_command(missing))


def install_command(packages: tuple[str, ...]) -> str:
    """The sentence that tells an administrator how to get `packages` on Debian."""
    return f"As an administrator run: apt-get install {' '.join(packages)}"


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True
