"""What a workshop performs, voices or leaves out, frozen before its first attempt (rule W1)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from observe.domain.canonical import digest
from observe.domain.form import Form, Mode, Step, Voice
from observe.domain.troubles import Refused


class Doing(StrEnum):
    PERFORM = "perform"
    VOICE = "voice today"
    NOT_TODAY = "not today"


@dataclass(frozen=True, slots=True)
class Departure:
    """One step that is not simply performed today, and why. variant: empty means every one."""

    step: str
    doing: Doing
    reason: str
    variant: str = ""


@dataclass(frozen=True)
class Profile:
    """The departures of one workshop from its form; every other step is performed."""

    form: str
    departures: tuple[Departure, ...] = ()
    by_place: Mapping[tuple[str, str], Departure] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        places = {(one.step, one.variant): one for one in self.departures}
        object.__setattr__(self, "by_place", places)

    def doing(self, step: str, variant: str = "") -> Doing:
        """What is done with a step today; what is said for one variant goes before the rest."""
        departure = self.by_place.get((step, variant)) or self.by_place.get((step, ""))
        return departure.doing if departure else Doing.PERFORM

    def may_be_voiced(self, step: Step, variant: str = "") -> bool:
        """Whether "voiced" is offered for a step (rules M2, W1)."""
        return step.voice is not Voice.NO or self.doing(step.id, variant) is Doing.VOICE

    def steps(self, form: Form, variant: str) -> tuple[Step, ...]:
        """The steps in play: those of the variant less what is not done today."""
        return tuple(
            step
            for step in form.steps_of(variant)
            if self.doing(step.id, variant) is not Doing.NOT_TODAY
        )

    @cached_property
    def digest(self) -> str:
        return digest(
            {"form": self.form, "departures": [self.record(one) for one in self.departures]}
        )

    @staticmethod
    def record(departure: Departure) -> dict[str, str]:
        """A departure as events and digests hold it."""
        kept = {
            "step": departure.step,
            "doing": departure.doing.value,
            "reason": departure.reason,
        }
        return {**kept, "variant": departure.variant} if departure.variant else kept


def frozen(form: Form, mode: Mode, departures: tuple[Departure, ...]) -> Profile:
    """The profile of a workshop, checked, in the form's order (rule W1).

    What is simply performed is no departure and is left out. Raises Refused for
    an unknown or repeated step, a variant that the step has not, a departure
    without reason, and, in summative mode, for leaving out an essential or
    watched step.
    """
    seen: set[tuple[str, str]] = set()
    for departure in departures:
        step = _step(form, departure)
        if (step.id, departure.variant) in seen:
            raise Refused(
                "The step stands twice.",
                where=_place(departure),
                remedy="Keep one of the two entries.",
            )
        seen.add((step.id, departure.variant))
        _require_may_depart(form, mode, step, departure)
    order = {step.id: place for place, step in enumerate(form.steps)}
    kept = [one for one in departures if one.doing is not Doing.PERFORM or one.variant]
    kept.sort(key=lambda one: (order[one.step], one.variant))
    return Profile(form.whole_digest, tuple(kept))


def _place(departure: Departure) -> str:
    return f"profile, step {departure.step}"


def _step(form: Form, departure: Departure) -> Step:
    step = form.step.get(departure.step)
    if step is None:
        raise Refused(
            "The form has no such step.",
            where=_place(departure),
            remedy="Take it out of the profile.",
        )
    known = step.variants or tuple(one.id for one in form.variants)
    if departure.variant and departure.variant not in known:
        raise Refused(
            "The step has no such variant.",
            where=_place(departure),
            remedy=f"Name one of: {', '.join(known) or 'none, for every attempt'}.",
        )
    return step


def _require_may_depart(form: Form, mode: Mode, step: Step, departure: Departure) -> None:
    if departure.doing is not Doing.PERFORM and not departure.reason.strip():
        raise Refused("A departure needs its reason.", where=_place(departure), remedy="Say why.")
    watched = any(step.id in item.watch for item in form.criticals)
    left_out = departure.doing is Doing.NOT_TODAY and mode is Mode.SUMMATIVE
    if left_out and (step.essential or watched):
        raise Refused(
            "An essential step, or one a critical item watches, cannot be left out "
            "of a summative workshop.",
            where=_place(departure),
            remedy="Perform it, or hold the workshop as formative.",
        )
