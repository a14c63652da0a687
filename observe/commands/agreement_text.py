"""Agreement as a table for people: value, interval, what it rests on, and what to bear in mind."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from observe.domain.printing import percent, rounded
from observe.work.cells import one_line, shown

if TYPE_CHECKING:
    from observe.agreement import Estimate, Ratings
    from observe.work.file_agreement import FileAgreement, ItemAgreement

CORRECTED = (
    "Chance-corrected values are 1 where observers always agree and 0 where they agree as often "
    "as chance would have it; they fall when nearly every rating is the same, so read them "
    "beside percent agreement."
)
WIDTH = 88
SHARES = frozenset({"percent_agreement", "specific_agreement"})
OF_NUMBERS = frozenset({"icc", "bland_altman", "cronbach_alpha"})
BY_FORM = frozenset(
    {
        "bland_altman",
        "gwet_ac2",
        "icc",
        "krippendorff_alpha",
        "specific_agreement",
        "weighted_kappa",
    }
)
NAMED = 8


def agreement_text(found: FileAgreement, level: float, *, explain: bool = False) -> str:
    """All items as text, the methods of the intervals at the end; with `explain` method notes."""
    lines: list[str] = []
    for one in found.items:
        lines += [*_heading(one), *_table(one.estimates, level), ""]
        lines += [*_note(one), ""] if explain else []
    return "\n".join([*lines, *_methods(found)]).rstrip()


def _note(one: ItemAgreement) -> Iterator[str]:
    """The method note, what only its author knows marked as wanted."""
    yield "Method note, in the order of GRRAS (Kottner and others 2011)"
    for item in one.note():
        said = item.text or f"[to be written: {item.wanted}]"
        yield from textwrap.wrap(
            one_line(f"{item.number}. {item.title}: {said}"),
            WIDTH,
            initial_indent="  ",
            subsequent_indent="     ",
        )


def _heading(one: ItemAgreement) -> Iterator[str]:
    if one.item is not None:
        yield from _wrapped(one_line(one.item), "")
    ratings = one.ratings
    units = "1 unit" if ratings.units == 1 else f"{ratings.units:,} units"
    yield from _wrapped(f"{units}; {_observers(ratings)}; {ratings.scale} scale", "")
    if one.advice.first is not None:
        yield from _wrapped(f"Recommended: {one.advice.first.label}.", "")


def _observers(ratings: Ratings) -> str:
    names = ratings.observers
    if not names:
        return "no ratings"
    listed = ", ".join(one_line(name) for name in names[:NAMED])
    more = f" and {len(names) - NAMED:,} more" if len(names) > NAMED else ""
    return f"{'observer' if len(names) == 1 else 'observers'} {listed}{more}"


def _table(estimates: tuple[Estimate, ...], level: float) -> Iterator[str]:
    yield f"  {'':36}{'value':>8}   {f'{level * 100:g} % interval':<20}{'used':>9}"
    said: set[str] = set()
    for estimate in estimates:
        yield _row(estimate)
        notes = [estimate.undefined or "", *estimate.notes]
        fresh = [one_line(note) for note in notes if note and note not in said]
        said.update(notes)
        if fresh:
            yield from _wrapped(" ".join(fresh), "      ")


def _row(estimate: Estimate) -> str:
    value = "-" if estimate.value is None else _number(estimate, estimate.value)
    limits = "-"
    if estimate.low is not None and estimate.high is not None:
        limits = f"{_number(estimate, estimate.low)} to {_number(estimate, estimate.high)}"
    used = f"{estimate.used:,}"
    return f"  {_name(estimate):36}{value:>8}   {limits:<20}{used:>9}".rstrip()


def _name(estimate: Estimate) -> str:
    kind = ""
    if estimate.coefficient in BY_FORM:
        kind = f", {shown(estimate.form, 36 - len(estimate.label) - 3)}"
    return estimate.label + kind


def _number(estimate: Estimate, value: float) -> str:
    """A number half up; the plain minus, which no terminal drops."""
    exact = Fraction(repr(value))
    if estimate.coefficient in SHARES:
        return f"{percent(exact)} %"
    return rounded(exact, 3).replace("\N{MINUS SIGN}", "-")


def _methods(found: FileAgreement) -> Iterator[str]:
    """How each kind of value and interval was made, each said once."""
    said: dict[str, None] = {}
    for one in found.items:
        for estimate in one.estimates:
            how = f"; interval: {estimate.interval}" if estimate.interval else ""
            if estimate.value is not None:
                said[f"{estimate.label}: {estimate.form}{how}."] = None
    if said:
        yield "How it was computed"
    names = {estimate.coefficient for one in found.items for estimate in one.estimates}
    if said and names - SHARES - OF_NUMBERS:
        said[CORRECTED] = None
    for sentence in said:
        yield from _wrapped(sentence, "  ")


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
