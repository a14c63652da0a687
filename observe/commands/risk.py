"""`observe risk`: how sure passes and fails at a cut are."""

from __future__ import annotations

import argparse
import json
import textwrap
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.reading import add_reading, number, share, told, whole

if TYPE_CHECKING:
    from observe.standards.classification import Classification
    from observe.work.file_risk import FileRisk

DESCRIPTION = """\
How many decisions at a cut are right, and how many would be the same a second time (Livingston and
Lewis 1995); with --items also Subkoviak's coefficient (1976) and KR-21. The reliability is Φ of
these scores, from a design that includes observers: see observe generalizability.
"""

EPILOG = """\
the table: learner and score (or value), one learner a row.

examples:
  observe risk scores.csv --cut 60 --reliability 0.82
  observe risk counts.csv --cut 8 --items 10 --reliability 0.7 --json
"""
WIDTH = 88


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = subparsers.add_parser(
        "risk",
        help="how sure passes and fails at a cut are",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    verb.add_argument("table", type=Path, metavar="SCORES.csv")
    verb.add_argument("--cut", type=number, required=True, metavar="C", help="pass is C or more")
    verb.add_argument("--reliability", type=share, metavar="R", help="Φ of the scores")
    verb.add_argument("--min", type=number, default=0.0, metavar="N", help="of the scale (0)")
    verb.add_argument("--max", type=number, default=100.0, metavar="N", help="of the scale (100)")
    verb.add_argument(
        "--items", type=whole, default=0, metavar="N", help="scores count N right and wrong items"
    )
    verb.add_argument(
        "--parameters", type=int, choices=(2, 4), default=0,
        help="of true scores (default: 4, or 2 where 4 cannot be fitted)",
    )  # fmt: skip
    add_reading(verb)
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print the risk; returns 0. Raises BadInput as `told`."""
    from observe.work.file_risk import Asked, file_risk

    found = file_risk(
        arguments.table,
        Asked(
            cut=arguments.cut,
            reliability=arguments.reliability,
            least=arguments.min,
            most=arguments.max,
            items=arguments.items,
            parameters=arguments.parameters,
            decimal_comma=arguments.decimal_comma,
            encoding=arguments.encoding,
        ),
    )
    told([found.file])
    if arguments.json:
        print(json.dumps(record(found), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        print("\n".join(lines(found)))
    return 0


def record(found: FileRisk) -> dict[str, Any]:
    """The answer for programs."""
    answer: dict[str, Any] = {"undefined": found.undefined or None, "notes": list(found.notes)}
    if found.found is not None:
        answer |= _classification(found.found)
        answer["learners"] = [
            {"learner": name, "score": score, "p_at_cut": sure}
            for name, (score, sure) in (found.learners or {}).items()
        ]
    answer["kr21"] = found.kr21
    answer["subkoviak"] = None if found.once is None else asdict(found.once)
    return answer


def _classification(found: Classification) -> dict[str, Any]:
    return {
        "method": "Livingston-Lewis",
        "parameters": found.parameters,
        "cut": found.cut,
        "scores": found.scores,
        "mean": found.mean,
        "variance": found.variance,
        "effective_length": found.effective,
        "effective_length_rounded": found.length,
        "pass_at": found.pass_at,
        "beta_alpha": found.true.a,
        "beta_beta": found.true.b,
        "beta_low": found.true.low,
        "beta_high": found.true.high,
        "accuracy": found.accuracy,
        "false_pass": found.false_pass,
        "false_fail": found.false_fail,
        "consistency": found.consistency,
        "chance": found.chance,
        "kappa": found.kappa,
        "sem_absolute": found.sem,
    }


def lines(found: FileRisk) -> list[str]:
    """The answer for people."""
    said: list[str] = []
    if found.undefined:
        said += textwrap.wrap(found.undefined, WIDTH)
    if found.found is not None:
        said += _said(found.found)
        near = sorted((found.learners or {}).items(), key=lambda one: abs(one[1][0] - _cut(found)))[
            :10
        ]
        said += ["", "nearest the cut          score   truly at or above it"]
        said += [
            f"{name[:22]:<22}{score:>8.2f}{100 * sure:>18.0f} %" for name, (score, sure) in near
        ]
    if found.once is not None:
        kappa = "none" if found.once.kappa is None else f"{found.once.kappa:.3f}"
        said += [
            "",
            f"Subkoviak: the same decision twice {found.once.agreement:.4f}, kappa {kappa}",
        ]
    if found.kr21 is not None:
        said.append(f"KR-21: {found.kr21:.4f}, as if all items were equally difficult")
    said.append("")
    for note in found.notes:
        said += textwrap.wrap(note, WIDTH)
    return said


def _cut(found: FileRisk) -> float:
    return found.found.cut if found.found else 0.0


def _said(found: Classification) -> list[str]:
    kappa = "none" if found.kappa is None else f"{found.kappa:.3f}"
    head = f"Cut {found.cut:g}, {found.scores} scores, mean {found.mean:.2f}"
    length = f"effective length {found.length} ({found.effective:.2f}), passing at {found.pass_at}"
    return [
        f"{head}, SEM (absolute) {found.sem:.2f}",
        f"Right decisions:         {100 * found.accuracy:6.2f} %",
        f"Passing, truly below:    {100 * found.false_pass:6.2f} %",
        f"Failing, truly above:    {100 * found.false_fail:6.2f} %",
        f"The same a second time:  {100 * found.consistency:6.2f} %, kappa {kappa}",
        f"True scores by a beta of {found.parameters} parameters; {length}.",
    ]
