"""One file for each observer, in which no other is named (rule P1)."""

from __future__ import annotations

from pathlib import Path

from observe.work.file_severity import Asked, Score, severity_of
from observe.work.severity_logbook import Habits
from observe.work.severity_reports import write_reports
from tests.agreement.test_severity import drawn

NAMES = {"o0": "Dr Anna Berg", "o1": "Dr Ben Ito", "o2": "Dr Cleo Ray", "o3": "Dr Dan Ode"}


def test_each_file_names_its_own_observer_only_and_none_is_written_over(tmp_path: Path) -> None:
    scores = [
        Score(learner, NAMES[observer], value, (float(place), ""))
        for place, (learner, observer, value) in enumerate(drawn(2, spread=4.0))
    ]
    study = severity_of(scores, Asked(), ordered=True)
    habits = {"Dr Ben Ito": Habits(12, 3, 1)}
    files = write_reports(study, tmp_path / "out", habits)
    assert len(files) == len({*files}) == 4
    for path, one in zip(files, study.observers, strict=True):
        text = path.read_text(encoding="utf-8")
        for name in NAMES.values():
            assert (name in text) is (name == one.effect.observer)
        assert "for nobody else" in text
        assert "Drift: " in text
    again = write_reports(study, tmp_path / "out")
    assert not {*again} & {*files}
    ben = next(path for path in files if "ben" in path.name).read_text(encoding="utf-8")
    assert "Of 12 records, 3 had all dimensions rated alike" in ben
