"""`observe severity`: who scores severely, who drifts, and whether adjusting would help."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.reading import add_reading, number, told, whole
from observe.domain.foreign import shown_path

if TYPE_CHECKING:
    from collections.abc import Mapping

    from observe.work.file_severity import Asked, SeverityStudy
    from observe.work.severity_logbook import Habits

DESCRIPTION = """\
How far each observer's scores lie above or below those of others for the same learners, by an
additive mixed model; drift and contrast where the scores are in order. Below 0 is severe. Observers
who share no learner, directly or through others, cannot be compared, and that is said.
"""

EPILOG = """\
the table: learner (or unit), observer (or rater, judge) and value (or score), one score a row;
order, date or time puts an observer's scores in their order. A logbook's own sealed records are
taken with observe severity course.observe.

examples:
  observe severity scores.csv
  observe severity scores.csv --cut 60 --seed 1
  observe severity scores.csv --part 2
  observe severity course.observe --reports observers/      one file for each observer
"""


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = subparsers.add_parser(
        "severity",
        help="who scores severely, who drifts, and whether adjusting would help",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    verb.add_argument("table", type=Path, metavar="SCORES.csv|LOGBOOK")
    verb.add_argument("--part", type=whole, default=0, metavar="N", help="of a table in parts")
    verb.add_argument(
        "--cut", type=number, metavar="C", help="a pass mark: would adjusting decide better there?"
    )
    verb.add_argument("--simulations", type=whole, default=1000, metavar="N")
    verb.add_argument("--seed", type=whole, default=1, metavar="N", help="of the simulation")
    verb.add_argument("--reports", type=Path, metavar="FOLDER", help="one file for each observer")
    add_reading(verb)
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print what observers' scores come to; returns 0. Raises BadInput as `told`."""
    from observe.work.file_severity import Asked, file_severity
    from observe.work.logbooks import is_logbook

    asked = Asked(
        part=arguments.part,
        cut=arguments.cut,
        simulations=arguments.simulations,
        seed=arguments.seed,
        decimal_comma=arguments.decimal_comma,
        encoding=arguments.encoding,
    )
    habits: Mapping[str, Habits] = {}
    if is_logbook(arguments.table):
        study, habits = _of_logbook(arguments.table, asked)
    else:
        file, found = file_severity(arguments.table, asked)
        told([file])
        if found is None:
            return 0
        study = found
    if arguments.json:
        print(json.dumps(record(study, habits), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        from observe.commands.severity_text import severity_text

        print(severity_text(study, habits))
    if arguments.reports:
        _write(study, habits, arguments.reports)
    return 0


def _of_logbook(path: Path, asked: Asked) -> tuple[SeverityStudy, Mapping[str, Habits]]:
    from observe.work.check_logbook import require_sound
    from observe.work.logbooks import open_logbook
    from observe.work.severity_logbook import gather, study

    require_sound(path)
    with open_logbook(path, read_only=True) as logbook:
        gathered = gather(logbook)
    return study(gathered, asked), gathered.habits


def _write(study: SeverityStudy, habits: Mapping[str, Habits], folder: Path) -> None:
    from observe.work.severity_reports import write_reports

    for path in write_reports(study, folder, dict(habits)):
        print(f"observe: written: {shown_path(path)}", file=sys.stderr)


def record(study: SeverityStudy, habits: Mapping[str, Habits]) -> dict[str, Any]:
    """The answer for programs."""
    model, by_cut = study.model, study.adjusting
    learner, observer, error = model.variances
    return {
        "scores": model.scores,
        "mean": model.mean,
        "variances": {"learner": learner, "observer": observer, "error": error},
        "parts": [list(some) for some in study.parts],
        "part": study.part or None,
        "observers": [
            {
                **asdict(one.effect),
                "drift": _slope(one.drift),
                "contrast": _slope(one.contrast),
                "habits": asdict(habits[one.effect.observer])
                if one.effect.observer in habits
                else None,
            }
            for one in study.observers
        ],
        "adjusting": None
        if by_cut is None
        else {**asdict(by_cut), "helps": by_cut.helps, "sentence": by_cut.sentence},
        "notes": list(study.notes),
    }


def _slope(slope: Any) -> dict[str, Any]:  # noqa: ANN401 - a Slope, which the command line does not import
    found = asdict(slope)
    return {**found, "undefined": found["undefined"] or None}
