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


BREACHES = [
    ("domain/faults.py", "import numpy", "standard library only"),
    ("domain/faults.py", "from observe.work import defects", "Imports run one way"),
    ("look/tokens.py", "import PySide6.QtGui", "Only the desk knows Qt"),
    ("commands/main.py", "import shiboken6", "Only the desk knows Qt"),
    ("commands/main.py", "import observe.desk", "Imports run one way"),
    ("work/defects.py", "import sqlalchemy", "Only the store knows SQLAlchemy"),
    ("work/defects.py", "import reportlab", "how a PDF is drawn"),
    ("work/defects.py", "import pyhanko.sign", "how a PDF is drawn"),
    ("work/defects.py", "import numpy", "numerical libraries"),
    ("store/__init__.py", "import observe.sheets", "Imports run one way"),
]


def copy(checkout: Path, folder: Path) -> Path:
    """A copy of the program and its contracts, to plant a breach in."""
    leave = shutil.ignore_patterns("__pycache__")
    shutil.copytree(checkout / "observe", folder / "observe", ignore=leave)
    shutil.copy(checkout / "pyproject.toml", folder)
    return folder


def test_the_contracts_hold(checkout: Path) -> None:
    told = lint(checkout)
    assert told.returncode == 0, told.stdout
    assert "0 broken" in told.stdout


@pytest.fixture(scope="module")
def breached(checkout: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """What the linter says of a copy with all the breaches in it."""
    folder = copy(checkout, tmp_path_factory.mktemp("breached"))
    for module, line, _ in BREACHES:
        with (folder / "observe" / module).open("a", encoding="utf-8") as planted:
            planted.write(f"\n{line}\n")
    told = lint(folder)
    assert told.returncode == 1
    return told.stdout


@pytest.mark.parametrize(("module", "line", "contract"), BREACHES)
def test_a_planted_breach_is_seen(breached: str, module: str, line: str, contract: str) -> None:
    """The contract is broken, and the very import is named under it."""
    summary, _, details = breached.partition("Broken contracts")
    assert any(contract in row and "BROKEN" in row for row in summary.splitlines())
    importer = ".".join(Path("observe", module).with_suffix("").parts).removesuffix(".__init__")
    imported = line.split()[1]
    if not imported.startswith("observe"):
        imported = imported.partition(".")[0]
    assert f"{importer} -> {imported}" in details


def test_a_new_package_must_be_given_its_place(checkout: Path, tmp_path: Path) -> None:
    folder = copy(checkout, tmp_path)
    (folder / "observe" / "annexe").mkdir()
    (folder / "observe" / "annexe" / "__init__.py").touch()
    told = lint(folder)
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


def test_all_but_the_desk_can_be_imported_where_qt_is_not_installed(checkout: Path) -> None:
    package = checkout / "observe"
    modules = [
        ".".join(path.relative_to(checkout).with_suffix("").parts)
        for path in sorted(package.rglob("[a-z]*.py"))
        if "desk" not in path.parts
    ]
    ask = (
        "import importlib, sys; sys.modules.update(PySide6=None, shiboken6=None);"
        f"[importlib.import_module(name) for name in {modules}]"
    )
    told = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stderr


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
