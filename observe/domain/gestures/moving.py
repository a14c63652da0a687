"""Marks that were set for the wrong learner go to the right one (rule E3)."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from observe.domain.board import Entry, Verdict
from observe.domain.events import Draft
from observe.domain.gestures.guards import (
    Drafts,
    clock_if_needed,
    require_item,
    require_open,
)
from observe.domain.gestures.marking import require_markable
from observe.domain.marks import NOT_SEEN, State, from_record
from observe.domain.observation import Observation
from observe.domain.troubles import Refused

_ABOUT_OCCURRENCES = frozenset({"critical-named", "critical-classified"})


def movable(observation: Observation) -> tuple[tuple[Entry, ...], ...]:
    """Gestures that set marks or recorded critical events, the latest first."""
    groups: dict[str, list[Entry]] = {}
    for entry in reversed(observation.entries):
        if _is_movable(observation, entry):
            groups.setdefault(entry.gesture, []).insert(0, entry)
    return tuple(tuple(group) for group in groups.values())


def last_marks(observation: Observation, count: int) -> tuple[Entry, ...]:
    """The marks and critical events of the last `count` such gestures, oldest first.

    Raises Refused where there are fewer.
    """
    groups = movable(observation)
    if not 0 < count <= len(groups):
        raise Refused(
            "There are not so many marks to move.", remedy="Choose marks that are in force."
        )
    return tuple(entry for group in reversed(groups[:count]) for entry in group)


def marks_on(observation: Observation, step_id: str) -> tuple[Entry, ...]:
    """What was set on one step and can be moved, oldest first."""
    return tuple(
        entry
        for group in reversed(movable(observation))
        for entry in group
        if entry.body.get("step") == step_id
    )


def _is_movable(observation: Observation, entry: Entry) -> bool:
    if entry.kind == "critical-recorded":
        known = observation.board.occurrences.get(entry.id)
        return known is not None and known.verdict is not Verdict.WITHDRAWN
    return entry.kind == "mark-set" and _stands(observation, entry)


def _stands(observation: Observation, entry: Entry) -> bool:
    placed = observation.board.placed.get(str(entry.body.get("step")), ())
    return any(one.entry == entry.id for one in placed)


def move(
    source: Observation,
    target: Observation,
    events: Collection[str],
    *,
    reasons: Mapping[str, str] | None = None,
) -> Drafts:
    """Move marks and critical events to another learner of the same observer, in one gesture.

    events: ids of those to move. reasons: why a step is not applicable, by step; without
    it the other learner's seal asks for it again. The drafts name the observation that
    each belongs to. Each mark is seen, on the other clock, when it was seen here, and
    entered now. Raises Refused once either is sealed (rule E3), and where the other
    attempt has no place for one of the marks; then none is moved.
    """
    _require_movable_between(source, target)
    chosen = [entry for entry in source.entries if entry.id in events]
    if not chosen or len(chosen) < len(set(events)):
        raise Refused("That mark is not in force any more.", remedy="Look at the mark that stands.")
    for entry in chosen:
        _require_place(source, target, entry)
    leaving = [entry for entry in source.entries if _leaves(source, entry, set(events))]
    gone = Draft(
        "taken-back",
        {"events": [entry.id for entry in leaving], "to": target.id},
        observation=source.id,
    )
    arriving = (
        *clock_if_needed(target),
        *_arriving(source, target, leaving),
        *_reasons(target, chosen, reasons or {}),
    )
    return (gone, *(replace(draft, observation=target.id) for draft in arriving))


def _require_movable_between(source: Observation, target: Observation) -> None:
    if source.sealed or target.sealed:
        raise Refused(
            "Marks do not move between learners once one of them is sealed.",
            remedy="Change each by an amendment, with a reason.",
        )
    if source.id == target.id:
        raise Refused("The marks are there already.", remedy="Choose another learner.")
    if source.observer != target.observer:
        raise Refused(
            "These marks are another observer's.", remedy="Move only what you marked yourself."
        )
    if source.ground.form.whole_digest != target.ground.form.whole_digest:
        raise Refused(
            "The two learners are assessed with different forms.",
            remedy="Take the marks back, and set them anew.",
        )
    require_open(source)
    require_open(target)


def _require_place(source: Observation, target: Observation, entry: Entry) -> None:
    if not _is_movable(source, entry):
        raise Refused(
            "Only marks and critical events that stand can be moved.",
            remedy="Choose a mark or a critical event.",
        )
    if entry.is_typed and not target.is_typed:
        raise Refused(
            "This was typed from paper, and the other attempt is marked live.",
            remedy="Take it back here, and set it there with the time at which it was seen.",
        )
    if entry.kind == "mark-set":
        require_markable(target, str(entry.body["step"]), from_record(entry.body["mark"]))
    elif source.board.occurrences[entry.id].item:
        require_item(target, source.board.occurrences[entry.id].item)


def _leaves(source: Observation, entry: Entry, chosen: Collection[str]) -> bool:
    """Whether an entry goes along: chosen, or about a chosen one and about nothing else."""
    if entry.kind in _ABOUT_OCCURRENCES:
        return entry.body.get("occurrence") in chosen
    if entry.kind == "order-claimed":
        placed = source.board.placed.get(str(entry.body.get("step")), ())
        return bool(placed) and all(one.entry in chosen for one in placed)
    return entry.id in chosen


def _arriving(
    source: Observation, target: Observation, leaving: Sequence[Entry]
) -> Iterator[Draft]:
    for entry in leaving:
        if entry.kind in _ABOUT_OCCURRENCES:
            continue
        body: dict[str, Any] = {"from": entry.id, "source": source.id}
        if entry.kind == "order-claimed":
            yield Draft(entry.kind, {**body, "step": entry.body["step"]})
            continue
        body |= _time_on(target, entry)
        if entry.kind == "mark-set":
            yield Draft(
                entry.kind, {**body, "step": entry.body["step"], "mark": entry.body["mark"]}
            )
            continue
        occurrence = source.board.occurrences[entry.id]
        body["item"] = occurrence.item
        if occurrence.verdict is not None:
            body["verdict"] = occurrence.verdict.value
        yield Draft(entry.kind, body)


def _time_on(target: Observation, entry: Entry) -> dict[str, int]:
    """When a moved entry was seen, as the other observation keeps it.

    Of what was typed from paper what the paper says: the same time, or none.
    """
    if not entry.is_typed:
        return {"observed_ns": seen_on(target, entry)}
    return {"observed_ns": entry.observed_ns} if entry.is_timed else {}


def seen_on(target: Observation, entry: Entry) -> int:
    """What the target's clock showed when something was seen that was entered elsewhere, ns.

    Not below 0: what was seen before that clock was started was seen at its start.
    """
    late = entry.elapsed_ns - entry.observed_ns
    return max(0, target.clock.reading_at(entry.stamp) - late)


def _reasons(
    target: Observation, chosen: Sequence[Entry], reasons: Mapping[str, str]
) -> Iterator[Draft]:
    for entry in chosen:
        step = str(entry.body.get("step", ""))
        if entry.kind != "mark-set" or step in target.reasons or not reasons.get(step):
            continue
        if from_record(entry.body["mark"]).state is State.NOT_APPLICABLE:
            yield Draft("reason-given", {"step": step}, texts={"reason": reasons[step]})


def replaced(target: Observation, entries: Sequence[Entry]) -> tuple[str, ...]:
    """Steps of marks to be moved that have a mark at the target; the moved one stands (M2)."""
    steps = dict.fromkeys(str(one.body["step"]) for one in entries if one.kind == "mark-set")
    return tuple(step for step in steps if target.mark(step) != NOT_SEEN)


def home_of(
    observation: Observation, entries: Sequence[Entry], others: Mapping[str, Observation]
) -> Observation | None:
    """Where entries go when they are taken back: the observation they came from (rule E3).

    None if they were entered here, or cannot go back, because that one is sealed, void,
    handed over or not among the others; then they are taken back here and go nowhere.
    """
    sources = {entry.source for entry in entries}
    home = others.get(sources.pop()) if len(sources) == 1 else None
    if home is None or home.sealed or home.void or home.handed:
        return None
    return home if _returning(home, observation, entries) else None


def _returning(
    home: Observation, observation: Observation, entries: Sequence[Entry]
) -> tuple[str, ...]:
    """Ids of what comes into force again at home, with what was said of it there."""
    named = {str(entry.body.get("from", "")) for entry in entries}
    return tuple(
        entry.id
        for moved in home.moved
        if moved.to == observation.id
        for entry in moved.entries
        if entry.id in named or entry.body.get("occurrence") in named
    )


def with_homecoming(
    drafts: Drafts, observation: Observation, others: Mapping[str, Observation]
) -> Drafts:
    """A gesture with what it does to the learners that its marks came from.

    Taking back what was moved here puts it in force again where it came from.
    """
    whole: list[Draft] = []
    for draft in drafts:
        named = draft.body.get("events", ()) if draft.kind == "taken-back" else ()
        entries = [entry for entry in observation.entries if entry.id in named]
        home = home_of(observation, entries, others) if entries else None
        if home is None:
            whole.append(draft)
            continue
        whole.append(replace(draft, body={**draft.body, "to": home.id}))
        returning = {
            "events": list(_returning(home, observation, entries)),
            "from": observation.id,
        }
        whole.append(Draft("put-back", returning, observation=home.id))
    return tuple(whole)
