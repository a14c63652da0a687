"""What both set-up scripts share: a virtual environment with the pinned libraries, made once.

Standard library only, Python 3.11 or newer.
"""

from __future__ import annotations

import hashlib
import importlib.util
import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))  # nothing is installed yet

from observe.work import surroundings

__all__ = ["ROOT", "Environment", "Unable", "lacking", "say", "surroundings"]

ROOT = Path(__file__).resolve().parents[1]

PIP_INSTALL = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
BUILDERS = ("hatchling", "editables")  # what an editable installation of the project is built with


class Unable(Exception):  # noqa: N818 - not an error of the script but of what surrounds it
    """The machine lacks something; the text says what, and what to do, in sentences."""


@dataclass(frozen=True)
class Stamp:
    """What an environment was made from; an environment with another stamp is out of date.

    root, python: where it stands and what runs in it; another of these means making it anew.
    pins: digest of pyproject.toml and the constraints. extras: optional groups installed.
    """

    root: str
    python: str
    pins: str
    extras: list[str]

    def same_ground(self, other: Stamp) -> bool:
        """Whether both stand in the same folder on the same Python."""
        return (self.root, self.python) == (other.root, other.python)

    def serves(self, wanted: Stamp) -> bool:
        """Whether an environment of this stamp has all that `wanted` asks for."""
        fresh = self.same_ground(wanted) and self.pins == wanted.pins
        return fresh and set(wanted.extras) <= set(self.extras)


class Environment:
    """The virtual environment `.venv` of one checkout."""

    def __init__(self, root: Path = ROOT) -> None:
        self.root = root
        self.folder = root / ".venv"
        self._stamp = self.folder / "observe-stamp.json"
        self._unfinished = self.folder / "observe-unfinished"

    @property
    def python(self) -> Path:
        """The interpreter inside."""
        if sys.platform == "win32":
            return self.folder / "Scripts" / "python.exe"
        return self.folder / "bin" / "python"

    def set_up(self, extras: Sequence[str] = ()) -> None:
        """Make or repair the environment; returns at once where it is up to date.

        Raises Unable where the machine lacks what is needed.
        """
        if self._serves(extras):
            return
        self._require_writable()
        with self._alone():
            if not self._serves(extras):  # another set-up may have ended just now
                self._repair(extras)

    def _serves(self, extras: Sequence[str]) -> bool:
        made = self._read_stamp()
        return made is not None and made.serves(self._wanted(extras)) and self.python.exists()

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """Hold the checkout for one set-up at a time. Raises Unable while another holds it.

        The system lets go of it when this process ends, however it ends.
        """
        with self._constraints.open("rb") as held:
            if not _hold(held.fileno()):
                raise Unable(
                    f"Another set-up is running in {self.root}.\n"
                    "Wait until it is done and start again."
                )
            yield

    def _repair(self, extras: Sequence[str]) -> None:
        made = self._read_stamp()
        try:
            self._bring_up(made, self._wanted({*extras, *(made.extras if made else ())}))
        except OSError as error:
            raise Unable(
                f"{error.filename or self.folder} cannot be written ({error.strerror}).\n"
                f"Remove {self.folder} and start again."
            ) from error

    def _bring_up(self, made: Stamp | None, wanted: Stamp) -> None:
        if self._must_start_anew(made, wanted):
            self._make()
        self._unfinished.touch()
        self._stamp.unlink(missing_ok=True)
        self._install(wanted.extras)
        self._stamp.write_text(json.dumps(asdict(wanted)), encoding="utf-8")
        self._unfinished.unlink()

    def _wanted(self, extras: Iterable[str]) -> Stamp:
        pins = hashlib.sha256()
        for path in (self.root / "pyproject.toml", self._constraints):
            pins.update(path.read_bytes())
        python = f"{sys.version_info.major}.{sys.version_info.minor} {sys.base_prefix}"
        return Stamp(str(self.root), python, pins.hexdigest(), sorted(extras))

    @property
    def _constraints(self) -> Path:
        return self.root / "packaging" / "constraints.txt"

    def _read_stamp(self) -> Stamp | None:
        try:
            return Stamp(**json.loads(self._stamp.read_text(encoding="utf-8")))
        except (OSError, ValueError, TypeError):
            return None

    def _must_start_anew(self, made: Stamp | None, wanted: Stamp) -> bool:
        if self._unfinished.exists() or not self.python.exists():
            return True
        if made is not None:
            return not made.same_ground(wanted)
        return not self._runs_this_python()

    def _runs_this_python(self) -> bool:
        """Whether an environment that somebody made by hand can be taken over."""
        ask = "import pip, sys; print(*sys.version_info[:2], sep='.')"
        try:
            answer = subprocess.run(
                [self.python, "-c", ask], capture_output=True, text=True, check=False
            )
        except OSError:
            return False
        return answer.stdout.strip() == f"{sys.version_info.major}.{sys.version_info.minor}"

    def _require_writable(self) -> None:
        try:
            with tempfile.TemporaryFile(dir=self.root):
                pass
        except OSError as error:
            raise Unable(
                f"The folder {self.root} cannot be written ({error.strerror}).\n"
                "Copy it to a folder of your own and start again there."
            ) from error

    def _make(self) -> None:
        if not _can_make_environments():
            raise Unable(lacking(venv=True, window=surroundings.session_window()))
        say(f"Making a virtual environment in {self.folder}")
        if self.folder.is_symlink() or self.folder.is_file():
            self.folder.unlink()
        elif self.folder.exists():
            shutil.rmtree(self.folder)
        self.folder.mkdir()
        self._unfinished.touch()
        _run([sys.executable, "-m", "venv", self.folder], "The virtual environment was not made.")

    def _install(self, extras: Sequence[str]) -> None:
        pip: list[str | Path] = [self.python, *PIP_INSTALL, "--constraint", self._constraints]
        groups = f"[{','.join(extras)}]" if extras else ""
        say("Installing the libraries; the first time takes about a minute")
        _run([*pip, *BUILDERS], NOT_INSTALLED)
        _run([*pip, "--no-build-isolation", "--editable", f"{self.root}{groups}"], NOT_INSTALLED)


