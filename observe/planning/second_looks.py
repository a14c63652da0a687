"""Which attempts get a second observer, drawn at random before the day (rule T4)."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence


def second_looks(
    attempts: Mapping[str, str], observers: Sequence[str], *, count: int, seed: str
) -> Mapping[str, str]:
    """Draw attempts for a second look, and who takes it.

    attempts: attempt id to its first observer, in seat order. count: how many to
    draw, at most all of them. seed: same seed and order, same draw. Returns attempt
    id to the second observer, never the first one; second looks are spread evenly
    over observers. Raises ValueError if `count` is negative or nobody is there to
    look twice.
    """
    if count < 0:
        raise ValueError("a number of second looks is not negative")
    draw = random.Random(seed)  # noqa: S311 - a draw anyone can repeat, not a secret
    drawn = draw.sample(list(attempts), min(count, len(attempts)))
    load = dict.fromkeys(observers, 0)
    looks: dict[str, str] = {}
    for attempt in drawn:
        free = [one for one in observers if one != attempts[attempt]]
        if not free:
            raise ValueError("a second look needs a second observer")
        least = min(load[one] for one in free)
        second = draw.choice([one for one in free if load[one] == least])
        load[second] += 1
        looks[attempt] = second
    return looks
