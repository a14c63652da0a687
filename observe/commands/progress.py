"""`observe progress`: attempts of learners over time."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.reading import add_reading, number, share, told, whole

if TYPE_CHECKING:
    from observe.standards.decay import Decay
    from observe.standards.mastery import Reached
    from observe.work.file_progress import Asked, LearnerProgress, Progress
    from observe.work.plans import PlanLine

DESCRIPTION = """\
Attempts of learners over time: what several attempts come to; CUSUM, whether a learner fails more
often than is acceptable; LC-CUSUM, from when on competence is shown; how many of a cohort reached
their first success; how long it lasts. Where the attempts cannot show it, that is said, and how
many successes in a row would.
"""

EPILOG = """\
the table: learner, outcome (pass or fail, 1 or 0) and date (2026-03-02); perhaps form, mode,
scoring and void. With --decay: months, passed, of. A logbook's own attempts are taken with
observe progress course.observe.

examples:
  observe progress attempts.csv --acceptable 0.2 --unacceptable 0.4
  observe progress course.observe --policy best --form "Lumbar puncture"
  observe progress recall.csv --decay --json
"""


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = subparsers.add_parser(
        "progress",
        help="attempts over time: CUSUM, LC-CUSUM, retests, mastery, how long it lasts",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    verb.add_argument("table", type=Path, metavar="ATTEMPTS.csv|LOGBOOK")
    verb.add_argument("--form", help="take the attempts of this form alone")
    verb.add_argument("--acceptable", type=share, default=0.1, help="failure rate (default: 0.1)")
    verb.add_argument(
        "--unacceptable", type=share, default=0.25, help="failure rate (default: 0.25)"
    )
    verb.add_argument("--alpha", type=share, default=0.1, help="risk of a false alarm (0.1)")
    verb.add_argument("--beta", type=share, default=0.1, help="risk of a false all-clear (0.1)")
    verb.add_argument("--restart", action="store_true", help="begin the CUSUM anew after a line")
    verb.add_argument("--limit", type=number, metavar="H", help="of the LC-CUSUM")
    verb.add_argument(
        "--share", type=share, default=0.05, metavar="S",
        help="of learners at the unacceptable rate who may reach the limit (default: 0.05)",
    )  # fmt: skip
    verb.add_argument("--within", type=whole, default=50, metavar="N", help="attempts (default 50)")
    verb.add_argument("--seed", type=whole, default=1, help="of the simulation (default: 1)")
    verb.add_argument(
        "--policy", choices=("last", "best", "all"), default="last", help="which attempts decide"
    )
    verb.add_argument("--decay", action="store_true", help="a table of months, passed and of")
    add_reading(verb)
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print what attempts come to; returns 0. Raises BadInput as `told`."""
    from observe.work.file_progress import (
        attempts_in,
        decay_line,
        of_form,
        progress,
        read_attempts,
        read_decay,
    )
    from observe.work.logbooks import is_logbook, open_logbook
    from observe.work.plans import plan_lines

    asked = _asked(arguments)
    if arguments.decay:
        file, curve = read_decay(arguments.table, asked)
        told([file])
        if curve is not None:
            _print(arguments, _decay(curve), [decay_line(curve)])
        return 0
    plans: tuple[PlanLine, ...] = ()
    if is_logbook(arguments.table):
        with open_logbook(arguments.table, read_only=True) as logbook:
            series = attempts_in(logbook)
            plans = plan_lines(logbook)
    else:
        file, series = read_attempts(arguments.table, asked)
        told([file])
    if arguments.form is not None:
        series = of_form(series, arguments.form)
    found = progress(series, asked)
    answer = {**record(found), "plans": [one.as_record() for one in plans]}
    _print(arguments, answer, [*lines(found), *(f"Plan: {one.sentence}" for one in plans)])
    return 0


