"""`observe agreement`: how far observers agree, from a table of ratings or from a logbook."""

from __future__ import annotations

import argparse
import csv
import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput
from observe.work.resampled import ANALYTIC, INTERVALS

if TYPE_CHECKING:
    from observe.agreement.estimate import Estimate
    from observe.work.file_agreement import FileAgreement, ItemAgreement

DESCRIPTION = """\
How far observers agree, from a table of ratings, or from the planned second looks of a
logbook. Every coefficient comes with its interval, or with the reason why there is none.
Items are never pooled.
"""

EPILOG = """\
the table, a text file, one line per rating:
  unit,observer,value,item
  attempt 1,A,done,positions the learner
  attempt 1,B,not done,positions the learner
  attempt 2,A,done,positions the learner
  attempt 2,B,,positions the learner            (empty or NA: missing)
The item column may be left out; semicolons or tabs may stand for the commas. The text is
in UTF-8, in UTF-16 with its mark, or with --encoding in Latin-1.

examples:
  observe agreement ratings.csv --categories "not done,done"
  observe agreement grades.csv --scale ordinal --categories 1,2,3,4,5
  observe agreement grades.csv --scale ordinal --categories 1,2,3 --method weighted_kappa \
      --weights "0,1,4;1,0,6;2,2,0"
  observe agreement scores.csv --method icc,bland_altman --decimal-comma
  observe agreement ratings.csv --cluster learner --explain
  observe agreement ratings.csv --json
  observe agreement logbook.observe         the second looks of each workshop, step by step
"""

