"""What the well says of its learner, and what its keys say they will do. No painting."""

from __future__ import annotations

from observe.desk.live import reading
from observe.desk.live.across import entry_late_words
from observe.desk.live.model import LiveModel
from observe.desk.live.shield import COVERED, is_up
from observe.desk.live.well_paint import HeaderReading
from observe.domain.form import Step, Voice
from observe.domain.observation import Observation
from observe.domain.profile import Doing

DEFAULT_REASONS = ("Not possible on this trainer", "Does not apply to this case")
MOST_REASONS = 5
SHOWN_REASONS = 2
"""Reasons with a key of their own; the key beside them leads to the others and to words."""


def voiced_somewhere(model: LiveModel) -> bool:
    """Whether any step of anybody's form may be voiced today; else no place is kept for it."""
    grounds = {id(one.ground.form): one.ground for one in model.sessions}
    return any(
        step.voice is not Voice.NO or ground.profile.doing(step.id) is Doing.VOICE
        for ground in grounds.values()
        for step in ground.form.steps
    )


def offered_reasons(step: Step) -> tuple[str, ...]:
    """Reasons why a step does not apply: the form's own, or two that always fit."""
    return (step.reasons or DEFAULT_REASONS)[:MOST_REASONS]


def shown_reasons(step: Step) -> tuple[str, ...]:
    """Those of the reasons that have a key of their own."""
    return offered_reasons(step)[:SHOWN_REASONS]


def header_reading(model: LiveModel, seat: int, *, lit: bool = False) -> HeaderReading:
    """Who it is, how much was seen, and how long ago the last look was."""
    state = model.state(seat)
    since = reading.ago(model.since_look_ns(seat))
    return HeaderReading(
        number=model.number(seat),
        name=model.name(seat),
        seen=COVERED if is_up(model) else reading.seen_words(state),
        looked=f"looked {since} ago" if state.clock.started else "clock not started",
        watched=reading.watched_sign(
            shared=model.is_shared(seat), sealed=model.are_all_sealed(seat)
        ),
        front=seat == model.front,
        lamp=since if lit else "",
    )


def take_back_said(state: Observation, back: str) -> tuple[str, str]:
    """Title and text of a key that says in full what it takes back. back: in words."""
    last = state.last
    if last is None or not back:
        return "Take back", ""
    step = state.ground.form.step.get(str(last.body.get("step", "")))
    if last.kind == "mark-set" and step is not None:
        return f"Take back {state.numbers[step.id]}", entry_late_words(last) or step.label
    return "Take back", back


def pass_said(state: Observation) -> tuple[str, str]:
    """Where "not seen" goes on to, and that step in full."""
    ahead = reading.following(state)
    label = ahead[0].label if ahead else ""
    if reading.is_visit(state):
        front = state.numbers.get(state.board.front)
        return (f"Back to {front}" if front else "Past the last step"), label
    number = state.numbers[ahead[0].id] if ahead else 0
    return (f"Not seen, go to {number}" if number else "Not seen, go on"), label
