"""Which of several persons' answers to one question stands, where they did not know each other's.

Whoever answers a question that was answered already names the answers that theirs takes the
place of. Where two that stand are contrary, none counts until a person chooses between them:
neither clocks nor the order in which packets came may do that (rule E2).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from observe.domain.events import Body, Event

OVER = "over"
"""The key of an event's body under which it names the answers that it takes the place of."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a person answered. event: which holds it. over: the answers it takes the place of."""

    event: str
    by: str
    said: str
    over: frozenset[str] = frozenset()


def answer_in(event: Event, said: str) -> Answer:
    """The answer that an event holds."""
    return Answer(event.id, event.by, said, frozenset(over_in(event.body)))


def over_in(body: Body) -> tuple[str, ...]:
    """The answers that a body names as no longer standing; none where it names none."""
    held = body.get(OVER, [])
    return tuple(one for one in held if isinstance(one, str)) if isinstance(held, list) else ()


def are_named(body: Body) -> bool:
    """Whether a body names the answers it takes the place of as it should, or is silent."""
    held = body.get(OVER, [])
    return isinstance(held, list) and all(isinstance(one, str) for one in held)


def standing(answers: Iterable[Answer]) -> tuple[Answer, ...]:
    """The answers that no later one took the place of, first things first.

    answers: in the order of `observe.domain.turns`. An answer speaks only of earlier ones.
    """
    found: list[Answer] = []
    for one in answers:
        found = [earlier for earlier in found if earlier.event not in one.over]
        found.append(one)
    return tuple(found)


def settled(answers: Iterable[Answer]) -> Answer | None:
    """The first of the answers that stand, if all say the same; None for none or contrary ones."""
    left = standing(answers)
    return left[0] if len({one.said for one in left}) == 1 else None


def contrary(answers: Iterable[Answer]) -> tuple[Answer, ...]:
    """The answers that stand against each other; none where they agree."""
    left = standing(answers)
    return left if len({one.said for one in left}) > 1 else ()
