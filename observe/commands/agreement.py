"""`observe agreement`: how far observers agree, from a table of ratings or from a logbook."""

from __future__ import annotations

import argparse
import csv
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.agreement.estimate import Estimate
    from observe.work.file_agreement import FileAgreement

DESCRIPTION = """\
How far observers agree, from a table of ratings, or from the planned second looks of a
logbook. Every coefficient comes with its interval, or with the reason why there is none.
Items are never pooled.
"""

EPILOG = """\
the table, a text file in UTF-8, one line per rating:
  unit,observer,value,item
  attempt 1,A,done,positions the learner
  attempt 1,B,not done,positions the learner
  attempt 2,A,done,positions the learner
  attempt 2,B,,positions the learner            (empty: missing)
The item column may be left out; semicolons or tabs may stand for the commas.

examples:
  observe agreement ratings.csv --categories "not done,done"
  observe agreement grades.csv --scale ordinal --categories 1,2,3,4,5
  observe agreement ratings.csv --json
  observe agreement logbook.observe         the second looks of each workshop, step by step
"""

ROW_KEYS = (
    "coefficient",
    "form",
    "value",
    "low",
    "high",
    "level",
    "interval",
    "units",
    "used",
    "observers",
    "undefined",
    "note",
)


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = subparsers.add_parser(
        "agreement",
        help="how far observers agree, from a table of ratings or a logbook",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    verb.add_argument(
        "ratings", type=Path, metavar="RATINGS.csv", help="the table of ratings, or a logbook"
    )
    verb.add_argument(
        "--scale",
        choices=("nominal", "ordinal", "interval"),
        default="nominal",
        help="what the values are: names, ordered names or numbers (default: nominal)",
    )
    verb.add_argument(
        "--categories",
        metavar="A,B,C",
        help="all categories of the form, lowest first (default: those found, with a note)",
    )
    verb.add_argument(
        "--coefficients",
        metavar="NAME,NAME",
        help="which to compute (default: the usual ones; with --json all that fit the table)",
    )
    verb.add_argument(
        "--level", type=_level, default=0.95, help="level of the intervals (default: 0.95)"
    )
    verb.add_argument("--json", action="store_true", help="write JSON for programs")
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print the agreement of the file; returns 0.

    Raises BadInput when the arguments or the file are at fault, after the faults of the
    file's rows, if any, were listed on standard error.
    """
    from observe.work.file_agreement import file_agreement
    from observe.work.logbooks import is_logbook

    path: Path = arguments.ratings
    if is_logbook(path):
        return _of_logbook(path, arguments)
    found = file_agreement(
        path,
        scale=arguments.scale,
        categories=_split(arguments.categories, "categories"),
        coefficients=_split(arguments.coefficients, "coefficients"),
        everything=arguments.json,
        level=arguments.level,
    )
    for notice in found.notices:
        print(f"observe: {shown_path(path)}: {seen(notice)}", file=sys.stderr)
    if found.faults:
        raise _listed(found, path)
    if arguments.json:
        print(json.dumps({"results": _rows(found)}, indent=1, allow_nan=False))
    else:
        from observe.commands.agreement_text import agreement_text

        print(agreement_text(found, arguments.level))
    return 0


def _of_logbook(path: Path, arguments: argparse.Namespace) -> int:
    """Print the agreement on the planned second looks of each workshop in a logbook.

    Raises BadInput for an option that only a table takes, and Doubtful if the logbook
    is not what was written.
    """
    from observe.work import agree
    from observe.work.check_logbook import require_sound
    from observe.work.logbooks import open_logbook

    if arguments.scale != "nominal" or arguments.categories or arguments.coefficients:
        raise BadInput(
            "Scale, categories and coefficients of a logbook are those of its form.",
            where=str(path),
            remedy="Leave out --scale, --categories and --coefficients.",
        )
    require_sound(path)
    with open_logbook(path, read_only=True) as logbook:
        workshops = logbook.workshops().values()
        found = [
            each
            for one in workshops
            for each in agree.agreements(logbook, one, level=arguments.level)
        ]
    if arguments.json:
        answer = {
            "results": [
                _row(f"{each.title}: {name}", one)
                for each in found
                for name, one in each.estimates()
            ],
            "workshops": [agree.as_record(each) for each in found],
        }
        print(json.dumps(answer, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        print("\n".join(agree.as_text(each) for each in found) or "No workshop is planned in it.")
    return 0


def _rows(found: FileAgreement) -> list[dict[str, object]]:
    return [_row(one.item, estimate) for one in found.items for estimate in one.estimates]


def _row(item: str | None, estimate: Estimate) -> dict[str, object]:
    return {"item": item} | {key: getattr(estimate, key) for key in ROW_KEYS}


def _listed(found: FileAgreement, path: Path) -> BadInput:
    """List the faults on standard error; the trouble that sums them up."""
    for fault in found.faults:
        place = f"{shown_path(path)}:{fault.line}"
        print(f"{place}: {seen(fault.sentence)} {seen(fault.remedy)}", file=sys.stderr)
    count = len(found.faults)
    noun = "fault" if count == 1 else "faults"
    stopped = f"; reading stopped on line {found.faults[-1].line}" if found.cut else ""
    return BadInput(
        f"Nothing was computed: the file has {count:,} {noun}{stopped}.",
        where=str(path),
        remedy="Put the lines named above right and run the command again.",
    )


def _split(text: str | None, where: str) -> list[str] | None:
    """Names separated by commas; quotes around a name that holds a comma."""
    if text is None:
        return None
    try:
        rows = list(csv.reader([text], strict=True, skipinitialspace=True))
    except csv.Error:
        rows = []
    if len(rows) != 1:
        raise BadInput(
            "The names cannot be told apart.",
            where=f"--{where}",
            remedy="Separate them by commas; put quotes around a name that holds a comma.",
        )
    return [name.strip() for name in rows[0]]


def _level(text: str) -> float:
    """A level between 0 and 1."""
    try:
        level = float(text)
    except ValueError:
        level = 0.0
    if not 0 < level < 1:
        raise argparse.ArgumentTypeError(f"{text} is not between 0 and 1; write 0.95 for 95 %")
    return level
