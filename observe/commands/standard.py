"""`observe standard`: a cut score from judges or from learners, and what it would do."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from observe.commands.reading import add_reading, number, told
from observe.commands.standard_approve import (
    DEEDS,
    add_approving,
    handle_deed,
    refuse_approving,
)
from observe.domain.troubles import BadInput
from observe.work.file_standard import METHODS, file_standard
from observe.work.standard_record import standard_record
from observe.work.standard_tables import Wanted

DESCRIPTION = """\
A cut score by a named method, with its standard error, what it rests on and what it is not.
Pass is a score at or above the unrounded cut.
"""

EPILOG = """\
methods and the columns of their tables, text files with commas, semicolons or tabs:
  angoff       judge,item,value      perhaps round, points. Values are shares from 0 to 1; with
                                     --percent 0 to 100, with --max N points of each item
  group        learner,score,grade   the borderline group: --borderline says which grade it is
  regression   learner,score,grade   borderline regression: score on grade, read at --borderline
  contrasting  learner,score,group   qualified or not qualified, 1 or 0, or --qualified WORD
  hofstee      judge,min_cut,max_cut,min_fail,max_fail   with --scores; rates in percent
  essential    judge,item,value,essential   steps that most judges call essential must all be
                                     done; the cut is on the rest
  compare      learner,score,grade   all methods that the table allows, side by side
group, regression and compare take a logbook too, with --variant where its form has any:
scores and overall grades of each learner's first attempt, as the first observer saw it

a department's standard, in a logbook:
  approve      LOGBOOK: keep the result of a method (--json) as the cut of a form, in percent,
               rounded; attempts opened from its day on are bound to it, begun ones never
  approved     LOGBOOK: the standards that were approved in it
  withdraw     LOGBOOK: from a day on a standard holds no longer; summative mode then waits for
               another, and attempts that are bound to it keep it

examples:
  observe standard regression station.csv --borderline 2 --percent --cut 60
  observe standard group station.csv --grades "fail,borderline,pass,good" --statistic mean
  observe standard contrasting groups.csv --statistic fewest-errors --loss 3,1
  observe standard angoff judges.csv --json
  observe standard hofstee limits.csv --scores scores.csv
  observe standard compare station.csv --borderline 2 --judges limits.csv
  observe standard regression course.observe --variant sitting
  observe standard angoff judges.csv --json > result.json
  observe standard approve course.observe --form form.toml --result result.json \
      --round up --by "Dr. Maren Oduya" --effective 2026-09-01
  observe standard withdraw course.observe --standard 4f1c --by "Dr. Maren Oduya" \
      --effective 2026-10-01 --reason "The form was changed."
"""


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = subparsers.add_parser(
        "standard",
        help="a cut score: Angoff, borderline group or regression, contrasting groups, Hofstee",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    choices = (*METHODS, *DEEDS)
    verb.add_argument("method", choices=choices, metavar="METHOD", help=", ".join(choices))
    verb.add_argument(
        "table", type=Path, metavar="FILE", help="the table of the method, or the logbook"
    )
    verb.add_argument("--borderline", default="", metavar="GRADE", help="the borderline grade")
    verb.add_argument(
        "--grades", metavar="A,B,C", help="words for grades, lowest first, standing for 1, 2, 3 ..."
    )
    verb.add_argument(
        "--statistic",
        default="",
        metavar="NAME",
        help="group: median (default) or mean; contrasting: logistic (default), normal,"
        " midpoint, median-midpoint, fewest-errors; hofstee: mean (default) or median of judges",
    )
    verb.add_argument("--qualified", default="", metavar="WORD", help="the qualified group's word")
    verb.add_argument(
        "--loss", type=_loss, default=(1.0, 1.0), metavar="P,F",
        help="what a false pass and a false fail cost, for fewest-errors (default: 1,1)",
    )  # fmt: skip
    verb.add_argument("--scores", type=Path, metavar="FILE.csv", help="a cohort: learner,score")
    verb.add_argument(
        "--judges", type=Path, metavar="FILE.csv", help="judges' limits, for compare: as of hofstee"
    )
    verb.add_argument("--cut", type=number, metavar="C", help="the present cut, to compare with")
    verb.add_argument("--percent", action="store_true", help="scores are in percent")
    verb.add_argument("--max", type=number, metavar="N", help="the greatest score there is")
    verb.add_argument(
        "--majority", type=number, default=0.5, metavar="S",
        help="share of votes that makes a step essential, to be exceeded (default: 0.5)",
    )  # fmt: skip
    verb.add_argument("--level", type=_level, default=0.95, help="of the intervals (default: 0.95)")
    verb.add_argument("--seed", type=_seed, default=0, metavar="N", help="of resampling")
    add_approving(verb)
    add_reading(verb)
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print the cut score; returns 0.

    Raises BadInput when the arguments or files are at fault, after the faults of the
    files' rows, if any, were listed on standard error.
    """
    if arguments.method in DEEDS:
        return handle_deed(arguments)
    refuse_approving(arguments)
    found = file_standard(arguments.method, arguments.table, _wanted(arguments))
    told(found.files)
    if arguments.json:
        print(json.dumps(standard_record(found), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        from observe.commands.standard_text import standard_text

        print(standard_text(found))
    return 0


def _wanted(arguments: argparse.Namespace) -> Wanted:
    words = [word.strip() for word in (arguments.grades or "").split(",") if word.strip()]
    if len({word.casefold() for word in words}) != len(words):
        raise BadInput(
            "A grade is declared twice.", where="--grades", remedy="Name each grade once."
        )
    return Wanted(
        statistic=arguments.statistic.replace("-", " ").replace("_", " ").strip().lower(),
        borderline=arguments.borderline.strip(),
        grades=tuple(words),
        qualified=arguments.qualified,
        loss=arguments.loss,
        present=arguments.cut,
        percent=arguments.percent,
        maximum=arguments.max,
        scores=arguments.scores,
        judges=arguments.judges,
        majority=arguments.majority,
        form=arguments.form or "",
        variant=arguments.variant or "",
        level=arguments.level,
        seed=arguments.seed,
        decimal_comma=arguments.decimal_comma,
        encoding=arguments.encoding,
    )


def _loss(text: str) -> tuple[float, float]:
    """Two numbers above 0."""
    parts = text.split(",")
    try:
        first, second = (float(part) for part in parts)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text} is not two numbers; write 3,1") from None
    if not (0 < first < 1e30 and 0 < second < 1e30):
        raise argparse.ArgumentTypeError(f"{text} is not two numbers above 0")
    return first, second


def _seed(text: str) -> int:
    """A whole number from 0."""
    if not text.isascii() or not text.isdigit() or len(text) > 18:
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