NOT_INSTALLED = "The libraries were not installed."
AGAIN = "Start again; the environment is then made anew."
CONNECT = (
    "They come from the Python package index: connect this machine to the network once and\n"
    "start again; the program itself works offline."
)
OFFLINE = (
    "connection",
    "from versions: none",  # nothing could be asked for
    "name resolution",
    "network",
    "no route to host",
    "proxy",
    "ssl",
    "timed out",
)
"""Words of pip that speak of the network, in small letters."""


def _hold(handle: int) -> bool:
    """Lock an open file for this process; False where another process has it.

    A system or disk that knows no such locks is taken as it is.
    """
    if sys.platform == "win32":
        return True
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return True
    return True


def say(sentence: str) -> None:
    """Tell the person what is being done, at once and apart from results."""
    print(sentence, file=sys.stderr, flush=True)


def lacking(*, venv: bool, window: dict[str, str]) -> str:
    """What the system lacks, all of it with one command to get it; empty if nothing.

    venv: whether an environment must be made.
    window: the libraries of a window, asked for beyond those that drawing in memory needs.
    """
    packages = surroundings.missing_packages(window)
    if venv and not _can_make_environments():
        packages = ("python3-venv", *packages)
    if not packages:
        return ""
    listed = f"{len(packages)} package{'s' if len(packages) > 1 else ''}"
    return f"The system lacks {listed}.\n{surroundings.install_command(packages)}"


def _can_make_environments() -> bool:
    return all(importlib.util.find_spec(module) for module in ("venv", "ensurepip"))


def _run(command: Sequence[str | Path], failed: str) -> None:
    """Run a step quietly. Raises Unable with `failed` and the step's own last words."""
    try:
        step = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, check=False)
    except OSError as error:
        raise Unable(f"{failed}\n{error.strerror}: {command[0]}") from error
    if step.returncode:
        said = (step.stderr or step.stdout).decode("utf-8", "replace").strip()
        remedy = CONNECT if any(word in said.lower() for word in OFFLINE) else AGAIN
        last = [f"  {line}" for line in said.splitlines()[-4:]]
        raise Unable("\n".join([failed, remedy, "Its last words:", *last]))
