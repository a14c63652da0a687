"""Approving a standard into a logbook, and which one an attempt binds to (rules F6, F7)."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from observe.domain import formtext
from observe.domain.events import Draft, Event
from observe.domain.form import Form
from observe.domain.standard import (
    DECIMAL,
    KIND,
    MOST_PLACES,
    WITHDRAWN,
    Approved,
    Rounding,
    Standard,
    approved,
    bound_record,
    in_force,
    rounded_text,
)
from observe.domain.troubles import BadInput, Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.naming import person_named
from observe.work.text_file import read_text

MOST_DIGITS = 30
MOST_BYTES = 4 * 1024 * 1024
AGAIN = "Write it anew with “observe standard METHOD ... --json”."


def read_form(path: Path) -> Form:
    """The form in a file. Raises BadInput if it has faults."""
    source = read_text(path, MOST_BYTES, "A form is a short text; check the file's name.")
    form, found = formtext.read(source)
    if form is None:
        raise BadInput(
            f"The form has faults, {sum(one.blocking for one in found)} in all.",
            where=str(path),
            remedy="Check it with “observe form”, and mend it.",
        )
    return form


def read_result(path: Path) -> dict[str, Any]:
    """What a method said as JSON, numbers exact. Raises BadInput for anything else."""
    text = read_text(path, MOST_BYTES, AGAIN)
    try:
        found = json.loads(text, parse_float=Decimal)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict) or not isinstance(found.get("method"), str):
        raise BadInput("This is no result of one method.", where=str(path), remedy=AGAIN)
    return found


def standard_of(
    result: Mapping[str, Any],
    form: Form,
    *,
    variant: str,
    rounding: Rounding,
    places: int,
    effective: str,
) -> Standard:
    """The standard that a method's result makes for a form, its cut in percent and rounded.

    Raises BadInput for a result without a cut, one that is not in percent of a declared
    maximum, and what is no variant, day or number of decimals.
    """
    _check(form, variant, places, effective)
    cut, se = (_in_percent(result, name) for name in ("cut", "se"))
    if cut is None or not 0 <= cut <= 100:
        raise BadInput(
            str(result.get("undefined") or "The result has no cut from 0 to 100 %."),
            where="cut",
            remedy="Approve a cut that could be estimated, on the form's whole scale.",
        )
    count, of = result.get("n"), result.get("of")
    if type(count) is not int or count < 0 or not isinstance(of, str):
        raise BadInput("The result does not say what it rests on.", where="n", remedy=AGAIN)
    kind = result.get("statistic")
    return Standard(
        form=form.id,
        scoring=form.scoring_digest,
        variant=variant,
        method=f"{result['method']}, {kind}" if isinstance(kind, str) else str(result["method"]),
        n=count,
        of=of,
        cut=rounded_text(cut, places, rounding),
        unrounded=rounded_text(cut, MOST_PLACES, Rounding.NEAREST),
        rounding=rounding,
        se="" if se is None else rounded_text(se, MOST_PLACES, Rounding.NEAREST),
        effective=effective,
    )


def _check(form: Form, variant: str, places: int, effective: str) -> None:
    known = [one.id for one in form.variants] or [""]
    if variant not in known:
        listed = ", ".join(known) if form.variants else "none, so leave --variant out"
        raise BadInput(
            f"The form has no variant “{variant}”.",
            where="--variant",
            remedy=f"A standard names form and variant; there are: {listed}.",
        )
    if not 0 <= places <= MOST_PLACES:
        raise BadInput(
            f"{places} decimals cannot be kept.", where="--places", remedy="Give 0 to 6."
        )
    _check_day(effective)


def _check_day(day: str) -> None:
    try:
        same = date.fromisoformat(day).isoformat() == day
    except ValueError:
        same = False
    if not same:
        raise BadInput(f"“{day}” is no day.", where="--effective", remedy="Write it as 2026-09-01.")


def _in_percent(result: Mapping[str, Any], name: str) -> Fraction | None:
    value, most = _number(result.get(name)), _number(result.get("maximum"))
    if value is None:
        return None
    if most is None or most <= 0:
        raise BadInput(
            "The result is on a scale without a declared maximum.",
            where="maximum",
            remedy="Compute it with --percent, or with --max and the greatest score there is.",
        )
    return value * 100 / most


def _number(value: object) -> Fraction | None:
    """An exact number of ordinary size; None for anything else."""
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return None
    exact = Decimal(value)
    ordinary = exact.is_finite() and abs(exact.adjusted()) <= MOST_DIGITS
    return Fraction(exact) if ordinary else None


def approve(logbook: Logbook, standard: Standard, *, by: str) -> Event:
    """Keep that somebody approved a standard; by: their name as they type it.

    Raises Refused for a day that is past: a standard never reaches back.
    """
    today = logbook.machine.stamp().at[:10]
    if standard.effective < today:
        raise Refused(
            f"A standard takes effect on the day it is approved at the earliest: {today}.",
            where="--effective",
            remedy="Name that day or a later one; attempts already begun keep their cut.",
        )
    if not DECIMAL.fullmatch(standard.cut):
        raise BadInput("The cut is no decimal from 0 to 100.", where="cut", remedy=AGAIN)
    person = person_named(logbook, by)
    return logbook.append([Draft(KIND, standard.as_record(), by=person)])[0]


def withdraw(logbook: Logbook, standard: str, *, by: str, day: str, reason: str) -> Event:
    """Keep that a standard holds no longer from a day on; attempts bound to it keep it.

    standard: the id of what approved it, or enough of its beginning. by: their name as they type
    it. Raises BadInput for a standard that is not there, a day that is none, and without a
    reason; Refused for a day that is past, and for one that was withdrawn by then.
    """
    held = _the_standard(logbook, standard)
    if not reason.strip():
        raise BadInput(
            "A standard is withdrawn for a reason.", where="--reason", remedy="Write why."
        )
    _check_day(day)
    today = logbook.machine.stamp().at[:10]
    if day < today:
        raise Refused(
            f"A standard is withdrawn from today on at the earliest: {today}.",
            where="--effective",
            remedy="Name that day or a later one; attempts already begun keep their cut.",
        )
    if held.withdrawn is not None and held.withdrawn.day <= day:
        raise Refused(
            f"It is withdrawn from {held.withdrawn.day} on already.",
            where=held.id,
            remedy="Nothing more is needed; approve another where one should hold.",
        )
    person = person_named(logbook, by)
    body = {"standard": held.id, "day": day, "reason": " ".join(reason.split())}
    return logbook.append([Draft(WITHDRAWN, body, by=person)])[0]


def _the_standard(logbook: Logbook, standard: str) -> Approved:
    known = standards_in(logbook)
    found = [one for one in known if standard and one.id.startswith(standard)]
    if len(found) != 1:
        raise BadInput(
            f"There are several standards “{standard}”." if found else "There is no such standard.",
            where=standard or "--standard",
            remedy="“observe standard approved LOGBOOK --json” lists their ids; name one.",
        )
    return found[0]


def standards_in(logbook: Logbook) -> tuple[Approved, ...]:
    """The standards approved in a logbook, in the common order; withdrawn ones say so."""
    return approved(logbook.log.read(kinds=(KIND, WITHDRAWN)))


def is_not(standard: Standard) -> str:
    """What a standard's cut is not, a sentence (rule A9); empty for a method not known here."""
    from observe.standards.cut import IS_NOT

    return IS_NOT.get(standard.method.partition(",")[0], "")


def binding(logbook: Logbook, workshop: Workshop, seat: Seat) -> dict[str, Any]:
    """What the opening of an observation says of standards; empty where none is in force.

    An attempt that somebody began keeps what its first opening said (rule F7). The
    workshop's day decides what is in effect, so that a paper typed in later counts as it was.
    """
    for attempt in seat.attempts:
        for event in logbook.log.read(attempt=attempt, kinds=("observation-opened",)):
            held = event.body.get("standards")
            return {} if held is None else {"standards": held}
    standards = standards_in(logbook)
    if not standards:
        return {}
    used = workshop.in_use(seat)
    variants = [one.id for one in logbook.form(used.form).variants] or [""]
    found = {
        variant: one
        for variant in variants
        if (one := in_force(standards, used.scoring, variant, workshop.date)) is not None
    }
    return {"standards": bound_record(found)} if found else {}
