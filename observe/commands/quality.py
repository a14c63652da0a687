"""`observe quality`: how good a form is at telling learners apart."""

from __future__ import annotations

import argparse
import json
import textwrap
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.reading import add_reading, number, told

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from observe.work.quality import ItemQuality, Quality, Record

DESCRIPTION = """\
What a form's records say of the form: alpha and alpha without each item, how difficult each item is
and how it goes with the rest, how the score follows the overall grade, and how much lies between
observers (AMEE Guide 49). Under 20 learners it is indicative only.
"""

EPILOG = """\
the table: learner, item and value, one row for each learner and item; grade and observer too, where
they are known. Of a logbook, each learner's first attempt is taken, by the first look.

examples:
  observe quality items.csv
  observe quality items.csv --cut 18 --json
  observe quality course.observe --variant side-lying
"""
WIDTH = 88


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = subparsers.add_parser(
        "quality",
        help="how good a form is at telling learners apart",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    verb.add_argument("table", type=Path, metavar="ITEMS.csv|LOGBOOK")
    verb.add_argument(
        "--cut", type=number, metavar="C", help="of the sum, or of a logbook's percent: who failed"
    )
    verb.add_argument("--form", default="", metavar="ID", help="of a logbook with several")
    verb.add_argument("--variant", default="", metavar="ID", help="of a form with several")
    add_reading(verb)
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print what the records say; returns 0. Raises BadInput as `told`."""
    from observe.work.logbooks import is_logbook
    from observe.work.quality import quality, read_records

    labels: Mapping[str, str] = {}
    if is_logbook(arguments.table):
        records, labels, notes = _of_logbook(arguments)
    else:
        file, records = read_records(
            arguments.table, decimal_comma=arguments.decimal_comma, encoding=arguments.encoding
        )
        told([file])
        notes = ()
    found = quality(records, cut=arguments.cut)
    found = replace(found, notes=(*notes, *found.notes))
    if arguments.json:
        print(json.dumps(record(found), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        print("\n".join(lines(found, labels)))
    return 0


def _of_logbook(
    arguments: argparse.Namespace,
) -> tuple[Sequence[Record], Mapping[str, str], tuple[str, ...]]:
    from observe.work.quality_logbook import records_in
    from observe.work.standard_tables import Wanted

    wanted = Wanted(form=arguments.form, variant=arguments.variant)
    found = records_in(arguments.table, wanted)
    return found.records, found.labels, found.notes


def record(found: Quality) -> dict[str, Any]:
    """The answer for programs."""
    alpha, grades = found.alpha, found.grades
    return {
        "learners": found.learners,
        "scored": found.scored,
        "alpha": alpha.value,
        "alpha_low": alpha.low,
        "alpha_high": alpha.high,
        "alpha_undefined": alpha.undefined,
        "r_squared": grades.r_squared if grades else None,
        "discrimination": grades.discrimination if grades else None,
        "grades_undefined": (grades.undefined or None) if grades else "No grade is recorded.",
        "between_observers": found.between,
        "observers": found.observers,
        "failures": found.failures,
        "items": [_item(one) for one in found.items],
        "suggestions": list(found.suggestions),
        "notes": list(found.notes),
    }


def _item(one: ItemQuality) -> dict[str, Any]:
    item = one.item
    return {
        "item": item.name,
        "mean": item.mean,
        "difficulty": item.difficulty,
        "item_rest": item.rest,
        "low": item.low,
        "high": item.high,
        "alpha_without": one.alpha_without,
        "undefined": item.undefined or None,
        "suggestion": one.suggestion or None,
    }


def lines(found: Quality, labels: Mapping[str, str]) -> list[str]:
    """The answer for people. labels: what to call an item, where that is not its name."""
    alpha = found.alpha
    value = alpha.undefined or f"{alpha.value:.3f}"
    limits = "" if alpha.low is None else f" ({alpha.low:.3f} to {alpha.high:.3f})"
    said = [
        f"{found.scored} learners, {found.learners} with every item; {len(found.items)} items",
        f"Alpha {value}{limits}",
    ]
    grades = found.grades
    if grades is not None:
        said.append(
            grades.undefined
            or f"R² of score on grade {grades.r_squared:.3f}; from grade to grade "
            f"{grades.discrimination:.2f} points"
        )
    if found.between is not None:
        said.append(f"Between {found.observers} observers: {100 * found.between:.1f} % of variance")
    if found.failures is not None:
        said.append(f"Below the cut: {found.failures} of {found.scored}")
    said += ["", f"{'item':<52}{'difficulty':>11}{'item-rest':>11}{'alpha without':>15}"]
    for one in found.items:
        numbers = (one.item.difficulty, one.item.rest, one.alpha_without)
        first, second, third = ("-" if each is None else f"{each:.3f}" for each in numbers)
        said.append(
            f"{labels.get(one.item.name, one.item.name)[:51]:<52}{first:>11}{second:>11}{third:>15}"
        )
        said += [f"    {line}" for line in textwrap.wrap(one.suggestion, WIDTH - 4)]
    said.append("")
    for note in (*found.suggestions, *found.notes):
        said += textwrap.wrap(note, WIDTH)
    return said
