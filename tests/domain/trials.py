"""Forms to try gestures on, and a gesture that is refused."""

from collections.abc import Callable
from typing import Any

import pytest

from observe.domain import gestures
from observe.domain.events import Draft
from observe.domain.form import CriticalKind, Dimension, Independence, Mode, Voice
from observe.domain.marks import (
    Mark,
    State,
)
from observe.domain.observation import Slot
from observe.domain.troubles import Refused
from tests.domain.builders import GRADES, Log, a_critical, a_form, a_step

FORM = a_form(
    [
        a_step("1"),
        a_step("2", voice=Voice.YES),
        a_step("3", voice=Voice.PART, not_applicable=True),
        a_step("4", when="bone is met"),
    ],
    criticals=(
        a_critical("A", "1"),
        a_critical("R", "1", kind=CriticalKind.RECOVERABLE),
        a_critical("T", "1", kind=CriticalKind.TALLY, tally=2),
    ),
    dimensions=(Dimension("touch", "Touch", GRADES[:3]),),
    independence=(Independence(1, "with help"), Independence(2, "alone")),
)
SIDES = a_form(
    [a_step("1"), a_step("2L", variants=("left",)), a_step("2R", variants=("right",))],
    variants=("left", "right"),
)
VOICED = Mark(State.DONE, voiced=True)


def kinds(drafts: tuple[Draft, ...]) -> list[str]:
    return [draft.kind for draft in drafts]


def refused(log: Log, what: str, gesture: Callable[..., Any], *args: object, **more: object) -> str:
    """The remedy of a gesture that is refused with these words; nothing has changed."""
    before, count = log.state, len(log.events)
    with pytest.raises(Refused, match=what) as caught:
        log.do(gesture, *args, **more)
    assert log.state is before
    assert len(log.events) == count
    assert caught.value.remedy
    return caught.value.remedy


def rated(mode: Mode = Mode.FORMATIVE) -> Log:
    """An observation that lacks nothing but the seal."""
    log = Log(FORM, mode=mode)
    log.mark("1")
    log.do(gestures.give_overall, 3)
    log.do(gestures.write, Slot.STRENGTH, "steady hands")
    log.do(gestures.write, Slot.CHANGE, "say it aloud")
    assert gestures.missing(log.state) == ()
    return log
