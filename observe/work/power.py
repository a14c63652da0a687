"""The battery of this machine: how long it lasts, and whether that is long enough."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from observe.domain.words import counted
from observe.work.cautions import Caution, Reading, falls_by

MARGIN_MIN = 10
"""A battery that lasts less than this beyond the workshop is worth a word."""
LOW_PERCENT = (20, 10, 5)
"""At so many percent the caution is of level 1, 2, 3, where no time can be told."""
LOW_MINUTES = (30, 15, 5)
"""The same in minutes, where it is not known how long the workshop takes."""
LEAST_SHARE = 0.1
"""Of the steps, that must be passed before the pace tells how long the rest takes."""
RATING_MIN = 2
"""Minutes for the rating of one learner."""
PLUG_IN = "Plug in."


@dataclass(frozen=True, slots=True)
class Battery:
    """percent: 0 to 100. minutes: until it is empty, None where the machine does not tell."""

    percent: float
    plugged: bool
    minutes: int | None = None


def battery() -> Battery | None:
    """The battery of this machine; None where there is none, or it does not tell."""
    import psutil

    try:
        found = psutil.sensors_battery()
    except (AttributeError, NotImplementedError, OSError, RuntimeError, ValueError):
        return None  # some systems have no such call, some drivers tell nonsense
    if found is None:
        return None
    seconds = int(found.secsleft)  # below 0: not told, or plugged in
    percent = min(100.0, max(0.0, float(found.percent)))
    plugged = bool(found.power_plugged)
    return Battery(percent, plugged, seconds // 60 if seconds >= 0 and not plugged else None)


def minutes_left(now: Battery, readings: Sequence[Reading] = ()) -> int | None:
    """Minutes until the battery is empty; None where that cannot be told.

    readings: percent over time; what was measured here comes before what the machine says.
    """
    if now.plugged:
        return None
    rate = falls_by(readings)
    return int(now.percent / rate) if rate else now.minutes


def minutes_needed(passed: int, steps: int, elapsed_s: float, to_rate: int) -> int | None:
    """About how long a workshop still takes, at its own pace; None before that can be told.

    passed, steps: of all learners together. to_rate: learners not sealed yet.
    """
    if steps <= 0 or passed < LEAST_SHARE * steps or elapsed_s <= 0:
        return None
    rest = elapsed_s * max(0, steps - passed) / passed
    return round(rest / 60) + RATING_MIN * to_rate


def battery_caution(
    now: Battery | None, *, readings: Sequence[Reading] = (), needed: int | None = None
) -> Caution | None:
    """Whether the battery is too low for what is left of the workshop, in a sentence.

    needed: minutes that the workshop still takes, None if not known.
    """
    if now is None or now.plugged:
        return None
    minutes = minutes_left(now, readings)
    level = _level(now, minutes, needed)
    if not level:
        return None
    lasts = "" if minutes is None else f", about {counted(minutes, 'minute')} at this rate"
    asks = "" if needed is None else f"; the workshop needs about {needed}"
    return Caution("battery", level, f"Battery {now.percent:.0f} %{lasts}{asks}. {PLUG_IN}")


def _level(now: Battery, minutes: int | None, needed: int | None) -> int:
    lowest = LOW_PERCENT[-1]
    if minutes is not None and needed is not None:
        if minutes > needed + MARGIN_MIN and now.percent > lowest:
            return 0
        return max(1, _reached(now.percent, LOW_PERCENT), _reached(minutes, LOW_MINUTES))
    level = _reached(now.percent, LOW_PERCENT)
    return level if minutes is None else max(level, _reached(minutes, LOW_MINUTES))


def _reached(value: float, limits: Sequence[int]) -> int:
    """How many of the falling limits a value has come down to."""
    return sum(value <= limit for limit in limits)


def battery_words(now: Battery | None) -> str:
    """The battery in a sentence, for looking at the machine before the day."""
    if now is None:
        return "This machine tells of no battery."
    if now.plugged:
        return f"Battery {now.percent:.0f} %, plugged in."
    lasts = "" if now.minutes is None else f", about {counted(now.minutes, 'minute')} left"
    return f"Battery {now.percent:.0f} %, not plugged in{lasts}."