OF_TABLES = (
    "scale",
    "categories",
    "method",
    "weights",
    "by",
    "seed",
    "cluster",
    "decimal_comma",
    "explain",
)
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
        choices=("nominal", "ordinal", "interval", "ratio"),
        help="what the values are: names, ordered names, numbers, or numbers with a true zero"
        " (default: nominal; interval where only methods for numbers are asked)",
    )
    verb.add_argument(
        "--categories",
        metavar="A,B,C",
        help="all categories of the form, lowest first (default: those found, with a note)",
    )
    verb.add_argument(
        "--method",
        "--coefficients",
        dest="method",
        metavar="NAME,NAME",
        help="which coefficients (default: those recommended for the table; with --json all"
        " that fit it); a wrong name lists them",
    )
    verb.add_argument(
        "--weights",
        metavar="NAME|ROWS",
        help="linear, quadratic, ordinal, radical; or rows of numbers in the order of the"
        " categories, the first observer's in rows: disagreement with 0, or agreement with 1"
        ' on the diagonal ("0,1,3;1,0,6;3,6,0")',
    )
    verb.add_argument(
        "--by", choices=("item",), help="insist on an item column; items are never pooled anyway"
    )
    verb.add_argument(
        "--level", type=_level, default=0.95, help="level of the intervals (default: 0.95)"
    )
    verb.add_argument(
        "--words",
        default="",
        metavar="SCALE",
        help="what an interval is called by a published scale: landis-koch, altman, fleiss,"
        " cicchetti, koo-li, mchugh, krippendorff; scales disagree, so none is the default",
    )
    verb.add_argument(
        "--interval",
        choices=INTERVALS,
        default=ANALYTIC,
        help="how intervals are made (default: analytic)",
    )
    verb.add_argument("--seed", type=_seed, metavar="N", help="of resampled intervals (default: 0)")
    verb.add_argument(
        "--cluster",
        metavar="COLUMN",
        help="the column that says which learner a unit belongs to: units of one learner are"
        " not independent",
    )
    verb.add_argument(
        "--decimal-comma", action="store_true", help="read 57,5 as a number with decimals"
    )
    verb.add_argument(
        "--encoding",
        choices=("utf-8", "latin-1"),
        default="utf-8",
        help="of a file without a byte order mark (default: utf-8)",
    )
    verb.add_argument(
        "--explain",
        action="store_true",
        help="say which coefficient fits and why, as a method note in the order of GRRAS",
    )
    verb.add_argument("--json", action="store_true", help="write JSON for programs")
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print the agreement of the file; returns 0.

    Raises BadInput when the arguments or the file are at fault, after the faults of the
    file's rows, if any, were listed on standard error.
    """
    from observe.work.file_agreement import Wanted, file_agreement
    from observe.work.logbooks import is_logbook

    path: Path = arguments.ratings
    if is_logbook(path):
        return _of_logbook(path, arguments)
    wanted = Wanted(
        scale=arguments.scale,
        categories=_split(arguments.categories, "categories"),
        methods=_split(arguments.method, "method"),
        everything=arguments.json,
        weights=weights_of(arguments.weights),
        level=arguments.level,
        interval=arguments.interval,
        words=arguments.words,
        seed=arguments.seed,
        cluster=arguments.cluster or "",
        by_item=arguments.by == "item",
        decimal_comma=arguments.decimal_comma,
        encoding=arguments.encoding,
    )
    found = file_agreement(path, wanted)
    for notice in found.notices:
        print(f"observe: {shown_path(path)}: {seen(notice)}", file=sys.stderr)
    if found.faults:
        raise _listed(found, path)
    if arguments.json:
        answer = {"results": _rows(found)}
        if arguments.explain:
            answer["explained"] = [explained(one) for one in found.items]
        print(json.dumps(answer, indent=1, allow_nan=False))
    else:
        from observe.commands.agreement_text import agreement_text

        print(agreement_text(found, arguments.level, explain=arguments.explain))
    return 0


def _of_logbook(path: Path, arguments: argparse.Namespace) -> int:
    """Print the agreement on the planned second looks of each workshop in a logbook.

    Raises BadInput for an option that only a table takes, and Doubtful if the logbook
    is not what was written.
    """
    from observe.work import agree
    from observe.work.check_logbook import require_sound
    from observe.work.logbooks import open_logbook

    asked = {name: getattr(arguments, name) for name in OF_TABLES}
    given = [
        f"--{name}" for name, value in asked.items() if value is not None and value is not False
    ]
    given += ["--interval"] if arguments.interval != ANALYTIC else []
    given += ["--words"] if arguments.words else []
    if given:
        raise BadInput(
            "How a logbook is compared follows from its form and its plan.",
            where=str(path),
            remedy=f"Leave out {', '.join(given).replace('_', '-')}.",
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


def explained(one: ItemAgreement) -> dict[str, object]:
    """An item's recommendation and method note, for programs."""
    advice = one.advice
    return {
        "item": one.item,
        "design": advice.design,
        "recommended": None if advice.first is None else asdict(advice.first),
        "beside": [asdict(each) for each in advice.beside],
        "against": [asdict(each) for each in advice.against],
        "cautions": list(advice.cautions),
        "method_note": [asdict(each) for each in one.note()],
    }


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


def weights_of(text: str | None) -> str | list[list[float]] | None:
    """Weights by name, or rows of numbers: cells by commas or blanks, rows by semicolons."""
    if text is None or not any(character.isdigit() for character in text):
        return text
    rows = [row.replace(",", " ").split() for row in text.strip().strip(";").split(";")]
    try:
        return [[float(cell) for cell in row] for row in rows]
    except ValueError:
        raise BadInput(
            f"The weights {seen(text)} are neither a name nor rows of numbers.",
            where="--weights",
            remedy='Write rows like "0,1,3;1,0,6;3,6,0".',
        ) from None


def _seed(text: str) -> int:
    """A whole number from 0."""
    if not text.isascii() or not text.isdigit():
        raise argparse.ArgumentTypeError(f"{text} is not a whole number from 0")
    return int(text)


def _level(text: str) -> float:
    """A level between 0 and 1."""
    try:
        level = float(text)
    except ValueError:
        level = 0.0
    if not 0 < level < 1:
        raise argparse.ArgumentTypeError(f"{text} is not between 0 and 1; write 0.95 for 95 %")
    return level
