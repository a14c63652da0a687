"""`observe report`: a director's report on one form over workshops of a logbook."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from observe.commands.reading import share
from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.work.logbooks import Logbook
    from observe.work.report_figures import Report

DESCRIPTION = """\
For whoever answers for a course: what became of the attempts with one form, whether observers
agree, which cut was in force and what it rests on, which lines of the rule were not met, and how
good the form is, in the order of the reporting guideline GRRAS. No learner and no observer is
named; who is severe is told by “observe severity LOGBOOK --reports FOLDER”.
"""

EPILOG = """\
examples:
  observe report course.observe
  observe report course.observe --form lumbar-puncture-adult --since 2026-01-01 --until 2026-06-30
  observe report course.observe --json
  observe report course.observe --out report.pdf --by "Prof. Achterberg"
  observe report course.observe --for-others --out faculty.pdf --by "Prof. Achterberg"
"""


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = subparsers.add_parser(
        "report",
        help="a director's report on one form: decisions, agreement, standard, quality",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    verb.add_argument("logbook_file", type=Path, metavar="LOGBOOK")
    verb.add_argument("--form", default="", metavar="ID", help="where there are several")
    verb.add_argument("--since", default="", metavar="DAY", help="first day, as 2026-01-01")
    verb.add_argument("--until", default="", metavar="DAY", help="last day")
    verb.add_argument("--level", type=share, default=0.95, metavar="L", help="of the intervals")
    verb.add_argument("--json", action="store_true", help="write JSON for programs")
    paper = verb.add_argument_group("a signed file")
    paper.add_argument("--out", type=Path, metavar="FILE.pdf", help="print and sign it into a file")
    paper.add_argument("--by", default="", metavar="NAME", help="who answers for it, and signs")
    paper.add_argument("--paper", choices=("A4", "Letter"), default="A4")
    paper.add_argument("--passphrase-file", type=Path, metavar="FILE", help="of the key")
    paper.add_argument(
        "--for-others", action="store_true",
        help="for readers beyond the director: hide what is under ten, and what would tell it",
    )  # fmt: skip
    verb.set_defaults(handler=handle)


def _issue(logbook: Logbook, made: Report, arguments: argparse.Namespace) -> None:
    from observe.commands.passphrase import open_key
    from observe.work.naming import person_named
    from observe.work.report_press import issue_report

    by = person_named(logbook, arguments.by)
    open_key(logbook, by, arguments.passphrase_file)
    issue_report(logbook, made, arguments.out, by=by, paper=arguments.paper)
    print(f"observe: written: {shown_path(arguments.out)}", file=sys.stderr)


def handle(arguments: argparse.Namespace) -> int:
    """Print the report; returns 0. Raises Doubtful for a logbook that is not what was written."""
    from observe.work.check_logbook import require_sound
    from observe.work.logbooks import open_logbook
    from observe.work.report import report
    from observe.work.report_figures import Question
    from observe.work.report_suppressed import for_others

    asked = Question(arguments.form, arguments.since, arguments.until, arguments.level)
    if bool(arguments.out) != bool(arguments.by):
        raise BadInput(
            "A signed report names its file and who answers for it.",
            where="--out, --by",
            remedy="Give both, or neither to read it here.",
        )
    require_sound(arguments.logbook_file)
    with open_logbook(arguments.logbook_file, read_only=not arguments.out) as logbook:
        made = report(logbook, asked)
        if arguments.for_others:
            made = for_others(made)
        if arguments.out:
            _issue(logbook, made, arguments)
    if arguments.json:
        print(json.dumps(made.as_record(), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        from observe.commands.report_text import lines

        print("\n".join(map(seen, lines(made))))
    return 0
