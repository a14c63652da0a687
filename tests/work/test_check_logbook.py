import sqlite3
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.marks import DONE
from observe.domain.troubles import Surroundings
from observe.work.check_logbook import check_logbook

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def changed(path: Path, statement: str) -> None:
    """Change a closed logbook as someone with a database tool would."""
    with sqlite3.connect(path) as tool:
        triggers = tool.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for (name,) in triggers:
            tool.execute(f"DROP TRIGGER {name}")
        tool.execute(statement)
    tool.close()


@pytest.fixture
def kept(bench: "Bench") -> Path:
    session = bench.session(1, "o1")
    session.do(gestures.mark, "LPX-01", DONE)
    session.do(gestures.write, "note", "Calm.")
    bench.logbook.close()
    return bench.path


def test_a_sound_logbook_says_so_with_its_newest_event(kept: Path) -> None:
    found = check_logbook(kept)
    assert found.is_sound
    assert "Every event follows from the one before it" in found.sentences()[0]
    assert found.heads[0][1] in " ".join(found.sentences())


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        (
            "UPDATE event SET body = replace(body, 'done', 'not-done') WHERE kind = 'mark-set'",
            "hash",
        ),
        ("DELETE FROM event WHERE kind = 'mark-set'", "missing"),
        ("UPDATE beside SET text = 'Nervous.' WHERE field = 'text'", "not what was written"),
        ("UPDATE form SET source = replace(source, 'weight = 3', 'weight = 2')", "Form"),
    ],
)
def test_a_change_is_named(kept: Path, statement: str, said: str) -> None:
    changed(kept, statement)
    found = check_logbook(kept)
    assert not found.is_sound
    assert any(said in fault for fault in found.faults)
    assert found.sentences()[0].startswith("This logbook is not what was written")


def test_what_is_no_logbook_is_refused_in_words(tmp_path: Path) -> None:
    other = tmp_path / "notes.txt"
    other.write_text("Dear diary", encoding="utf-8")
    with pytest.raises(Surroundings):
        check_logbook(other)
