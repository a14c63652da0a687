"""`observe paper`: blank scoring sheets on paper, for when no screen can be used."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.work.paper import Printed

DESCRIPTION = """\
Blank scoring sheets to print before a workshop. Of a logbook: a file for each observer, with
a sheet for each of their learners in seat order and a spare one of each form for a learner who
comes late. Of a form: a file for each variant, without names. Sheets hold no mark and no score;
each begins on a leaf of its own, also when both sides are printed.
"""

EPILOG = """\
examples:
  observe paper course.observe print/                          the only workshop in a logbook
  observe paper course.observe --workshop "Skills afternoon" print/
  observe paper my-form.toml print/ --letter
"""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = verbs.add_parser(
        "paper",
        help="blank scoring sheets to print before a workshop",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    verb.add_argument("source", type=Path, metavar="LOGBOOK|FORM.toml", help="what to print from")
    verb.add_argument("folder", type=Path, metavar="DIR", help="where the files go")
    verb.add_argument(
        "--workshop",
        default="",
        metavar="TITLE-OR-ID",
        help="which workshop of the logbook (default: the only one)",
    )
    verb.add_argument("--letter", action="store_true", help="on US Letter instead of A4")
    verb.add_argument("--json", action="store_true", help="print what was made for a program")
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Write the files and name them; returns 0.

    Raises BadInput for what is neither a logbook nor a sound form, and where it is not
    clear which workshop is meant.
    """
    printed = _printed(arguments)
    if arguments.json:
        files = [{"file": str(one.path), "sheets": one.sheets} for one in printed]
        print(json.dumps({"files": files}, ensure_ascii=False, indent=2))
        return 0
    for one in printed:
        noun = "sheet" if one.sheets == 1 else "sheets"
        print(f"{shown_path(str(one.path))}: {one.sheets} {noun}")
    return 0


def _printed(arguments: argparse.Namespace) -> tuple[Printed, ...]:
    from observe.work.check_forms import load_form
    from observe.work.logbooks import is_logbook, open_logbook
    from observe.work.paper import find_workshop, print_form, print_workshop

    source: Path = arguments.source
    folder: Path = arguments.folder
    size = "Letter" if arguments.letter else "A4"
    if not is_logbook(source):
        if arguments.workshop:
            raise BadInput(
                "A form has no workshops.",
                where="--workshop",
                remedy="Leave it out, or name a logbook.",
            )
        return print_form(load_form(source), folder, paper=size)
    with open_logbook(source, read_only=True) as logbook:
        workshop = find_workshop(logbook, arguments.workshop)
        said = f"{workshop.title}, {workshop.date}"
        print(f"observe: {seen(said)}", file=sys.stderr)
        return print_workshop(logbook, workshop, folder, paper=size)