def _asked(arguments: argparse.Namespace) -> Asked:
    from observe.work.file_progress import Asked

    return Asked(
        acceptable=arguments.acceptable,
        unacceptable=arguments.unacceptable,
        alpha=arguments.alpha,
        beta=arguments.beta,
        restart=arguments.restart,
        limit=arguments.limit,
        share=arguments.share,
        within=arguments.within,
        seed=arguments.seed,
        policy=arguments.policy,
        decimal_comma=arguments.decimal_comma,
        encoding=arguments.encoding,
    )


def _print(arguments: argparse.Namespace, answer: dict[str, Any], said: list[str]) -> None:
    if arguments.json:
        print(json.dumps(answer, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        print("\n".join(said))


def record(found: Progress) -> dict[str, Any]:
    """The answer for programs."""
    design, known = found.design, found.learning
    return {
        "design": {
            "acceptable": design.acceptable,
            "unacceptable": design.unacceptable,
            "alpha": design.alpha,
            "beta": design.beta,
            "P": design.p,
            "Q": design.q,
            "s": design.s,
            "a": design.a,
            "b": design.b,
            "h0": design.h0,
            "h1": design.h1,
        },
        "lc_design": {
            "limit": known.limit,
            "share": known.share,
            "within": known.attempts or None,
            "error": known.error,
            "seed": known.seed or None,
        },
        "policy": found.policy.value,
        "learners": [_learner(one) for one in found.learners],
        "mastery": [asdict(one) for one in found.mastery],
        "decay": _decay(found.decay),
        "notes": list(found.notes),
    }


def _learner(one: LearnerProgress) -> dict[str, Any]:
    return {
        "learner": one.series.learner,
        "form": one.series.form or None,
        "attempts": len(one.series.attempts),
        "steps": len(one.steps),
        "passed": one.result.passed,
        "counted": [place + 1 for place in one.result.counted],
        "left_out": {str(place + 1): why for place, why in one.result.reasons.items()},
        "result": one.result.sentence,
        "cusum": {
            "values": list(one.chart.values),
            "verdict": one.chart.verdict.value,
            "upper": one.chart.upper,
            "lower": one.chart.lower,
            "more_successes": one.chart.more,
            "sentence": one.chart.sentence,
        },
        "lc_cusum": {
            "values": list(one.shown.values),
            "at": one.shown.at,
            "more_successes": one.shown.more,
            "sentence": one.shown.sentence,
        },
    }


def _decay(curve: Decay) -> dict[str, Any]:
    return {
        "rate": curve.rate,
        "se": curve.se,
        "low": curve.low,
        "high": curve.high,
        "n": curve.n,
        "passed": curve.passed,
        "half_life": curve.half_life,
        "months_to_90": curve.months(0.9),
        "months_to_80": curve.months(0.8),
        "undefined": curve.undefined or None,
    }


def lines(found: Progress) -> list[str]:
    """The answer for people."""
    from observe.work.file_progress import decay_line

    design, known = found.design, found.learning
    by = "given" if known.share is None else f"{100 * known.share:.1f} % reach it by chance"
    rates = f"{design.acceptable:g} against {design.unacceptable:g}"
    said = [
        f"CUSUM: {rates}, s {design.s:.4f}, lines at {design.h1:+.3f} and {-design.h0:+.3f}",
        f"LC-CUSUM: limit {known.limit:.3f} ({by})",
    ]
    for one in found.learners:
        form = f", {one.series.form}" if one.series.form else ""
        said += [
            "",
            f"{one.series.learner}{form}: {one.result.sentence}",
            f"  CUSUM: {one.chart.sentence}",
            f"  LC-CUSUM: {one.shown.sentence}",
        ]
    said += ["", "attempt  trying  reached first success   by now   95 % interval"]
    said += [
        f"{one.attempt:>7}{one.trying:>8}{one.reached:>23}{100 * one.share:>8.0f} %{_span(one):>16}"
        for one in found.mastery
    ]
    return [*said, "", decay_line(found.decay), *found.notes]


def _span(one: Reached) -> str:
    if one.low is None or one.high is None:
        return "none"
    return f"{100 * one.low:.0f} to {100 * one.high:.0f} %"
