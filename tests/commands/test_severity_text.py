"""Severity as people read it: the most severe first."""

from __future__ import annotations

from observe.commands.severity_text import severity_text
from observe.work.file_severity import Asked, Score, severity_of
from observe.work.severity_logbook import Habits
from tests.agreement.test_severity import ROWS


def test_the_most_severe_comes_first_with_their_habits() -> None:
    scores = [Score(learner, observer, value) for learner, observer, value in ROWS]
    study = severity_of(scores, Asked(cut=65.0, simulations=200), ordered=True)
    said = severity_text(study, {"B": Habits(4, 1, 0)}).splitlines()
    rows = [line[0] for line in said if line[:2] in ("A ", "B ", "C ") and "%" in line]
    assert rows == ["B", "A", "C"]
    assert any("Of 4 records, 1 had all dimensions rated alike" in line for line in said)
    assert any(line.startswith("Wrong decisions at 65") for line in said)
    assert all(len(line) <= 100 for line in said)
