"""DEVELOPERS.md and README.md are true: what they name is there."""

import re
import subprocess
from pathlib import Path

import pytest

from observe.commands.main import VERBS
from observe.domain import troubles
from observe.work import surroundings

# Made by the set-up scripts and the program, so absent from a fresh clone.
MADE_LATER = {".venv/bin/python", ".venv/bin/ruff", ".venv/bin/mypy", "demo/", "defects/"}
PATTERNS = ("observe/a/b.py", "tests/a/test_b.py", "packaging/news/NNN.kind.md")


def code_spans(text: str) -> list[str]:
    """Everything set as code, in a line or in a block."""
    blocks = re.findall(r"```\w*\n(.*?)```", text, re.DOTALL)
    inline = re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", text, flags=re.DOTALL))
    return [*blocks, *inline]


def paths_in(text: str) -> set[str]:
    words = {word for span in code_spans(text) for word in re.split(r"[\s,;]+", span)}
    links = set(re.findall(r"\]\(([^)#:]+)\)", text))
    found = {
        word for word in words if re.fullmatch(r"[.\w-]+/[\w./-]*|[\w-]+\.(py|md|toml|txt)", word)
    }
    return (found | links) - MADE_LATER - set(PATTERNS)


def exists(checkout: Path, name: str) -> bool:
    homes = (checkout, checkout / "packaging", checkout / "observe" / "commands")
    return any((home / name).exists() for home in homes)


@pytest.mark.parametrize("page", ["DEVELOPERS.md", "README.md"])
def test_every_path_it_names_exists(page: str, checkout: Path) -> None:
    named = paths_in((checkout / page).read_text(encoding="utf-8"))
    assert len(named) > 3
    assert not {name for name in named if not exists(checkout, name)}


def test_every_room_is_on_the_map(checkout: Path) -> None:
    text = (checkout / "DEVELOPERS.md").read_text(encoding="utf-8")
    rooms = [path.parent.name for path in (checkout / "observe").glob("*/__init__.py")]
    assert not [room for room in rooms if f"`observe/{room}/`" not in text]


def test_every_decision_says_because_and_instead(checkout: Path) -> None:
    text = (checkout / "DEVELOPERS.md").read_text(encoding="utf-8")
    decisions = re.split(r"^### ", text.partition("## Decisions")[2], flags=re.MULTILINE)[1:]
    for decision in decisions:
        title, *paragraphs = decision.strip().split("\n\n")
        assert re.match(r"\d{4}-\d\d-\d\d · ", title)
        assert [p.split()[0] for p in paragraphs] == ["Decided:", "Because", "Instead"], title


def test_every_verb_is_in_the_readme(checkout: Path) -> None:
    text = (checkout / "README.md").read_text(encoding="utf-8")
    assert not [verb for verb in VERBS if f"observe {verb}" not in text]


def test_every_kind_of_trouble_is_explained_in_the_readme(checkout: Path) -> None:
    text = (checkout / "README.md").read_text(encoding="utf-8")
    kinds = [
        kind.code.replace("-", " ").capitalize()
        for kind in vars(troubles).values()
        if isinstance(kind, type) and issubclass(kind, troubles.Trouble)
    ]
    assert "Bad input" in kinds
    assert not [k for k in kinds if k != "Trouble" and f"**{k}.**" not in text]


def test_the_readme_names_every_system_package(checkout: Path) -> None:
    text = (checkout / "README.md").read_text(encoding="utf-8")
    wanted = {*surroundings.DRAWING.values(), *surroundings.X_WINDOW.values(), "python3-venv"}
    present_everywhere = {"zlib1g", "libzstd1"}
    assert not {name for name in wanted - present_everywhere if name not in text.split()}


def test_news_are_numbered_and_of_a_known_kind(checkout: Path) -> None:
    names = sorted(path.name for path in (checkout / "packaging" / "news").iterdir())
    assert all(re.fullmatch(r"\d{3}\.(new|changed|mended)\.md", name) for name in names)
    numbers = [int(name[:3]) for name in names]
    assert len(numbers) == len(set(numbers))


def test_no_tracked_file_names_a_place_of_some_machine(checkout: Path) -> None:
    told = subprocess.run(
        ["git", "ls-files", "-z"], cwd=checkout, capture_output=True, text=True, check=False
    )
    tracked = [checkout / name for name in told.stdout.split("\0") if name.endswith((".py", ".md"))]
    homes = re.compile(r"/(home|root|Users)/\w")
    assert not [p.name for p in tracked if p.exists() and homes.search(p.read_text("utf-8"))]
