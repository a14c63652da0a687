"""A paper scoring sheet for tests: 31 steps, eight critical items, seven scales."""

from __future__ import annotations

from dataclasses import replace

from observe.sheets.paper_content import (
    PaperCritical,
    PaperPhase,
    PaperScale,
    PaperSheet,
    PaperStep,
)

GRADES = tuple((value, word, "") for value, word in enumerate(("Low", "Fair", "Good"), start=1))
ANCHORED = tuple(
    (value, word, f"What {word} looks like on a trainer.") for value, word, _ in GRADES
)


def steps(first: int, last: int) -> tuple[PaperStep, ...]:
    """Steps of every kind: essential, voiced today, that may not arise or not apply."""
    return tuple(
        PaperStep(
            number,
            f"Does the thing that is number {number}",
            note="Essential." if number % 7 == 0 else "",
            voiced=number % 3 == 0,
            not_applicable=number == 5,
            may_not_arise=number == 6,
        )
        for number in range(first, last + 1)
    )


def a_sheet(count: int = 31, **changed: object) -> PaperSheet:
    """A sheet of `count` steps, at least 12, in three runs of two phases."""
    sheet = PaperSheet(
        procedure="A procedure",
        variant="On the left",
        learner="Lina One",
        occasion=(("Seat", "3"), ("Attempt", "first"), ("Observer", "Anna"), ("Date", "")),
        form="LPX 1.0, 1234567890ab",
        caution="Educational template. Not clinically reviewed.",
        phases=(
            PaperPhase("Before", steps(1, 8)),
            PaperPhase("During", steps(9, count - 2)),
            PaperPhase("Before", steps(count - 1, count)),
        ),
        criticals=(
            PaperCritical("Goes on", ("fatal", "stopped by a hand")),
            PaperCritical("Breaks it", ("fatal", "noticed and put right", "stopped by a hand")),
            PaperCritical("Tries", ("counted", "stopped by a hand"), "Fatal from number 5 on."),
        ),
        overall=PaperScale("Overall grade", ANCHORED),
        scales=tuple(PaperScale(f"Scale {number}", GRADES) for number in range(7)),
        left_out=("4 Cuts the strings (kits are reused)",),
    )
    return replace(sheet, **changed)  # type: ignore[arg-type]  # any field of a sheet
