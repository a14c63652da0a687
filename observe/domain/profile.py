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
    """One step that is not simply performed today, and why."""

    step: str
    doing: Doing
    reason: str


@dataclass(frozen=True)
class Profile:
    """The departures of one workshop from its form; every other step is performed."""

    form: str
    departures: tuple[Departure, ...] = ()
    by_step: Mapping[str, Departure] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_step", {one.step: one for one in self.departures})

    def doing(self, step: str) -> Doing:
        departure = self.by_step.get(step)
        return departure.doing if departure else Doing.PERFORM

    def may_be_voiced(self, step: Step) -> bool:
        """Whether "voiced" is offered for a step (rules M2, W1)."""
        return step.voice is not Voice.NO or self.doing(step.id) is Doing.VOICE

    def steps(self, form: Form, variant: str) -> tuple[Step, ...]:
        """The steps in play: those of the variant less what is not done today."""
        return tuple(
            step for step in form.steps_of(variant) if self.doing(step.id) is not Doing.NOT_TODAY
        )

    @cached_property
    def digest(self) -> str:
        return digest(
            {"form": self.form, "departures": [self.record(one) for one in self.departures]}
        )

    @staticmethod
    def record(departure: Departure) -> dict[str, str]:
        return {
            "step": departure.step,
            "doing": departure.doing.value,
            "reason": departure.reason,
        }


def frozen(form: Form, mode: Mode, departures: tuple[Departure, ...]) -> Profile:
    """The profile of a workshop, checked (rule W1).

    Raises Refused for an unknown or repeated step, a departure without reason,
    and, in summative mode, for leaving out an essential or watched step.
    """
    seen: set[str] = set()
    watched = {step for item in form.criticals for step in item.watch}
    for departure in departures:
        place = f"profile, step {departure.step}"
        step = form.step.get(departure.step)
        if step is None:
            raise Refused(
                "The form has no such step.", where=place, remedy="Take it out of the profile."
            )
        if step.id in seen:
            raise Refused(
                "The step stands twice.", where=place, remedy="Keep one of the two entries."
            )
        seen.add(step.id)
        if departure.doing is not Doing.PERFORM and not departure.reason.strip():
            raise Refused("A departure needs its reason.", where=place, remedy="Say why.")
        left_out = departure.doing is Doing.NOT_TODAY and mode is Mode.SUMMATIVE
        if left_out and (step.essential or step.id in watched):
            raise Refused(
                "An essential step, or one a critical item watches, cannot be left out "
                "of a summative workshop.",
                where=place,
                remedy="Perform it, or hold the workshop as formative.",
            )
    return Profile(form.whole_digest, departures)
