"""`observe risk`: how sure passes and fails at a cut are."""

from __future__ import annotations

import argparse
import json
import textwrap
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.reading import add_reading, number, share, told, whole
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.standards.classification import Classification
    from observe.work.file_risk import FileRisk
    from observe.work.logbook_risk import LogbookRisk

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
  observe risk course.observe      what would flip each decision; the whole rule by simulation
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
    verb.add_argument("table", type=Path, metavar="SCORES.csv|LOGBOOK")
    verb.add_argument("--cut", type=number, metavar="C", help="of a table: pass is C or more")
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
    verb.add_argument(
        "--error", type=share, metavar="E",
        help="of a logbook: chance to err on a step (default: what second looks tell)",
    )  # fmt: skip
    verb.add_argument(
        "--critical-error", type=share, default=0.02, metavar="E",
        help="of a logbook: chance to err on a critical item, by assumption (default: 0.02)",
    )  # fmt: skip
    verb.add_argument("--records", type=whole, default=100, metavar="N", help="simulated, each")
    verb.add_argument("--seed", type=whole, default=1, metavar="N", help="of the simulation")
    add_reading(verb)
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print the risk; returns 0. Raises BadInput as `told`."""
    from observe.work.file_risk import Asked, file_risk
    from observe.work.logbooks import is_logbook

    if is_logbook(arguments.table):
        return _of_logbook(arguments)
    if arguments.cut is None:
        raise BadInput("A table needs a cut.", where="--cut", remedy="Write --cut 60.")
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


def _of_logbook(arguments: argparse.Namespace) -> int:
    from observe.work.logbook_risk import logbook_risk
    from observe.work.logbooks import open_logbook

    with open_logbook(arguments.table, read_only=True) as logbook:
        found = logbook_risk(
            logbook,
            records=arguments.records,
            seed=arguments.seed,
            step_error=arguments.error,
            critical_error=arguments.critical_error,
        )
    if arguments.json:
        print(json.dumps(_answer(found), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        print("\n".join(_lines(found)))
    return 0


def _answer(found: LogbookRisk) -> dict[str, Any]:
    return {
        "whole_rule": None if found.rule is None else asdict(found.rule),
        "pairs": found.pairs,
        "step_error": found.step_error,
        "critical_error": found.critical_error,
        "attempts": [
            {
                "workshop": one.workshop.id,
                "attempt": one.seat.attempt,
                "outcome": one.outcome.value,
                "flips_to": one.flip.to.value,
                "steps": list(one.flip.steps),
                "criticals": list(one.flip.criticals),
                "sentence": one.sentence,
                "why_not": one.flip.why or None,
            }
            for one in found.flips
        ],
        "notes": list(found.notes),
    }


def _lines(found: LogbookRisk) -> list[str]:
    said = []
    for one in found.flips:
        place = f"{one.workshop.title}, seat {one.seat.number}, {one.learner}"
        text = f"{place}: {one.outcome.value}. {one.sentence}"
        said += textwrap.wrap(text, WIDTH, subsequent_indent="  ")
    if not found.flips:
        said.append("No attempt that one observer decided is sealed yet.")
    rule = found.rule
    if rule is not None:
        passing = f"{100 * rule.false_pass:.2f} % (± {100 * rule.false_pass_error:.2f})"
        failing = f"{100 * rule.false_fail:.2f} % (± {100 * rule.false_fail_error:.2f})"
        said += [
            "",
            f"The whole rule, {rule.attempts} attempts recorded {rule.records} times each:",
            f"passed, though it comes to remediation: {passing}",
            f"remediated, though it comes to a pass:  {failing}",
            f"decided alike: {100 * rule.same:.1f} %; undecided: {100 * rule.undecided:.1f} %",
        ]
    said.append("")
    for note in found.notes:
        said += textwrap.wrap(note, WIDTH)
    return said


def record(found: FileRisk) -> dict[str, Any]:
    """The answer for programs."""
    answer: dict[str, Any] = {"undefined": found.undefined or None, "notes": list(found.notes)}
    if found.found is not None:
        answer |= _classification(found.found)
        answer["learners"] = [
            {
                "learner": name,
                "score": score,
                "p_at_cut": sure,
                "sem_conditional": found.conditional.get(score) if found.conditional else None,
            }
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
        own = found.conditional or {}
        head = "   own error (Lord)" if own else ""
        said += ["", f"nearest the cut          score   truly at or above it{head}"]
        said += [
            f"{name[:22]:<22}{score:>8.2f}{100 * sure:>18.0f} %"
            + (f"{own[score]:>24.2f}" if own else "")
            for name, (score, sure) in near
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
