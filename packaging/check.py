"""Set up everything and run every check and test: python3 packaging/check.py [--deep].

--deep adds the long tests. Exit code 0: all passed. Needs Python 3.11 or newer; older ones can
read this file far enough to say so.
"""

import os
import shutil
import subprocess
import sys
import time

if sys.version_info < (3, 11):  # noqa: UP036 - told to those who have an older one
    sys.stderr.write(
        "Observe needs Python 3.11 or newer; this one is {}.{}.\n".format(*sys.version_info)
    )
    sys.stderr.write("If there is a newer one, use it: python3.11 packaging/check.py\n")
    sys.exit(2)

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager

from setting_up import Environment, Unable, lacking, say, surroundings

# Outside tool -> Debian package that carries it.
OUTSIDE = {
    "Xvfb": "xvfb",
    "pdfinfo": "poppler-utils",
    "pdfsig": "poppler-utils",
    "pdftoppm": "poppler-utils",
    "pdftotext": "poppler-utils",
    "openssl": "openssl",
    "qpdf": "qpdf",
    "readelf": "binutils",
}

# The linter of imports has a command but no module that runs as one.
LINT_IMPORTS = "from importlinter.cli import lint_imports_command; lint_imports_command()"

# Tests run side by side; whoever is done takes over what the other has not begun.
WORKERS = 2
SIDE_BY_SIDE = ("-n", str(WORKERS), "--dist", "worksteal")


def main(arguments: "list[str]") -> int:
    """Set up, run all checks, and say at the end which of them failed."""
    if set(arguments) - {"--deep"}:
        say(__doc__ or "")
        return 2
    environment = Environment()
    window = surroundings.X_WINDOW if shutil.which("Xvfb") else {}
    missing = lacking(venv=not environment.python.exists(), window=window)
    if missing:
        say(missing)
        return 2
    started = time.monotonic()
    try:
        environment.set_up(["tests"])
        failed = run_all(environment, deep="--deep" in arguments)
    except Unable as unable:
        say(str(unable))
        return 2
    except KeyboardInterrupt:
        return 130
    say(f"\n{time.monotonic() - started:.0f} seconds.")
    return conclude(failed, absent_tools())


def run_all(environment: Environment, *, deep: bool) -> "list[str]":
    """Run each check; returns the names of those that failed. The whole suite comes last.

    What the desk's tests have said on a real screen is not asked again without one, but for
    the tests that are marked `also_in_memory`.
    """
    pytest = ["-m", "pytest", "-q", *(["--deep"] if deep else [])]
    checks: list[tuple[str, Sequence[str]]] = [
        ("format", ["-m", "ruff", "format", "--check", "--quiet", "."]),
        ("lint", ["-m", "ruff", "check", "--quiet", "."]),
        ("types", ["-m", "mypy"]),
        ("imports", ["-c", LINT_IMPORTS, "--no-logo"]),
    ]
    failed = [name for name, check in checks if not run(environment, name, check, in_memory())]
    screen = shutil.which("Xvfb") is not None
    if screen:
        with real_screens(WORKERS) as screens:
            on_screen = [*pytest, *SIDE_BY_SIDE, "tests/desk"]
            if not run(environment, "desk on a real screen", on_screen, screens):
                failed.append("desk on a real screen")
    if deep:
        without_qt = [*pytest, *SIDE_BY_SIDE, "-p", "no:pytest-qt", "--ignore", "tests/desk"]
        variables = {**in_memory(), "OBSERVE_TESTS_WITHOUT_QT": "1"}
        if not run(environment, "tests without Qt", without_qt, variables):
            failed.append("tests without Qt")
    rest = ["--after-screen"] if screen else []
    if not run(environment, "tests", [*pytest, *SIDE_BY_SIDE, *rest], in_memory()):
        failed.append("tests")
    return failed


def run(
    environment: Environment, name: str, check: Sequence[str], variables: "dict[str, str]"
) -> bool:
    """Run one check in the foreground; True if it passed."""
    say(f"\n== {name}: python {' '.join(check)}")
    command = [str(environment.python), *check]
    ended = subprocess.run(
        command, cwd=environment.root, env=variables, stdin=subprocess.DEVNULL, check=False
    )
    return ended.returncode == 0


def in_memory() -> "dict[str, str]":
    """Surroundings without a screen: Qt draws in memory."""
    kept = {k: v for k, v in os.environ.items() if k not in {"DISPLAY", "WAYLAND_DISPLAY"}}
    return {**kept, **surroundings.IN_MEMORY}


@contextmanager
def real_screens(count: int) -> "Iterator[dict[str, str]]":
    """Surroundings with X servers of our own, one for each worker, which end with the block.

    Windows on one screen would take the keyboard from each other.
    """
    with ExitStack() as servers:
        displays = [servers.enter_context(real_screen()) for _ in range(count)]
        yield {
            **in_memory(),
            "DISPLAY": displays[0],
            "OBSERVE_TESTS_SCREENS": " ".join(displays),
            "QT_QPA_PLATFORM": "xcb",
        }


@contextmanager
def real_screen() -> "Iterator[str]":
    """The display of an X server of our own, which ends with the block."""
    reader, writer = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writer), "-screen", "0", "1280x800x24", "-nolisten", "tcp"],  # noqa: S607 - found on the person's own path
        pass_fds=[writer],
        stderr=subprocess.DEVNULL,
    )
    os.close(writer)
    try:
        with os.fdopen(reader) as number:
            display = f":{number.readline().strip()}"
        yield display
    finally:
        server.terminate()
        server.wait()


def absent_tools() -> "list[str]":
    """Outside tools that this machine lacks."""
    return [tool for tool in OUTSIDE if shutil.which(tool) is None]


def conclude(failed: "list[str]", absent: "list[str]") -> int:
    """Say what failed and what could not be asked; returns the exit code."""
    if absent:
        packages = " ".join(sorted({OUTSIDE[tool] for tool in absent}))
        say(f"{len(absent)} outside tools are absent, so what needs them was left out: ")
        say(f"  {', '.join(absent)} (as an administrator: apt-get install {packages})")
        if os.environ.get("CI") == "true":
            failed = [*failed, "outside tools"]
    say(f"FAILED: {', '.join(failed)}" if failed else "All checks passed.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
