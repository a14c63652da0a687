"""Order of steps: what a tap would break, and how far from the order an attempt was (rule M5)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from math import prod

from observe.domain.form import Form
from observe.domain.marks import State
from observe.domain.observation import Observation

MOST_CHOICES = 4096
"""How many ways to settle "one of these first" are tried at the most."""


_HAPPENED = frozenset({State.DONE, State.INCORRECT})


def open_prerequisites(observation: Observation, step: str) -> tuple[str, ...]:
    """Steps that should come before `step` and were not seen yet, in the form's order.

    Of alternatives, one that happened is enough. Empty when every prerequisite
    happened, was omitted, or does not apply: an omission is no order error, and
    what another variant asks is ignored. What the observer before saw, who handed the
    learner over, is not waited for.
    """
    form = observation.ground.form
    in_play = observation.marks
    before = set(observation.continues.seen if observation.continues else ())
    waiting: set[str] = set()
    for group in form.groups(form.step[step], observation.board.variant):
        here = {one: in_play[one].state for one in group if one in in_play}
        if not _HAPPENED.isdisjoint(here.values()):
            continue
        if not before.isdisjoint(here):
            continue
        waiting.update(one for one, state in here.items() if state is State.NOT_SEEN)
    return tuple(one.id for one in observation.steps if one.id in waiting)


def entered_order(observation: Observation) -> tuple[str, ...]:
    """Steps in the order in which they were marked as they happened.

    A step stands where it was first marked done or incorrect; it is left out if
    that mark was entered late, or if it is not so marked any more.
    """
    place = {entry.id: index for index, entry in enumerate(observation.entries)}
    first: dict[str, int] = {}
    for step, placed in observation.board.placed.items():
        happened = [one for one in placed if one.mark.state in _HAPPENED]
        stands = observation.mark(step).state in _HAPPENED
        if stands and happened and not happened[0].is_late:
            first[step] = place[happened[0].entry]
    return tuple(sorted(first, key=lambda one: first[one]))


def fewest_moves(form: Form, variant: str, sequence: Sequence[str]) -> int | None:
    """How many steps must be moved to bring a sequence into an allowed order.

    sequence: ids of the steps that happened, each once, as they happened. Two
    steps are inverted when the later one had to come first; a set without
    inverted pairs may stay, and the largest such set is an antichain of the
    inversion order, so the answer is the size of a largest matching (Dilworth
    1950). The least over all ways to settle "one of these first"; one that would
    close a circle counts only if every way does. None if there are more than
    4,096 such ways.
    """
    owners, groups = _asked(form, variant, sequence)
    if prod(map(len, groups)) > MOST_CHOICES:
        return None
    ways = list(_orders(sequence, owners, groups))
    possible = [before for before in ways if not _is_circular(before)]
    return min(_matching(_inversions(before, sequence)) for before in possible or ways)


def _asked(
    form: Form, variant: str, sequence: Sequence[str]
) -> tuple[Sequence[str], Sequence[tuple[str, ...]]]:
    """Every prerequisite group that the sequence can meet, beside the step that asks for it."""
    happened = set(sequence)
    owners: list[str] = []
    groups: list[tuple[str, ...]] = []
    for step in sequence:
        for group in form.groups(form.step[step], variant):
            left = tuple(one for one in group if one in happened)
            if left:
                owners.append(step)
                groups.append(left)
    return owners, groups


def _orders(
    sequence: Sequence[str], owners: Sequence[str], groups: Sequence[tuple[str, ...]]
) -> Iterator[Mapping[str, set[str]]]:
    """For every way to settle the alternatives: step to all the steps before it."""
    for chosen in product(*groups):
        direct: dict[str, set[str]] = {step: set() for step in sequence}
        for owner, one in zip(owners, chosen, strict=True):
            direct[owner].add(one)
        yield {step: _closure(direct, step) for step in sequence}


def _is_circular(before: Mapping[str, set[str]]) -> bool:
    return any(step in earlier for step, earlier in before.items())


def _closure(direct: Mapping[str, set[str]], step: str) -> set[str]:
    reached: set[str] = set()
    waiting = list(direct[step])
    while waiting:
        one = waiting.pop()
        if one not in reached:
            reached.add(one)
            waiting.extend(direct[one])
    return reached


def _inversions(
    before: Mapping[str, set[str]], sequence: Sequence[str]
) -> Mapping[str, tuple[str, ...]]:
    """For each step: later steps in the sequence that had to come before it."""
    return {
        step: tuple(later for later in sequence[place + 1 :] if later in before[step])
        for place, step in enumerate(sequence)
    }


def _matching(edges: Mapping[str, tuple[str, ...]]) -> int:
    """Size of a largest matching of a bipartite graph (augmenting paths)."""
    partner: dict[str, str] = {}

    def augment(left: str, tried: set[str]) -> bool:
        for right in edges[left]:
            if right in tried:
                continue
            tried.add(right)
            if right not in partner or augment(partner[right], tried):
                partner[right] = left
                return True
        return False

    return sum(augment(left, set()) for left in edges)
