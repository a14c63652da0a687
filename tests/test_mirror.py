"""The tests mirror the tree: each module has its test file, each test file its module."""

from collections.abc import Iterable
from pathlib import Path

# Test files that speak of the project as a whole, not of one module.
OF_THE_WHOLE = {
    "test_decisions.py",
    "test_blind.py",
    "test_developers.py",
    "test_forms.py",
    "test_imports.py",
    "test_mirror.py",
    "test_walk.py",
    "test_wheel.py",
}
# Folders whose tests drive the program from outside.
FROM_OUTSIDE = {Path("tests/walks"), Path("tests/desk/workshop")}


def modules(root: Path) -> Iterable[Path]:
    for home in ("observe", "packaging"):
        for path in sorted((root / home).rglob("*.py")):
            if path.name not in {"__init__.py", "__main__.py"} and "_bundled" not in path.parts:
                yield path.relative_to(root)


def mirror(module: Path) -> Path:
    inside = module.relative_to("observe") if module.parts[0] == "observe" else module
    return Path("tests") / inside.with_name(f"test_{inside.name}")


def test_every_module_has_its_test_file(checkout: Path) -> None:
    untested = [str(m) for m in modules(checkout) if not (checkout / mirror(m)).exists()]
    assert not untested


def test_every_test_file_has_its_module(checkout: Path) -> None:
    wanted = {mirror(module) for module in modules(checkout)}
    found = {path.relative_to(checkout) for path in (checkout / "tests").rglob("test_*.py")}
    strays = {
        path
        for path in found - wanted
        if path.name not in OF_THE_WHOLE and FROM_OUTSIDE.isdisjoint(path.parents)
    }
    assert not strays


def test_tests_are_no_packages(checkout: Path) -> None:
    """An __init__.py would make two test files of one name collide with the modules they test."""
    assert not list((checkout / "tests").rglob("__init__.py"))


def test_packaging_is_no_package(checkout: Path) -> None:
    """An __init__.py there would hide the library of the same name from every tool."""
    assert not (checkout / "packaging" / "__init__.py").exists()
