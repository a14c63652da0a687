"""The time that a form allows, beside the clock of each learner. Pure readings, no Qt."""

from __future__ import annotations

from observe.desk.live.reading import NS, front_place
from observe.domain.marks import NOT_SEEN
from observe.domain.observation import Observation
from observe.domain.printing import clock


def limit_ns(observation: Observation) -> int | None:
    """How long an attempt may last, in nanoseconds of its clock; None without a limit."""
    seconds = observation.ground.form.rule.time_limit_s
    return None if seconds is None else seconds * NS


def is_over(observation: Observation, elapsed_ns: int) -> bool:
    """Whether the time of an attempt has come to its end."""
    limit = limit_ns(observation)
    return limit is not None and observation.clock.started is not None and elapsed_ns >= limit


def unreached(observation: Observation) -> int:
    """How many steps the learner has not reached: those that time-out can turn into not done."""
    ahead = observation.steps[front_place(observation) :]
    return sum(observation.mark(step.id) == NOT_SEEN for step in ahead)


def is_asked(observation: Observation, elapsed_ns: int) -> bool:
    """Whether it is to be asked what becomes of the steps that are left (rule M4)."""
    ended = observation.sealed or observation.void or observation.stopped or observation.handed
    return not ended and is_over(observation, elapsed_ns) and unreached(observation) > 0


def below_words(observation: Observation, elapsed_ns: int) -> str:
    """What stands below the clock: "start", "paused", "of 15:00", "time is up"; or nothing."""
    limit = limit_ns(observation)
    if is_over(observation, elapsed_ns):
        return "time is up"
    if observation.clock.started is None:
        return "start"
    if not observation.clock.is_running:
        return "paused"
    return f"of {clock(limit)}" if limit is not None else ""


def limit_words(observation: Observation, elapsed_ns: int) -> str:
    """The limit for the reader of the screen: " of 15:00, time is up"; empty without one."""
    limit = limit_ns(observation)
    if limit is None:
        return ""
    up = ", time is up" if is_over(observation, elapsed_ns) else ""
    return f" of {clock(limit)}{up}"
