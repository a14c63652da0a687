"""A report for readers beyond the director: no count under ten, and none that would tell one.

Small cells and their complements are hidden (rule P1; the usual least is 10, NCES 2011-603).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from observe.domain.troubles import Refused
from observe.domain.words import counted
from observe.work.report_figures import Figure, FormQuality, Item, Partition, Report, StepFigures

LEAST = 10
WITHHELD = f"Withheld: fewer than {LEAST} in a group that it tells of."
_SAID = {
    6: "Second looks were planned among the attempts of each workshop.",
    7: "Second looks were drawn at random before the day; others feed no figure (rule T4).",
    8: "Marked live, once, while the learner went on, or typed in from paper.",
    11: f"Counts from 1 to {LEAST - 1}, and those that would tell them, are hidden.",
}


def for_others(made: Report) -> Report:
    """The report without what is about fewer than ten.

    Raises Refused where there are fewer than ten learners in all.
    """
    if (made.learners or 0) < LEAST:
        raise Refused(
            f"The report is about {counted(made.learners or 0, 'learner')}; under {LEAST} nothing "
            "may leave the director's role.",
            remedy="Take more workshops together, or keep it with the director.",
        )
    attempts, decisions = suppressed(made.attempts), suppressed(made.decisions)
    return replace(
        made,
        learners=None,
        attempts=attempts,
        second=_sealed_alone(made.second),
        joined=None,
        cuts=tuple(
            replace(one, attempts=one.attempts if len(made.cuts) == 1 else None)
            for one in made.cuts
        ),
        lines=tuple(map(suppressed, made.lines)) if attempts.is_whole else (),
        decisions=decisions,
        decided=tuple(_kept(one, told=decisions.is_whole) for one in made.decided),
        criticals=tuple(map(suppressed, made.criticals)),
        limits=tuple(_kept(one, told=True) for one in made.limits),
        scores=_kept(made.scores, told=True),
        grades=_kept(made.grades, told=True),
        steps=tuple(map(_step, made.steps)),
        quality=_quality(made.quality),
        items=tuple(map(_item, made.items)),
        cautions=(*_cautions(made), _SAID[11]),
    )


def suppressed(group: Partition) -> Partition:
    """A group without its small counts, and without so many others that none can be told.

    Among the hidden counts one is at least ten, and together they are twice that: whoever knows
    their sum, and this rule, can still tell none of the small ones.
    """
    if group.total is None:
        return group
    counts = [count or 0 for _, count in group.cells]
    hidden = {place for place, count in enumerate(counts) if 0 < count < LEAST}
    others = sorted(
        (place for place in range(len(counts)) if place not in hidden), key=counts.__getitem__
    )
    while hidden and not _is_safe([counts[place] for place in hidden]):
        if not others:
            return replace(group, cells=tuple((kind, None) for kind, _ in group.cells), total=None)
        hidden.add(_next(others, counts))
    cells = tuple(
        (kind, None if place in hidden else count)
        for place, (kind, count) in enumerate(group.cells)
    )
    total = group.total if group.total >= LEAST or not hidden else None
    return replace(group, cells=cells, total=total)


def _next(others: list[int], counts: list[int]) -> int:
    """What is hidden besides: the least count that is not 0, then any."""
    place = next((one for one in others if counts[one]), others[0])
    others.remove(place)
    return place


def _is_safe(hidden: list[int]) -> bool:
    return sum(hidden) >= 2 * LEAST and max(hidden) >= LEAST


def _sealed_alone(second: Partition) -> Partition:
    """Only how many second looks the figures rest on: what became of others is of few."""
    kind, count = second.cells[0]
    shown = count if count is not None and count >= LEAST else None
    return replace(second, cells=((kind, shown),), total=shown)


def _kept(one: Figure, *, told: bool) -> Figure:
    if told and one.used >= LEAST:
        return one
    return replace(one, value=None, low=None, high=None, interval=None, undefined=WITHHELD, used=0)


def _step(one: StepFigures) -> StepFigures:
    counts = suppressed(one.counts)
    told = counts.is_whole
    return replace(
        one, counts=counts, percent=_kept(one.percent, told=told), found=_kept(one.found, told=told)
    )


def _quality(found: FormQuality) -> FormQuality:
    if found.scored < LEAST or found.learners < LEAST:
        return FormQuality(0, 0, undefined=WITHHELD)
    items = tuple(
        (number, label, None if _tells(difficulty, found.scored) else difficulty, rest)
        for number, label, difficulty, rest in found.items
    )
    said = tuple(one for one in found.said if "left out" not in one)
    few = 0 < found.scored - found.learners < LEAST
    alpha = found.alpha and _kept(found.alpha, told=not few)
    return replace(
        found, learners=0 if few else found.learners, alpha=alpha, items=items, said=said
    )


def _tells(difficulty: float | None, learners: int) -> bool:
    """Whether a share says that fewer than ten did, or did not, do something."""
    if difficulty is None:
        return False
    did = difficulty * learners
    return min(did, learners - did) < LEAST


def _item(one: Item) -> Item:
    return replace(one, text=_SAID[one.number]) if one.number in _SAID and one.text else one


def _cautions(made: Report) -> Iterator[str]:
    """Without sentences that count attempts."""
    for one in made.cautions:
        if not one[:1].isdigit():
            yield one
