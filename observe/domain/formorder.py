"""Whether the prerequisites of a form can be met at all (F3, F5, M5)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from observe.domain.form import Form, Step
from observe.domain.formfindings import Findings, meant, shorten
from observe.domain.formplaces import Path

Groups = Mapping[str, tuple[tuple[str, ...], ...]]


def check_order(form: Form, findings: Findings) -> None:
    """Note prerequisites of nothing, of another variant only, and those in a circle."""
    for place, step in enumerate(form.steps):
        _check_names(form, step, ("steps", place, "after"), findings)
    reported: set[frozenset[str]] = set()
    for variant in form.variants or ("",):
        name = variant if isinstance(variant, str) else variant.id
        for circle in circles(_groups(form, name)):
            if frozenset(circle) not in reported:
                reported.add(frozenset(circle))
                _report(form, circle, findings)


def _check_names(form: Form, step: Step, path: Path, findings: Findings) -> None:
    for place, group in enumerate(step.after):
        known = [form.step[name] for name in group if name in form.step]
        for inner, name in enumerate(group):
            if name and name not in form.step:
                entry = (*path, place, inner) if len(group) > 1 else (*path, place)
                findings.misfit(
                    entry,
                    f"Step {step.id} waits for “{shorten(name)}”, which is not a step.",
                    meant(name, list(form.step)).strip() or "Name a step of the form.",
                    rests_on=(("steps",),),
                )
        if known and not any(step.meets(other) for other in known):
            findings.misfit(
                (*path, place),
                f"Step {step.id} waits for a step that none of its own variants has.",
                "Name a step of the same variant, or leave the prerequisite out.",
            )


def _groups(form: Form, variant: str) -> Groups:
    """The prerequisites of a variant's steps; wrong entries, left empty, ask nothing."""
    groups = {}
    for step in form.steps_of(variant):
        named = (tuple(filter(None, group)) for group in form.groups(step, variant))
        groups[step.id] = tuple(filter(None, named))
    groups.pop("", None)
    return groups


def circles(groups: Groups) -> Iterator[tuple[str, ...]]:
    """The circles that keep steps from ever being done in order.

    groups: step to its prerequisites, an AND of ORs. A circle through an
    alternative that another alternative spares is no hindrance.
    """
    stuck = set(groups) - _possible(groups)
    found: set[str] = set()
    for start in groups:
        if start in stuck:
            circle = _circle(start, groups, stuck)
            if found.isdisjoint(circle):
                found.update(circle)
                yield circle


def _possible(groups: Groups) -> set[str]:
    """The steps that some order reaches."""
    done: set[str] = set()
    while True:
        more = {
            step
            for step, after in groups.items()
            if step not in done and all(not done.isdisjoint(group) for group in after)
        }
        if not more:
            return done
        done |= more


def _circle(start: str, groups: Groups, stuck: set[str]) -> tuple[str, ...]:
    """A circle that `start` waits for, each step waiting for the next."""
    way: list[str] = []
    step = start
    while step not in way:
        way.append(step)
        step = next(group[0] for group in groups[step] if stuck.issuperset(group))
    return tuple(way[way.index(step) :])


def _report(form: Form, circle: tuple[str, ...], findings: Findings) -> None:
    places = {step.id: place for place, step in enumerate(form.steps)}
    first = min(circle, key=lambda step: places[step])
    turn = circle.index(first)
    around = (*circle[turn:], *circle[:turn], first)
    sentence = f"Step {first} waits for itself."
    if len(circle) > 1:
        sentence = f"Steps wait for each other in a circle: {' waits for '.join(around)}."
    findings.misfit(
        ("steps", places[first], "after"),
        sentence,
        "Take one of these prerequisites out, so that the form can be done in order.",
    )
