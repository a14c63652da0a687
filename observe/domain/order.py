"""Order of steps: what a tap would break, and how far from the order an attempt was (rule M5)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice, product

from observe.domain.form import Form
from observe.domain.marks import State
from observe.domain.observation import Observation

MOST_CHOICES = 4096
"""How many ways to settle "one of these first" are tried at the most."""


def open_prerequisites(observation: Observation, step: str) -> tuple[str, ...]:
    """Steps that should come before `step` and were not seen yet, in the form's order.

    Empty when every prerequisite happened, was omitted, or does not apply: an
    omission is no order error, and what another variant asks is ignored.
    """
    form = observation.ground.form
    in_play = observation.marks
    waiting: set[str] = set()
    for group in form.groups(form.step[step], observation.board.variant):
        here = [one for one in group if one in in_play]
        if here and all(in_play[one].state is State.NOT_SEEN for one in here):
            waiting.update(here)
    return tuple(one.id for one in observation.steps if one.id in waiting)


def entered_order(observation: Observation) -> tuple[str, ...]:
    """Steps in the order in which they were marked as they happened; late entries left out."""
    first: dict[str, int] = {}
    for entry in observation.entries:
        step = str(entry.body.get("step", ""))
        late = "observed_ns" in entry.body
        happened = observation.board.mark(step).state in (State.DONE, State.INCORRECT)
        if entry.kind == "mark-set" and happened and not late:
            first.setdefault(step, entry.seq)
    return tuple(sorted(first, key=lambda one: first[one]))


def fewest_moves(form: Form, variant: str, sequence: Sequence[str]) -> int | None:
    """How many steps must be moved to bring a sequence into an allowed order.

    sequence: ids of the steps that happened, each once, as they happened. Two
    steps are inverted when the later one had to come first; a set without
    inverted pairs may stay, and the largest such set is an antichain of the
    inversion order, so the answer is the size of a largest matching (Dilworth
    1950). The least over all ways to settle "one of these first". None if there
    are more than 4,096 such ways.
    """
    choices = list(islice(_orders(form, variant, sequence), MOST_CHOICES + 1))
    if len(choices) > MOST_CHOICES:
        return None
    return min((_matching(_inversions(before, sequence)) for before in choices), default=0)


def _orders(form: Form, variant: str, sequence: Sequence[str]) -> Iterator[Mapping[str, set[str]]]:
    """For every way to settle the alternatives: step to all the steps before it."""
    happened = set(sequence)
    owners: list[str] = []
    groups: list[tuple[str, ...]] = []
    for step in sequence:
        for group in form.groups(form.step[step], variant):
            left = tuple(one for one in group if one in happened)
            if left:
                owners.append(step)
                groups.append(left)
    for chosen in product(*groups):
        direct: dict[str, set[str]] = {step: set() for step in sequence}
        for owner, one in zip(owners, chosen, strict=True):
            direct[owner].add(one)
        yield {step: _closure(direct, step) for step in sequence}


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
