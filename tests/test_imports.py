"""Who may import whom: the contracts hold, and a planted breach is seen."""

import ast
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = {"PySide6", "numpy", "pyhanko", "reportlab", "scipy", "sqlalchemy", "cryptography"}


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    command = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    return subprocess.run(
        [sys.executable, "-c", command, "--no-logo", "--no-cache"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture
def copy(checkout: Path, tmp_path: Path) -> Path:
    """A copy of the program and its contracts, to plant a breach in."""
    shutil.copytree(
        checkout / "observe", tmp_path / "observe", ignore=shutil.ignore_patterns("__pycache__")
    )
    shutil.copy(checkout / "pyproject.toml", tmp_path)
    return tmp_path


def test_the_contracts_hold(checkout: Path) -> None:
    told = lint(checkout)
    assert told.returncode == 0, told.stdout
    assert "0 broken" in told.stdout


@pytest.mark.parametrize(
    ("module", "line", "contract"),
    [
        ("domain/faults.py", "import numpy", "standard library only"),
        ("domain/faults.py", "from observe.work import defects", "Imports run one way"),
        ("look/tokens.py", "from PySide6.QtGui import QColor", "Only the desk knows Qt"),
        ("commands/main.py", "import shiboken6", "Only the desk knows Qt"),
        ("commands/main.py", "from observe.desk import app", "Imports run one way"),
        ("work/defects.py", "import sqlalchemy", "Only the store knows SQLAlchemy"),
        ("work/defects.py", "from reportlab.pdfgen import canvas", "how a PDF is drawn"),
        ("work/defects.py", "import pyhanko.sign", "how a PDF is drawn"),
        ("store/__init__.py", "from observe import sheets", "Imports run one way"),
        ("work/defects.py", "import numpy", "numerical libraries"),
    ],
)
def test_a_planted_breach_is_seen(copy: Path, module: str, line: str, contract: str) -> None:
    with (copy / "observe" / module).open("a", encoding="utf-8") as planted:
        planted.write(f"\n{line}\n")
    told = lint(copy)
    assert told.returncode == 1
    broken = [row for row in told.stdout.splitlines() if "BROKEN" in row]
    assert any(contract in row for row in broken), told.stdout


def test_a_new_package_must_be_given_its_place(copy: Path) -> None:
    (copy / "observe" / "annexe").mkdir()
    (copy / "observe" / "annexe" / "__init__.py").touch()
    told = lint(copy)
    assert told.returncode == 1
    assert "annexe" in told.stdout


def loaded_by(module: str) -> set[str]:
    """Top-level names of all modules in a fresh interpreter that imported `module`."""
    ask = f"import sys, {module}; print(*{{name.partition('.')[0] for name in sys.modules}})"
    told = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True)
    return set(told.stdout.split())


def domain_modules() -> list[str]:
    folder = Path(__file__).resolve().parents[1] / "observe" / "domain"
    return sorted(f"observe.domain.{path.stem}" for path in folder.glob("[a-z]*.py"))


def test_the_domain_runs_on_the_standard_library_alone() -> None:
    """The real list of loaded modules, not what a linter was told to look for."""
    bare = loaded_by("sys")  # what the interpreter's own start brings, a .pth file's for example
    loaded = loaded_by(", ".join(domain_modules())) - bare
    assert loaded - set(sys.stdlib_module_names) == {"observe"}


@pytest.mark.parametrize("module", ["observe.__main__", "observe.commands.main"])
def test_nothing_heavy_is_loaded_at_the_start(module: str) -> None:
    assert not loaded_by(module) & HEAVY


def test_help_loads_nothing_heavy() -> None:
    ask = (
        "import sys; from observe.commands.main import run; run(['--help']);"
        "print(*{name.partition('.')[0] for name in sys.modules}, file=sys.stderr)"
    )
    told = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True)
    assert not set(told.stderr.split()) & HEAVY


def test_of_scipy_only_the_special_functions_are_used(checkout: Path) -> None:
    """The rest takes a second to load and is never needed."""
    used: set[str] = set()
    for path in (checkout / "observe").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                used |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                used |= {f"{node.module}.{alias.name}" for alias in node.names}
    scipy = {name for name in used if name.partition(".")[0] == "scipy"}
    assert all(name.startswith("scipy.special") for name in scipy)
