"""Whether the body of an event says what its kind needs, for the form it belongs to (rule E1).

Events come from other machines too. One that cannot be read is kept and shown,
and is never guessed at: the observation it belongs to is undecidable here.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from datetime import datetime
from enum import StrEnum
from typing import Any

from observe.domain.board import Ground, Verdict
from observe.domain.events import Body, Event, is_newer, lifted
from observe.domain.form import Grade, Step
from observe.domain.marks import Mark, State, from_record
from observe.domain.transcript import from_record as from_paper


class Because(StrEnum):
    """Why the program suggested to look at a learner."""

    CRITICAL = "critical"
    ESSENTIAL = "essential"
    UNSEEN = "unseen"


def is_readable(event: Event, ground: Ground) -> bool:
    """Whether an event can be folded: known kind and version, a time, and a body that fits.

    Never raises, whatever the body holds.
    """
    if is_newer(event) or not _is_time(event.stamp.at):
        return False
    fits = _BODIES.get(event.kind)
    body: object = lifted(event)
    return isinstance(body, Mapping) and (fits is None or fits(ground, body))


def fits_step(ground: Ground, step: Step, mark: Mark) -> bool:
    """Whether form and profile let a mark stand on a step, in any variant (F3, M1, M2)."""
    if mark.state is State.NOT_APPLICABLE:
        return step.not_applicable
    if mark.state is State.DID_NOT_ARISE:
        return bool(step.when)
    variants = ("", *(one.id for one in ground.form.variants))
    return not mark.voiced or any(ground.profile.may_be_voiced(step, one) for one in variants)


def _is_time(text: object) -> bool:
    if not isinstance(text, str):
        return False
    try:
        return datetime.fromisoformat(text).tzinfo is not None
    except ValueError:
        return False


def _is_whole(value: object) -> bool:
    return type(value) is int


def _is_one_of(value: object, known: Collection[str]) -> bool:
    return isinstance(value, str) and value in known


def _all_of(values: object, known: Collection[str]) -> bool:
    return isinstance(values, list) and all(_is_one_of(one, known) for one in values)


def _all_text(values: object) -> bool:
    return isinstance(values, list) and all(isinstance(one, str) for one in values)


def _is_grade(value: object, grades: tuple[Grade, ...]) -> bool:
    return _is_whole(value) and value in {grade.value for grade in grades}


def _mark_in(held: object) -> Mark | None:
    if not isinstance(held, Mapping):
        return None
    try:
        return from_record(held)
    except ValueError:
        return None


def _is_late_or_moved(body: Body) -> bool:
    """Whether what is said of an entry's time and of where it was moved from can be read."""
    late, together = body.get("observed_ns", 0), body.get("together", 2)
    if not (_is_whole(late) and late >= 0 and _is_whole(together) and together > 0):
        return False
    return all(isinstance(body.get(key, ""), str) for key in ("from", "source"))


def _mark_set(ground: Ground, body: Body) -> bool:
    if not _is_one_of(body.get("step"), ground.form.step):
        return False
    mark = _mark_in(body.get("mark"))
    if mark is None or mark.state is State.NOT_SEEN or not _is_late_or_moved(body):
        return False
    return fits_step(ground, ground.form.step[body["step"]], mark)


def _moved_to(ground: Ground, body: Body) -> bool:
    return body.get("step") == "" or _is_one_of(body.get("step"), ground.form.step)


def _names_step(ground: Ground, body: Body) -> bool:
    return _is_one_of(body.get("step"), ground.form.step) and _is_late_or_moved(body)


def _variant_chosen(ground: Ground, body: Body) -> bool:
    return is_variant(ground, body.get("variant"))


def is_variant(ground: Ground, variant: object) -> bool:
    """Whether the form has such a variant."""
    return _is_one_of(variant, {one.id for one in ground.form.variants})


def _critical_recorded(ground: Ground, body: Body) -> bool:
    known = body.get("item") == "" or _is_one_of(body.get("item"), ground.form.critical)
    verdict = body.get("verdict", Verdict.FATAL)
    return known and _is_one_of(verdict, set(Verdict)) and _is_late_or_moved(body)


def _critical_named(ground: Ground, body: Body) -> bool:
    known = _is_one_of(body.get("item"), ground.form.critical)
    return known and isinstance(body.get("occurrence"), str)


def _critical_classified(ground: Ground, body: Body) -> bool:
    return _is_one_of(body.get("verdict"), set(Verdict)) and isinstance(body.get("occurrence"), str)


