"""`observe generalizability`: whose the variance of scores is, and how many observers it takes."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.reading import add_reading, number, share, told
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.agreement.dstudy import DStudy, Needed
    from observe.agreement.gstudy import Component
    from observe.work.file_generalizability import FileStudy

DESCRIPTION = """\
Variance components of a table of scores, one score a row, and what scores would be worth with
other numbers of observers, items or tasks. A complete table is taken by expected mean squares,
any other by REML.
"""

EPILOG = """\
designs: p x i, p x r, p x i x r, i:p (items nested in persons), r:p, p x (r:t) (observers nested in
tasks). The first letter is what is measured. Columns are known by their names: p person, learner
or unit; i item or step; r observer, rater or judge; t task or station; o occasion; the scores are
value or score. --facet r=EXAMINER names another column.

examples:
  observe generalizability scores.csv
  observe generalizability scores.csv --design "p x (r:t)" --n t=6,r=2 --n t=12,r=1
  observe generalizability scores.csv --fixed i --cut 60 --json
"""


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = subparsers.add_parser(
        "generalizability",
        help="whose the variance of scores is; how many observers or items a decision takes",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    verb.add_argument("table", type=Path, metavar="SCORES.csv")
    verb.add_argument("--design", default="", metavar="TEXT", help='such as "p x i x r"')
    verb.add_argument(
        "--facet", action="append", default=[], metavar="LETTER=COLUMN", help="which column it is"
    )
    verb.add_argument(
        "--n", action="append", default=[], metavar="i=4,r=2", help="numbers to ask about"
    )
    verb.add_argument("--fixed", default="", metavar="i,r", help="facets that are not sampled")
    verb.add_argument("--cut", type=number, metavar="C", help="a pass mark, for Φ at the mark")
    verb.add_argument(
        "--target", type=share, default=0.8, metavar="S", help="Φ to be reached (default: 0.8)"
    )
    add_reading(verb)
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print components and D studies; returns 0. Raises BadInput as `told`."""
    from observe.work.file_generalizability import Asked, file_generalizability

    pairs = [_pairs(text) for text in arguments.facet]
    found = file_generalizability(
        arguments.table,
        Asked(
            design=arguments.design,
            columns={key: value for some in pairs for key, value in some.items()},
            n=[_numbers(text) for text in arguments.n],
            fixed=[one.strip() for one in arguments.fixed.split(",") if one.strip()],
            cut=arguments.cut,
            target=arguments.target,
            decimal_comma=arguments.decimal_comma,
            encoding=arguments.encoding,
        ),
    )
    told([found.file])
    if arguments.json:
        print(json.dumps(record(found), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        from observe.commands.generalizability_text import generalizability_text

        print(generalizability_text(found))
    return 0


def _pairs(text: str) -> dict[str, str]:
    found = {}
    for part in text.split(","):
        key, sign, value = part.partition("=")
        if not sign or not key.strip() or not value.strip():
            raise BadInput(
                "This does not say which letter is what.", where=text, remedy="Write i=4,r=2."
            )
        found[key.strip().lower()] = value.strip()
    return found


def _numbers(text: str) -> Mapping[str, float]:
    try:
        return {key: number(value) for key, value in _pairs(text).items()}
    except argparse.ArgumentTypeError as error:
        raise BadInput(f"{error}.", where=text, remedy="Write i=4,r=2.") from error


def record(found: FileStudy) -> dict[str, Any]:
    """The answer for programs."""
    study = found.study
    if study is None or found.here is None:
        return {}
    return {
        "design": study.design.text,
        "facets": dict(found.columns),
        "levels": dict(study.levels),
        "scores": study.scores,
        "missing": found.missing,
        "method": study.method,
        "mean": study.mean,
        "components": [_component(one, study.total) for one in study.components],
        "dstudy": [_d(one) for one in (found.here, *found.others)],
        "needed": [_needed(one) for one in found.needed],
        "notes": list(found.notes),
    }


def _component(one: Component, total: float) -> dict[str, Any]:
    return {
        "effect": one.name,
        "df": one.df,
        "mean_square": one.mean_square,
        "estimate": one.estimate,
        "used": one.used,
        "share": one.used / total if total > 0 else None,
        "se": one.se,
    }


def _d(one: DStudy) -> dict[str, Any]:
    return {
        "n": dict(one.n),
        "universe": one.universe,
        "relative_error": one.relative,
        "absolute_error": one.absolute,
        "g": one.g,
        "phi": one.phi,
        "phi_cut": one.phi_cut,
        "sem_relative": one.sem_relative,
        "sem_absolute": one.sem_absolute,
    }


def _needed(one: Needed) -> dict[str, Any]:
    return {
        "facet": one.facet,
        "target": one.target,
        "n": one.n,
        "n_raw": one.raw,
        "undefined": one.why or None,
    }
