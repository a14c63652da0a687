"""What Live says of one learner: pure readings of an observation, no Qt, no score (rule D3)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import TypeVar

from observe.domain.board import Entry, Occurrence, Verdict
from observe.domain.form import CriticalKind, Step
from observe.domain.gestures import take_back_target
from observe.domain.marks import Mark, State, from_record
from observe.domain.markwords import mark_words
from observe.domain.observation import Observation
from observe.domain.order import open_prerequisites
from observe.domain.printing import clock
from observe.domain.words import VERDICTS
from observe.look.marks import MarkLook
from observe.look.rod import RodStep
from observe.look.signs import SignLook

NS = 1_000_000_000

_LOOKS: Mapping[State, MarkLook] = {
    State.DONE: MarkLook.DONE,
    State.INCORRECT: MarkLook.INCORRECT,
    State.NOT_DONE: MarkLook.NOT_DONE,
    State.NOT_APPLICABLE: MarkLook.NOT_APPLICABLE,
    State.DID_NOT_ARISE: MarkLook.DID_NOT_ARISE,
    State.NOT_SEEN: MarkLook.NOT_SEEN,
}
_PROMPTED = (
    MarkLook.DONE,
    MarkLook.PROMPT_1,
    MarkLook.PROMPT_2,
    MarkLook.PROMPT_3,
    MarkLook.PROMPT_4,
)
_SIGNS: Mapping[Verdict | None, SignLook] = {
    None: SignLook.ABSOLUTE,
    Verdict.FATAL: SignLook.ABSOLUTE,
    Verdict.RECOVERED: SignLook.RECOVERED,
    Verdict.AVERTED: SignLook.AVERTED,
    Verdict.COUNTED: SignLook.ABSOLUTE,
}

_WATCHED: Mapping[SignLook | None, str] = {
    SignLook.BLIND: "blind",
    SignLook.BOTH_SEALED: "both sealed",
}


def mark_look(mark: Mark) -> MarkLook:
    """The picture of a mark: done with help stands lower, whatever went wrong hangs."""
    return _PROMPTED[mark.prompt] if mark.state is State.DONE else _LOOKS[mark.state]


def step_look(observation: Observation, step: Step, *, passed: bool) -> MarkLook:
    """The picture of a step: its mark, or whether it is still ahead."""
    mark = observation.mark(step.id)
    if mark.state is State.NOT_SEEN and not passed:
        return MarkLook.AHEAD
    return mark_look(mark)


def front_place(observation: Observation) -> int:
    """Index of the step the learner is at; the number of steps when past the last one."""
    ids = [step.id for step in observation.steps]
    front = observation.board.front
    return ids.index(front) if front in ids else len(ids)


_Answer = TypeVar("_Answer")


def once_for_a_state(
    answer: Callable[[Observation], _Answer],
) -> Callable[[Observation], _Answer]:
    """Answer once for each state: a second goes by many times between two marks."""
    known: dict[str, tuple[Observation, _Answer]] = {}

    def remembered(observation: Observation) -> _Answer:
        found = known.get(observation.id)
        if found is None or found[0] is not observation:
            found = (observation, answer(observation))
            known[observation.id] = found
        return found[1]

    return remembered


@once_for_a_state
def rod_of(observation: Observation) -> tuple[RodStep, ...]:
    """The rod of an observation: every step in play, phases set apart."""
    front = front_place(observation)
    found: list[RodStep] = []
    before = ""
    for place, step in enumerate(observation.steps):
        look = step_look(observation, step, passed=place < front)
        weight = step.weight if step.scored else 0
        found.append(RodStep(look, weight, new_phase=place > 0 and step.phase != before))
        before = step.phase
    return tuple(found)


@once_for_a_state
def flags_of(observation: Observation) -> tuple[tuple[int, SignLook], ...]:
    """Pennants of the rod: each critical event at the step after the last one marked before it."""
    steps = observation.steps
    flags: list[tuple[int, SignLook]] = []
    for one in recorded(observation):
        marked = [
            place
            for place, step in enumerate(steps)
            if any(
                p.observed_ns <= one.elapsed_ns for p in observation.board.placed.get(step.id, ())
            )
        ]
        place = min(max(marked, default=-1) + 1, len(steps) - 1)
        flags.append((place, sign_of(one)))
    return tuple(flags)


def watched_words(sign: SignLook | None) -> str:
    """What the sign beside a learner with two observers says; empty without one."""
    return _WATCHED.get(sign, "")


def watched_sign(*, shared: bool, sealed: bool) -> SignLook | None:
    """The wall between two observers, which goes once both have sealed (rule T3)."""
    if not shared:
        return None
    return SignLook.BOTH_SEALED if sealed else SignLook.BLIND


def sign_of(one: Occurrence) -> SignLook:
    """The pennant of a critical event that was not withdrawn."""
    return _SIGNS[one.verdict]


def recorded(observation: Observation) -> tuple[Occurrence, ...]:
    """Critical events that were not withdrawn, oldest first."""
    return tuple(one for one in observation.occurrences if one.verdict is not Verdict.WITHDRAWN)


def unnamed(observation: Observation) -> tuple[Occurrence, ...]:
    """Critical events whose time is kept but whose item was not said yet."""
    return tuple(one for one in recorded(observation) if not one.item)


@once_for_a_state
def seen_so_far(observation: Observation) -> Fraction | None:
    """Share of the weight of the steps passed that was seen; None before anything was passed.

    Once it is sealed every step counts as passed: that is the coverage (rule S2).
    """
    front = len(observation.steps) if observation.sealed else front_place(observation)
    seen = passed = Fraction(0)
    for place, step in enumerate(observation.steps):
        if not step.scored:
            continue
        mark = observation.mark(step.id)
        if mark.state.is_outcome:
            seen += step.weight
            passed += step.weight
        elif mark.state is State.NOT_SEEN and place < front:
            passed += step.weight
    return seen / passed if passed else None


def seen_words(observation: Observation) -> str:
    """How much was seen, in whole percent, never rounded up: "95 % seen"."""
    share = seen_so_far(observation)
    if share is None:
        return "not begun" if not observation.clock.started else "nothing passed"
    return f"{share.numerator * 100 // share.denominator} % seen"


def ago(nanoseconds: int) -> str:
    """A time since a look, minutes unpadded: "0:41"."""
    minutes, seconds = divmod(max(0, nanoseconds) // NS, 60)
    return f"{minutes}:{seconds:02}"


def lasting(nanoseconds: int) -> str:
    """A time on the go, in its greatest unit: "2 s", "4 min", "1 h"."""
    seconds = max(0, nanoseconds) // NS
    if seconds < 60:
        return f"{seconds} s"
    return f"{seconds // 60} min" if seconds < 3600 else f"{seconds // 3600} h"


def spoken(nanoseconds: int) -> str:
    """A time as it is read aloud: "12 minutes 44"."""
    minutes, seconds = divmod(max(0, nanoseconds) // NS, 60)
    return f"{minutes} minutes {seconds}" if minutes else f"{seconds} seconds"


def current(observation: Observation) -> Step | None:
    """The step in front of the observer; None when past the last one, or handed over."""
    at = "" if observation.handed else observation.board.at
    return next((step for step in observation.steps if step.id == at), None)


def following(observation: Observation) -> tuple[Step, ...]:
    """The steps after the one in front of the observer, in order."""
    ids = [step.id for step in observation.steps]
    at = observation.board.at
    return observation.steps[ids.index(at) + 1 :] if at in ids else ()


def is_visit(observation: Observation) -> bool:
    """Whether the observer looks at another step than the one the learner is at."""
    return observation.board.at != observation.board.front


def needs(observation: Observation, step: Step) -> tuple[int, ...]:
    """Numbers of the steps that should have come first and were not seen (rule M5)."""
    return tuple(observation.numbers[one] for one in open_prerequisites(observation, step.id))


def needs_words(numbers: tuple[int, ...]) -> str:
    """Which steps should have come first: "needs 13", "needs 3, 13"."""
    return f"needs {', '.join(str(number) for number in numbers)}"


def order_question(observation: Observation) -> Step | None:
    """The step of the last mark, if it broke the order and that was not claimed yet (rule M5)."""
    last = observation.last
    if last is None or last.kind != "mark-set":
        return None
    step = observation.ground.form.step.get(str(last.body.get("step", "")))
    if step is None or step.id in observation.board.claims:
        return None
    happened = observation.mark(step.id).state in (State.DONE, State.INCORRECT)
    return step if happened and open_prerequisites(observation, step.id) else None


def reason_asked(observation: Observation) -> Step | None:
    """The step of the last mark, if it is not applicable and no reason was given yet."""
    last = observation.last
    if last is None or last.kind != "mark-set":
        return None
    step = observation.ground.form.step.get(str(last.body.get("step", "")))
    if step is None or step.id in observation.reasons:
        return None
    return step if observation.mark(step.id).state is State.NOT_APPLICABLE else None


def gesture_words(observation: Observation, entries: tuple[Entry, ...]) -> str:
    """What a gesture did to this learner: "Done, step 9"; empty for no gesture."""
    said = [_plain_words(observation, entry) for entry in entries]
    return ", ".join(words for words in said if words)


def take_back_words(observation: Observation, *, home: str = "") -> str:
    """What "take back" would take back now; empty if nothing.

    home: the name of the learner to whom marks that were moved here go back (rule E3).
    """
    if observation.void:
        return "void"
    return _this_part(observation, take_back_target(observation), home)


def put_back_words(observation: Observation) -> str:
    """What "put back" would put back now; empty if nothing."""
    return _this_part(observation, observation.undone[-1]) if observation.undone else ""


def _this_part(observation: Observation, entries: tuple[Entry, ...], home: str = "") -> str:
    """What a gesture did to this learner, and how far taking it back or putting it back goes."""
    said = gesture_words(observation, entries)
    if home:
        return f"{said}, back to {home}"
    if any(entry.source for entry in entries):
        return f"{said}, moved here"
    if any(_together(entry) > 1 for entry in entries):
        return f"{said}, for this learner only"
    return said


def _together(entry: Entry) -> int:
    """For how many learners a mark was set at once."""
    return int(entry.body.get("together", 1))


def entry_words(observation: Observation, entry: Entry) -> str:
    """One entry in words, with the number of its step, and whom else it was set for."""
    said = _plain_words(observation, entry)
    if entry.source:
        return f"{said}, moved here"
    return f"{said}, for {_together(entry)} together" if _together(entry) > 1 else said


def _plain_words(observation: Observation, entry: Entry) -> str:
    body = entry.body
    number = observation.numbers.get(str(body.get("step", "")), 0)
    said = ""
    match entry.kind:
        case "mark-set":
            said = f"{_capital(mark_words(from_record(body['mark'])))}, step {number}"
        case "moved-to":
            said = f"Went to step {number}" if number else "Past the last step"
        case "order-claimed":
            said = f"Out of order, step {number}"
        case "critical-recorded":
            said = f"Critical at {clock(entry.observed_ns)}"
        case "critical-named":
            said = "Critical named"
        case "critical-classified":
            said = f"Critical: {VERDICTS[Verdict(body['verdict'])]}"
        case "variant-chosen":
            labels = {one.id: one.label for one in observation.ground.form.variants}
            said = f"Variant: {labels.get(str(body.get('variant')), '')}"
        case "time-called":
            said = "Time was up"
    return said


def entry_label(observation: Observation, entry: Entry) -> str:
    """The step or the critical item that an entry is about, in full; empty for others."""
    form = observation.ground.form
    step = form.step.get(str(entry.body.get("step", "")))
    item = form.critical.get(str(entry.body.get("item", "")))
    return step.label if step else item.label if item else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def occurrence_words(observation: Observation, one: Occurrence) -> str:
    """What a critical event is so far, in a word or two."""
    if not one.item:
        return "time kept, not named"
    item = observation.ground.form.critical[one.item]
    if item.kind is CriticalKind.TALLY:
        count = sum(other.item == one.item for other in recorded(observation))
        return f"{count} of {item.tally}"
    if one.verdict is None:
        return "to decide"
    return {Verdict.FATAL: "fatal", Verdict.RECOVERED: "recovered"}.get(
        one.verdict, VERDICTS[one.verdict]
    )


def undecided_item(observation: Observation, one: Occurrence) -> str:
    """The short sentence of a critical event that was named and not decided; else empty."""
    if not one.item or one.verdict is not None:
        return ""
    return observation.ground.form.critical[one.item].label


def initials(name: str) -> tuple[str, ...]:
    """Shorter ways to write a person's name, longest first: initial and family name, and less."""
    parts = name.split()
    if len(parts) < 2:
        given, dot, last = name.rpartition("·")
        return (f"{given[0]}·{last}",) if given and last and dot else ()
    family = parts[-1]
    shorter = [f"{parts[0][0]}. {family}"]
    head, hyphen, tail = family.partition("-")
    if hyphen:
        shorter.append(f"{parts[0][0]}. {head}-{tail[:1]}.")
    return tuple(shorter)


def down_to_initials(name: str) -> tuple[str, ...]:
    """Shorter ways to write a name, and last of all its initials.

    A name of one word is its own shortest, so that it may be set smaller instead.
    """
    parts, short = name.split(), initials(name)
    if len(parts) > 1:
        return (*short, f"{parts[0][0]}. {parts[-1][0]}.")
    return short or (name,)
