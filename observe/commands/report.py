"""`observe report`: a director's report on one form over workshops of a logbook."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from observe.commands.reading import share
from observe.domain.foreign import seen

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
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print the report; returns 0. Raises Doubtful for a logbook that is not what was written."""
    from observe.work.check_logbook import require_sound
    from observe.work.logbooks import open_logbook
    from observe.work.report import report
    from observe.work.report_figures import Question

    asked = Question(arguments.form, arguments.since, arguments.until, arguments.level)
    require_sound(arguments.logbook_file)
    with open_logbook(arguments.logbook_file, read_only=True) as logbook:
        made = report(logbook, asked)
    if arguments.json:
        print(json.dumps(made.as_record(), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        from observe.commands.report_text import lines

        print("\n".join(map(seen, lines(made))))
    return 0
