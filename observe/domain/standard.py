"""An approved standard: the cut of one form and variant, and what an attempt binds to (rule F7)."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import Any

from observe.domain.events import Event, is_newer, lifted

KIND = "standard-approved"
WITHDRAWN = "standard-withdrawn"
DECIMAL = re.compile(r"(0|[1-9][0-9]{0,2})(\.[0-9]{1,6})?", re.ASCII)
MOST_PLACES = 6


class Rounding(StrEnum):
    """In which direction a cut was rounded before it was approved."""

    UP = "up"
    DOWN = "down"
    NEAREST = "nearest"


def rounded_text(value: Fraction, places: int, rounding: Rounding) -> str:
    """A number from 0 as decimal text with `places` decimals; the nearest is half up."""
    scaled = value * 10**places
    whole = scaled.numerator // scaled.denominator
    rest = scaled - whole
    if rounding is Rounding.UP and rest:
        whole += 1
    if rounding is Rounding.NEAREST and rest * 2 >= 1:
        whole += 1
    digits = str(whole).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}" if places else digits


@dataclass(frozen=True, slots=True)
class Standard:
    """A cut score with what it rests on.

    form: the form's id. scoring: its scoring digest, which the standard follows (rule F1).
    variant: empty for a form without variants. method: with its kind. n, of: how many
    judges or candidates. cut: in percent, decimal text, rounded as `rounding` says from
    `unrounded`, decimal text too. se: in percent; empty if there is none. effective: the
    first day (ISO) of workshops that it holds for.
    """

    form: str
    scoring: str
    variant: str
    method: str
    n: int
    of: str
    cut: str
    unrounded: str
    rounding: Rounding
    se: str
    effective: str

    @property
    def share(self) -> Fraction:
        """The cut as a share."""
        return Fraction(self.cut) / 100

    def as_record(self) -> dict[str, Any]:
        """The body of the event that approves it."""
        return {
            "form": self.form,
            "scoring": self.scoring,
            "variant": self.variant,
            "method": self.method,
            "n": self.n,
            "of": self.of,
            "cut": self.cut,
            "unrounded": self.unrounded,
            "rounding": self.rounding.value,
            "se": self.se,
            "effective": self.effective,
        }


def standard_from(body: Mapping[str, Any]) -> Standard:
    """The standard in an event's body. Raises ValueError if it holds none that can be read."""
    names = ("form", "scoring", "variant", "method", "of", "unrounded", "se", "effective")
    texts = {name: body.get(name) for name in names}
    held = {name: text for name, text in texts.items() if isinstance(text, str)}
    count = body.get("n")
    if len(held) < len(names) or type(count) is not int or count < 0:
        raise ValueError("what a standard rests on is not told")
    date.fromisoformat(held["effective"])
    return Standard(
        cut=_percent(body.get("cut")), n=count, rounding=_rounding(body.get("rounding")), **held
    )


def is_standard(body: Mapping[str, Any]) -> bool:
    """Whether a body holds a standard that can be read."""
    try:
        standard_from(body)
    except ValueError:
        return False
    return True


def _rounding(value: object) -> Rounding:
    if not isinstance(value, str):
        raise ValueError("a direction of rounding is a text")  # noqa: TRY004 - data, not a call
    return Rounding(value)


def _percent(value: object) -> str:
    if not isinstance(value, str) or not DECIMAL.fullmatch(value) or Fraction(value) > 100:
        raise ValueError("a cut is decimal text from 0 to 100")
    return value


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """From which day (ISO) a standard holds no longer, by whom, and why."""

    by: str
    day: str
    reason: str


@dataclass(frozen=True, slots=True)
class Approved:
    """A standard that was approved. id: of the event. by: who approved it.

    withdrawn: None while nobody withdrew it; of several withdrawals the one of the earliest day.
    """

    id: str
    by: str
    standard: Standard
    withdrawn: Withdrawal | None = None


def approved(events: Iterable[Event]) -> tuple[Approved, ...]:
    """The standards among some events that can be read here, in their order."""
    known = [event for event in events if not is_newer(event)]
    withdrawn: dict[str, tuple[str, str, Withdrawal]] = {}
    for event in known:
        body = lifted(event)
        if event.kind == WITHDRAWN and is_withdrawal(body):
            made = Withdrawal(event.by, str(body["day"]), str(body["reason"]))
            entry = (made.day, event.id, made)
            withdrawn[body["standard"]] = min(entry, withdrawn.get(body["standard"], entry))
    return tuple(
        Approved(
            event.id,
            event.by,
            standard_from(lifted(event)),
            withdrawn[event.id][2] if event.id in withdrawn else None,
        )
        for event in known
        if event.kind == KIND and is_standard(lifted(event))
    )


def is_withdrawal(body: Mapping[str, Any]) -> bool:
    """Whether a body says which standard is withdrawn, from which day, and why."""
    day = body.get("day")
    try:
        dated = isinstance(day, str) and date.fromisoformat(day).isoformat() == day
    except ValueError:
        return False
    return dated and all(isinstance(body.get(name), str) for name in ("standard", "reason"))


def in_force(
    standards: Iterable[Approved], scoring: str, variant: str, day: str
) -> Approved | None:
    """The standard of a form and variant on a day: the newest in effect, of equals the last.

    day: ISO. None where there is none in effect, and where that one was withdrawn by then: an
    older one does not come back by itself. One that was withdrawn before it took effect never
    did, and replaces none.
    """
    found = None
    for one in standards:
        held = one.standard
        fits = (held.scoring, held.variant) == (scoring, variant) and held.effective <= day
        began = one.withdrawn is None or one.withdrawn.day > held.effective
        if fits and began and (found is None or held.effective >= found.standard.effective):
            found = one
    gone = found is not None and found.withdrawn is not None and found.withdrawn.day <= day
    return None if gone else found


@dataclass(frozen=True, slots=True)
class Bound:
    """The standard that an attempt is bound to since it was opened. share: its cut."""

    standard: str
    share: Fraction


def bound_record(found: Mapping[str, Approved]) -> dict[str, dict[str, str]]:
    """What an opening says of the standards in force, by variant."""
    return {
        variant: {"standard": one.id, "cut": one.standard.cut} for variant, one in found.items()
    }


def bound_from(held: object, variants: Collection[str]) -> dict[str, Bound]:
    """What an opening holds, by variant; nothing where it is silent. Raises ValueError if faulty.

    variants: those of the form.
    """
    if held is None:
        return {}
    if not isinstance(held, Mapping) or not held.keys() <= {"", *variants}:
        raise ValueError("an opening names standards by variant")
    found = {}
    for variant, one in held.items():
        name = one.get("standard") if isinstance(one, Mapping) else None
        if not name or not isinstance(name, str):
            raise ValueError("an opening names each standard and its cut")
        found[variant] = Bound(name, Fraction(_percent(one.get("cut"))) / 100)
    return found
