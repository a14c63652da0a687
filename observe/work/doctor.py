"""Whether this machine is fit: one finding for each thing that could fail a workshop."""

from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from importlib import metadata
from pathlib import Path

from observe import __version__, places
from observe.domain.troubles import Surroundings
from observe.work import awake, disk, keys, power, surroundings

COMMIT_REMARK_MS = 30.0
COMMIT_LIMIT_MS = 100.0  # the longest a mark may take from the finger to the screen
FREE_REMARK_MB = 1000.0
FREE_LIMIT_MB = 200.0
BATTERY_REMARK_PERCENT = 60.0  # a workshop of two hours on a tablet that lasts four, with a margin
SQLITE_FLOOR = (3, 35, 0)

_SET_UP_AGAIN = "Set the program up again."
_LIBRARIES = (
    "PySide6-Essentials",
    "SQLAlchemy",
    "reportlab",
    "pyHanko",
    "cryptography",
    "psutil",
    "numpy",
)
_QT_TRIAL = (
    "from PySide6.QtCore import qVersion; from PySide6.QtWidgets import QApplication;"
    "app = QApplication([]); print(qVersion())"
)
_QT_TRIAL_SECONDS = 60


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at.

    about: what was looked at. sentence: what was found.
    fit: False where the program could not do its job.
    remedy: what to do; on a fit thing it is a remark. value, unit: the number, where there is one.
    """

    about: str
    fit: bool
    sentence: str
    remedy: str = ""
    value: float | None = None
    unit: str = ""


def examine() -> Iterator[Finding]:
    """Look at each thing in turn; yields as it goes, since some take a second."""
    looks: tuple[Callable[[], Finding], ...] = (
        python,
        libraries,
        system_packages,
        qt,
        screen,
        shipped_files,
        data_folder,
        keys_folder,
        free_disk,
        battery,
        idle_lock,
        durable_commits,
        clock,
        time_zone,
    )
    for look in looks:
        try:
            yield look()
        except OSError as error:
            yield _refused(look, error)


def _refused(look: Callable[[], Finding], error: OSError) -> Finding:
    about = look.__name__.replace("_", " ").capitalize()
    reason, remedy = disk.refusal(error)
    place = f" {error.filename}" if error.filename else ""
    return Finding(about, False, f"Could not be looked at{place}: {reason}.", remedy)


def python() -> Finding:
    """The interpreter, and the program's own version."""
    release = sys.version_info[:3]
    fit = release >= (3, 11)
    remedy = "" if fit else f"Install Python 3.11 or newer. {_SET_UP_AGAIN}"
    number = ".".join(map(str, release))
    return Finding("Python", fit, f"Python {number} runs Observe {__version__}.", remedy)


def libraries() -> Finding:
    """The libraries that the program is built on."""
    versions = {name: _version(name) for name in _LIBRARIES}
    absent = [name for name, version in versions.items() if not version]
    if absent:
        return Finding("Libraries", False, f"Not installed: {', '.join(absent)}.", _SET_UP_AGAIN)
    if sqlite3.sqlite_version_info < SQLITE_FLOOR:
        found = f"SQLite {sqlite3.sqlite_version} is too old for the logbook."
        return Finding("Libraries", False, found, "Use a newer Python; it brings a newer SQLite.")
    listed = ", ".join(f"{name} {version}" for name, version in versions.items())
    return Finding("Libraries", True, f"{listed}, SQLite {sqlite3.sqlite_version}.")


def system_packages() -> Finding:
    """The system's own libraries that Qt needs here."""
    missing = surroundings.missing_packages(surroundings.session_window())
    if missing:
        found = f"Qt misses libraries of {len(missing)} system packages: {', '.join(missing)}."
        return Finding("System packages", False, found, surroundings.install_command(missing))
    return Finding("System packages", True, "Qt finds every system library that it needs.")


def qt() -> Finding:
    """Qt itself, started in a process of its own because a Qt that fails ends its process."""
    if getattr(sys, "frozen", False):
        return Finding("Qt", True, "Qt is part of this build.")
    drawing = {} if surroundings.has_screen() else surroundings.IN_MEMORY
    command = [sys.executable, "-c", _QT_TRIAL]
    try:
        trial = subprocess.run(  # noqa: S603 - our own interpreter and our own line of code
            command,
            env={**os.environ, **drawing},
            capture_output=True,
            check=False,
            text=True,
            timeout=_QT_TRIAL_SECONDS,
        )
    except subprocess.TimeoutExpired:
        return Finding("Qt", False, "Qt did not start within a minute.", _SET_UP_AGAIN)
    if trial.returncode:
        said = (trial.stderr.strip().splitlines() or ["nothing"])[-1].rstrip(".")
        missing = surroundings.missing_packages(surroundings.session_window())
        remedy = surroundings.install_command(missing) if missing else _SET_UP_AGAIN
        return Finding("Qt", False, f"Qt does not start; it says: {said}.", remedy)
    return Finding("Qt", True, f"Qt {trial.stdout.strip()} starts.")


def screen() -> Finding:
    """A screen is not needed by the command line, so its absence is only a remark."""
    if surroundings.has_screen():
        return Finding("Screen", True, "There is a screen for the desk.")
    remark = "The command line works without one; the desk needs a graphical session."
    return Finding("Screen", True, "No screen is attached to this session.", remark)