def _time_called(ground: Ground, body: Body) -> bool:
    return _all_of(body.get("steps"), ground.form.step)


def _names_events(ground: Ground, body: Body) -> bool:
    moved = all(isinstance(body.get(key, ""), str) for key in ("from", "to"))
    return moved and _all_text(body.get("events"))


def _look_suggested(ground: Ground, body: Body) -> bool:
    waited = body.get("waited_ns")
    return (
        _moved_to(ground, body)
        and _is_one_of(body.get("because"), set(Because))
        and isinstance(waited, int)
        and _is_whole(waited)
        and waited >= 0
    )


def _voided(ground: Ground, body: Body) -> bool:
    return isinstance(body.get("countersigned", ""), str)


def _overall_given(ground: Ground, body: Body) -> bool:
    return _is_grade(body.get("value"), ground.form.overall.grades)


def _dimension_given(ground: Ground, body: Body) -> bool:
    return _is_rating(ground, body.get("dimension"), body.get("value", ""))


def _is_rating(ground: Ground, dimension: object, value: object) -> bool:
    scales = [one.grades for one in ground.form.dimensions if one.id == dimension]
    return bool(scales) and (value is None or _is_grade(value, scales[0]))


def _independence_given(ground: Ground, body: Body) -> bool:
    level = body.get("level")
    return _is_whole(level) and level in {one.level for one in ground.form.independence}


def _watch_attested(ground: Ground, body: Body) -> bool:
    return _all_of(body.get("items"), ground.form.critical)


def _text_written(ground: Ground, body: Body) -> bool:
    return isinstance(body.get("slot"), str) and type(body.get("cleared", False)) is bool


def _handed_over(ground: Ground, body: Body) -> bool:
    named = isinstance(body.get("to"), str) and isinstance(body.get("last"), str)
    return named and bool(body["to"])


def _transcription_begun(ground: Ground, body: Body) -> bool:
    try:
        return from_paper(body) is not None
    except ValueError:
        return False


def _time_typed(ground: Ground, body: Body) -> bool:
    spent = body.get("spent_ns")
    return _is_whole(spent) and isinstance(spent, int) and spent >= 0


def _sealed(ground: Ground, body: Body) -> bool:
    return type(body.get("part", False)) is bool


def _amended(ground: Ground, body: Body) -> bool:
    named = isinstance(body.get("id"), str) and isinstance(body.get("countersigned", ""), str)
    target = body.get("target")
    fits = _AMENDMENTS.get(target) if isinstance(target, str) else None
    return named and fits is not None and fits(ground, body["id"], body.get("to"))


def _amended_step(ground: Ground, id: str, after: object) -> bool:
    mark = _mark_in(after)
    known = mark is not None and id in ground.form.step
    return known and mark is not None and fits_step(ground, ground.form.step[id], mark)


def _amended_occurrence(ground: Ground, id: str, after: object) -> bool:
    if not isinstance(after, Mapping) or not _is_one_of(after.get("verdict"), set(Verdict)):
        return False
    return bool(id) or _is_one_of(after.get("item"), ground.form.critical)


def _amended_overall(ground: Ground, id: str, after: object) -> bool:
    return _is_grade(after, ground.form.overall.grades)


_AMENDMENTS: Mapping[str, Callable[[Ground, str, Any], bool]] = {
    "step": _amended_step,
    "occurrence": _amended_occurrence,
    "overall": _amended_overall,
    "dimension": _is_rating,
}


_BODIES: Mapping[str, Callable[[Ground, Body], bool]] = {
    "variant-chosen": _variant_chosen,
    "mark-set": _mark_set,
    "moved-to": _moved_to,
    "order-claimed": _names_step,
    "critical-recorded": _critical_recorded,
    "critical-named": _critical_named,
    "critical-classified": _critical_classified,
    "time-called": _time_called,
    "taken-back": _names_events,
    "put-back": _names_events,
    "reason-given": _names_step,
    "overall-given": _overall_given,
    "dimension-given": _dimension_given,
    "independence-given": _independence_given,
    "watch-attested": _watch_attested,
    "text-written": _text_written,
    "handed-over": _handed_over,
    "transcription-begun": _transcription_begun,
    "time-typed": _time_typed,
    "sealed": _sealed,
    "voided": _voided,
    "look-suggested": _look_suggested,
    "amended": _amended,
}
