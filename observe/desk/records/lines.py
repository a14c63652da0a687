"""The blocks of each section of the records, from what the use cases tell."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from observe.desk import plan_closing
from observe.desk.blocks import Block
from observe.domain.words import counted, listed
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult
from observe.work.forks import Divided, ForkTail
from observe.work.known import Department
from observe.work.linking import Pair
from observe.work.plans import OpenPlan, PlanLine
from observe.work.records import Disclosure, Holder, Missing
from observe.work.wanted import Wanted
from observe.work.wanted_text import not_applied


@dataclass(frozen=True)
class Deeds:
    """What can be done about what waits; each opens a question."""

    adopt: Callable[[ForkTail], None]
    choose: Callable[[Divided, str], None]
    join_learners: Callable[[Workshop, Pair], None]
    join_attempts: Callable[[Workshop, Pair], None]
    rule: Callable[[Workshop, AttemptResult], None]
    restore: Callable[[Workshop, Seat], None]


def wanted_blocks(found: Wanted, names: Mapping[str, str], deeds: Deeds) -> Iterator[Block]:
    """What waits for a person, the gravest first."""
    for tail in found.tails:
        yield Block(
            "A fork: two machines wrote on under one id",
            (
                "Persons adopted its tails against each other: choose between them. This one:"
                if tail.fork.rivals
                else "Neither tail counts until a person adopts one. This one:",
                tail.sentence,
            ),
            (("Adopt this tail …", partial(deeds.adopt, tail)),),
        )
    for workshop, each in found.divided:
        yield _divided_block(workshop, each, names, deeds)
    for workshop, result in found.disputes:
        yield Block(
            f"{_seat(workshop, result, names)}: the observers do not come to one decision",
            (result.sentence, *_each_look(result, names)),
            (("Rule on it …", partial(deeds.rule, workshop, result)),),
        )
    for workshop, pair in found.attempts:
        yield Block(
            f"{_seats(workshop, pair)}: one attempt, seen by two?",
            (f"{_name(names, pair.kept.learner)}: {pair.why}.",),
            (("They are one …", partial(deeds.join_attempts, workshop, pair)),),
        )
    for workshop, pair in found.learners:
        yield Block(
            f"{_seats(workshop, pair)}: one learner?",
            (
                f"Two machines took somebody in: {pair.why}.",
                "Until they are said to be one, neither observer is blind to the other's marks.",
            ),
            (("They are one person …", partial(deeds.join_learners, workshop, pair)),),
        )
    yield from _uncounted_blocks(found, names, deeds)
    for workshop, result, was in found.overtaken:
        sheet = f" Its sheet, revision {was.issued}, stays as it is." if was.issued else ""
        now = result.outcome.value if result.outcome else "no decision"
        yield Block(
            f"{_seat(workshop, result, names)}: signed as {was.was}, now {now}",
            (
                f"{result.sentence}{sheet}",
                "Nothing that was signed changes by itself: sign it anew in Debrief.",
            ),
        )


def _uncounted_blocks(found: Wanted, names: Mapping[str, str], deeds: Deeds) -> Iterator[Block]:
    """What came and does not count, or did not apply."""
    for workshop, stray in found.strays:
        back: tuple[tuple[str, Callable[[], None]], ...] = ()
        if stray.given_up and stray.seat is not None:
            act = partial(deeds.restore, workshop, stray.seat)
            back = (("Take the second look back in …", act),)
        said = (stray.sentence(_name(names, stray.observer)),)
        yield Block(f"{workshop.title}: a record that does not count", said, back)
    for workshop, said_so in found.contrary:
        sentence = not_applied(said_so, _name(names, said_so.by))
        yield Block(f"{workshop.title}: two machines had it otherwise", (sentence,))
    for workshop, other in found.seals:
        yield Block(
            f"{workshop.title}: {_name(names, other.observer)} told of another seal",
            (_OTHER_SEAL,),
        )


_OTHER_SEAL = (
    "The marks that came are not those that were sealed when other marks were given out. Ask how "
    "that came about before this attempt is decided."
)


def _divided_block(
    workshop: Workshop, each: Divided, names: Mapping[str, str], deeds: Deeds
) -> Block:
    title = (
        f"Seat {each.seat.number}, {_name(names, each.seat.learner)}: "
        f"{_name(names, each.observer)} marked on two machines"
    )
    chosen = zip(each.devices, each.rivals, strict=False)
    said = (
        "No decision is made until a person chooses which marks count.",
        *(f"{listed(by)} chose those of {device[:8]}." for device, by in chosen if by),
        workshop.title,
    )
    choices = tuple(
        (
            f"{counted(count, 'mark')} of {device[:8]} …",
            partial(deeds.choose, each, device),
        )
        for device, count in zip(each.devices, each.marks, strict=True)
    )
    return Block(title, said, choices)


def _each_look(result: AttemptResult, names: Mapping[str, str]) -> Iterator[str]:
    for one in result.reveals:
        outcome = one.decision.outcome.value if one.decision.outcome else "no decision"
        yield f"{_name(names, one.observation.observer)}: {outcome}. {one.sentence}"


def plan_blocks(
    found: Iterable[tuple[OpenPlan, PlanLine]], close: Callable[[OpenPlan], None]
) -> Iterator[Block]:
    """Plans after remediation that can be closed, or whose day is past."""
    for plan, line in found:
        what = "the day to show it again is past" if line.overdue else "shown again"
        yield Block(
            f"{plan.workshop.title}, {line.learner}: {what}",
            (line.said,),
            ((plan_closing.WORD, partial(close, plan)),),
        )


def holder_blocks(found: Iterable[Holder]) -> Iterator[Block]:
    """The machines whose events are here."""
    for one in found:
        who = ", ".join(one.people) or "nobody named"
        where = "This machine" if one.here else f"Machine {one.device[:8]}"
        yield Block(f"{where}: {who}", one.sentences)


def missing_blocks(
    workshop: Workshop,
    found: Iterable[Missing],
    lacks: Iterable[str],
    names: Mapping[str, str],
    droppable: Iterable[tuple[str, Callable[[], None]]] = (),
) -> Iterator[Block]:
    """What has not come of a workshop, what this machine lacks, and what may be given up."""
    said = tuple(
        f"Seat {one.seat.number}, {_name(names, one.seat.learner)}, "
        f"watched by {_name(names, one.observer)}: {one.how.value}."
        for one in found
    )
    whole = "Every observer's record of every attempt is here, sealed."
    short = tuple(lacks)
    ready = short or ("This machine has all it needs for it.",)
    said = said or (whole,)
    yield Block(f"{workshop.title}, {workshop.date}", (*ready, *said), tuple(droppable))


def packet_blocks(found: Iterable[Disclosure]) -> Iterator[Block]:
    """What left and came in, by day, newest first."""
    days: dict[str, list[str]] = {}
    for one in found:
        days.setdefault(one.at[:10], []).append(one.sentence)
    for day, said in days.items():
        moment = datetime.fromisoformat(day)
        yield Block(f"{moment:%d %B %Y}".lstrip("0"), tuple(said))


def key_blocks(
    departments: Iterable[Department],
    answered: Iterable[str],
    confirm: Callable[[Department], None],
) -> Iterator[Block]:
    """The departments that are known, and how the keys stand that they answered for."""
    for one in departments:
        state = "Confirmed on this machine." if one.pinned else "Not confirmed on this machine."
        deeds = () if one.pinned else (("Confirm it …", partial(confirm, one)),)
        grouped = " ".join(one.fingerprint[place : place + 4] for place in range(0, 64, 4))
        yield Block(one.name, (state, f"Fingerprint: {grouped}"), deeds)
    keys = tuple(dict.fromkeys(answered))
    yield Block(
        "Keys of people",
        keys or ("Nobody's key is confirmed by a department yet.",),
    )


def _seats(workshop: Workshop, pair: Pair) -> str:
    return f"{workshop.title}, seats {pair.kept.number} and {pair.other.number}"


def _seat(workshop: Workshop, result: AttemptResult, names: Mapping[str, str]) -> str:
    return f"{workshop.title}, seat {result.seat.number}, {_name(names, result.seat.learner)}"


def _name(names: Mapping[str, str], person: str) -> str:
    return names.get(person, person)
