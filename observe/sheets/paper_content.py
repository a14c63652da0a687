"""What stands on a paper scoring sheet before the workshop; it holds no mark and no score."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PaperStep:
    """One step to tick.

    number: as on the screen. note: "essential", or how it is done today. voiced,
    not_applicable, may_not_arise: whether there is a box for it.
    """

    number: int
    label: str
    note: str = ""
    voiced: bool = False
    not_applicable: bool = False
    may_not_arise: bool = False


@dataclass(frozen=True, slots=True)
class PaperPhase:
    """Steps of one phase that follow each other; a phase may come again."""

    label: str
    steps: tuple[PaperStep, ...]


@dataclass(frozen=True, slots=True)
class PaperCritical:
    """One critical item. verdicts: a box for each. note: how it is counted, or empty."""

    label: str
    verdicts: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class PaperScale:
    """A scale to tick. grades: value, word and anchor (empty where it has no room)."""

    label: str
    grades: tuple[tuple[int, str, str], ...]


@dataclass(frozen=True, slots=True)
class PaperSheet:
    """One scoring sheet of one observer for one learner.

    occasion: what is known beforehand, as label and value; an empty value leaves a
    line to write on. learner: empty on a spare sheet. caution: one paragraph. form:
    "LPX 1.0, 1234567890ab". left_out: steps not done today, each with its reason.
    overall: with anchors; scales: further ones, without.
    """

    procedure: str
    variant: str
    learner: str
    occasion: tuple[tuple[str, str], ...]
    form: str
    caution: str
    phases: tuple[PaperPhase, ...]
    criticals: tuple[PaperCritical, ...]
    overall: PaperScale
    scales: tuple[PaperScale, ...] = ()
    left_out: tuple[str, ...] = ()

    @property
    def steps(self) -> tuple[PaperStep, ...]:
        """All steps, in the order in which they are ticked and typed in later."""
        return tuple(step for phase in self.phases for step in phase.steps)