def shipped_files() -> Finding:
    """The forms and fonts that come with the program."""
    try:
        forms = len(list(places.forms().glob("*.toml")))
        fonts = len(list((places.resources() / "fonts").glob("*.ttf")))
    except Surroundings as missing:
        return Finding("Shipped files", False, missing.what, missing.remedy)
    if not forms or not fonts:
        return Finding("Shipped files", False, "Forms or fonts are missing.", _SET_UP_AGAIN)
    return Finding("Shipped files", True, f"{forms} forms and {fonts} font files are in place.")


def data_folder() -> Finding:
    """The folder of the person's logbook: there, or can be made."""
    folder = places.data()
    if disk.is_file(folder):
        remedy = "Move that file away, or set OBSERVE_HOME to a folder."
        return Finding("Data folder", False, f"{folder} is a file, not a folder.", remedy)
    ground = disk.ground(folder)
    if not disk.writable(ground):
        remedy = f"Give yourself write permission on {ground}, or set OBSERVE_HOME to a folder."
        return Finding("Data folder", False, f"{folder} cannot be written.", remedy)
    state = "can be written" if disk.is_folder(folder) else "will be made on first use"
    return Finding("Data folder", True, f"{folder} {state}.")


def keys_folder() -> Finding:
    """Signing keys may be read by their owner only."""
    folder = keys.keys_folder()
    try:
        kept = (folder, *folder.iterdir())
    except FileNotFoundError:
        return Finding("Signing keys", True, "No key has been made yet.")
    except OSError as error:
        reason, remedy = disk.refusal(error)
        return Finding("Signing keys", False, f"{folder} cannot be read: {reason}.", remedy)
    if os.name != "posix":
        return Finding("Signing keys", True, "They are in place.")
    open_to_others = [path for path in kept if _open_to_others(path)]
    if open_to_others:
        names = ", ".join(path.name for path in open_to_others)
        remedy = f"Run: chmod -R go= {folder}"
        return Finding("Signing keys", False, f"Other users can read: {names}.", remedy)
    return Finding("Signing keys", True, "Only you can read them.")


def free_disk() -> Finding:
    """Room for the logbook and the sheets."""
    found = shutil.disk_usage(disk.ground(places.data())).free
    free = found / 1e6
    fit = free >= FREE_LIMIT_MB
    remedy = "" if free >= FREE_REMARK_MB else "Free some space before the workshop."
    room = f", room for about {disk.marks_left(found)} marks" if remedy else ""
    return Finding(
        "Free disk", fit, f"{free / 1000:.1f} GB are free{room}.", remedy, round(free), "MB"
    )


def battery() -> Finding:
    """Whether the machine can be carried round for a workshop; never a reason not to begin."""
    found = power.battery()
    said = power.battery_words(found)
    if found is None:
        return Finding("Battery", True, said)
    low = not found.plugged and found.percent < BATTERY_REMARK_PERCENT
    remedy = "Charge it before the workshop, or have the cable at hand." if low else ""
    return Finding("Battery", True, said, remedy, round(found.percent), "%")


def idle_lock() -> Finding:
    """Whether the screen can be kept on while a clock runs."""
    means = awake.means()
    if means is None:
        remark = "Switch off screen saver and lock in the system's settings for the workshop."
        return Finding("Idle lock", True, "The screen cannot be kept on from here.", remark)
    return Finding("Idle lock", True, f"The screen is kept on while a clock runs, by {means}.")


def durable_commits() -> Finding:
    """How long the disk takes to keep one mark, with the logbook's own durability."""
    ground = disk.ground(places.data())
    try:
        median, worst = disk.commit_ms(ground)
    except OSError as error:
        reason, remedy = disk.refusal(error)
        return Finding("Keeping a mark", False, f"{ground} could not be tried: {reason}.", remedy)
    except sqlite3.Error:
        found = f"{ground} refuses to keep a logbook."
        return Finding("Keeping a mark", False, found, "Free the disk or choose another folder.")
    found = f"One mark is safe on disk in {median:.2f} ms (median; the slowest {worst:.1f} ms)."
    fit = median <= COMMIT_LIMIT_MS
    remedy = "" if median <= COMMIT_REMARK_MS else "Keep the logbook on a faster, local disk."
    return Finding("Keeping a mark", fit, found, remedy, round(median, 3), "ms")


def clock() -> Finding:
    """The time of day, which every mark carries."""
    now = datetime.now().astimezone()
    made = datetime.fromtimestamp(Path(__file__).stat().st_mtime).astimezone()
    shown = f"{now:%Y-%m-%d %H:%M}"
    if now < made - timedelta(days=1):
        found = f"The clock says {shown}, before this program was installed."
        return Finding("Clock", False, found, "Set the machine's clock.")
    return Finding("Clock", True, f"The clock says {shown}.")


def time_zone() -> Finding:
    """The zone in which times are shown."""
    now = datetime.now().astimezone()
    offset = f"{now:%z}"
    at_zero = not now.utcoffset()
    remark = "If the room is elsewhere, set the machine's time zone." if at_zero else ""
    found = f"Times are shown in {now.tzname()} (UTC {offset[:3]}:{offset[3:5]})."
    return Finding("Time zone", True, found, remark)


def _version(library: str) -> str:
    try:
        return metadata.version(library)
    except metadata.PackageNotFoundError:
        return ""


def _open_to_others(path: Path) -> bool:
    return bool(path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO))
