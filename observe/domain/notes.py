"""Whether an event that no observation folds says what its kind needs (rule E1).

What an observation folds is judged with its form, in `observe.domain.bodies`. These stand alone: a
plan, what machines note of packets, links, rulings, signatures and keys. A packet that holds one
that cannot be read was not written by this program, and is refused whole.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any

from observe.domain.adjudication import ruling_from
from observe.domain.choices import are_named
from observe.domain.events import Body
from observe.domain.overruling import is_overruling
from observe.domain.standard import is_standard, is_withdrawal

LATEST_TURN = 1 << 48
"""No machines that count by one for each event reach a later one."""


def is_sound(kind: str, body: Body) -> bool:
    """Whether the body of a known kind holds what is read of it; kinds that are not here are."""
    needs = _NEEDS.get(kind)
    return needs is None or needs(body)


def is_time(text: object) -> bool:
    """Whether a text is a moment with its offset (ISO 8601)."""
    if not isinstance(text, str):
        return False
    try:
        return datetime.fromisoformat(text).tzinfo is not None
    except ValueError:
        return False


def _texts(*names: str) -> Callable[[Body], bool]:
    return lambda body: all(isinstance(body.get(name), str) for name in names)


def _is_count(value: object, most: int = 1 << 53) -> bool:
    return type(value) is int and 0 <= value < most


def _turn(body: Body) -> bool:
    return "turn" not in body or _is_count(body["turn"], LATEST_TURN)


def _device_named(body: Body) -> bool:
    follows = body.get("follows")
    known = isinstance(follows, Mapping) and _texts("device", "hash")(follows)
    return _turn(body) and (follows is None or (known and _is_count(follows.get("seq"))))


def _packet_merged(body: Body) -> bool:
    heads = body.get("heads", {})
    fine = isinstance(heads, Mapping) and all(_is_head(one) for one in heads.values())
    return _turn(body) and fine and _are_gaps(body.get("gaps", {}))


def _are_gaps(value: object) -> bool:
    """Whether runs of numbers, from and to, are told by device."""
    if not isinstance(value, Mapping):
        return False
    runs = [run for one in value.values() for run in (one if isinstance(one, list) else [one])]
    return all(
        isinstance(run, list)
        and len(run) == 2
        and _is_count(run[0])
        and _is_count(run[1])
        and run[0] <= run[1]
        for run in runs
    )


def _is_head(value: object) -> bool:
    if not isinstance(value, list) or len(value) != 2:
        return False
    return _is_count(value[0]) and isinstance(value[1], str)


def _all_text(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)


def _fork_adopted(body: Body) -> bool:
    return _texts("device", "hash")(body) and _is_count(body.get("seq")) and are_named(body)


def _writer_chosen(body: Body) -> bool:
    return _texts("observation", "device")(body) and are_named(body)


def _adjudicated(body: Body) -> bool:
    try:
        return bool(ruling_from(body, by="", event="")) and are_named(body)
    except (ValueError, TypeError):
        return False


def _sheet_issued(body: Body) -> bool:
    upto = body.get("upto", {})
    counted = isinstance(upto, Mapping) and all(_is_count(one) for one in upto.values())
    return counted and _of_a_sheet("sha256")(body)


def _of_a_sheet(*names: str) -> Callable[[Body], bool]:
    return lambda body: _texts(*names)(body) and _is_count(body.get("revision"))


def _retest_agreed(body: Body) -> bool:
    day = body.get("day")
    try:
        dated = isinstance(day, str) and date.fromisoformat(day).isoformat() == day
    except ValueError:
        return False
    return dated and _all_text(body.get("steps", []))


def _remediation_closed(body: Body) -> bool:
    shown = body.get("shown", "")
    return (
        _texts("outcome", "plan")(body) and body["outcome"] in _ENDINGS and isinstance(shown, str)
    )


_ENDINGS = frozenset({"met", "not met", "not held"})
"""What may become of a plan after remediation."""


def _key_answered(body: Body) -> bool:
    return _texts("person")(body) and _all_text(body.get("chain"))


def _keys_revoked(body: Body) -> bool:
    entries: Any = body.get("entries", {})
    fine = isinstance(entries, Mapping) and all(is_time(one) for one in entries.values())
    return _texts("list")(body) and fine


def _profile(body: Body) -> bool:
    held = body.get("profile")
    return isinstance(held, list) and all(
        isinstance(one, Mapping) and _texts("step", "doing", "reason")(one) for one in held
    )


def _form_added(body: Body) -> bool:
    return _texts("form", "scoring")(body) and _profile(body)


def _workshop_planned(body: Body) -> bool:
    said = _texts("title", "place", "date", "mode", "seed")(body)
    counted = _is_count(body.get("attempts", 0), 1 << 20)
    return said and counted and _form_added(body) and _all_text(body.get("observers"))


def _attempt_planned(body: Body) -> bool:
    said = _texts("learner", "variant", "first", "second")(body)
    counted = all(_is_count(body.get(name, 1), 1 << 20) for name in ("seat", "ordinal", "room"))
    needed = "seat" in body and "ordinal" in body
    return said and counted and needed and isinstance(body.get("form", ""), str)


def _absence_noted(body: Body) -> bool:
    return isinstance(body.get("absent"), bool)


def _look_dropped(body: Body) -> bool:
    return _texts("observer")(body) and isinstance(body.get("dropped"), bool)


_NEEDS: Mapping[str, Callable[[Body], bool]] = {
    "person-named": _texts("person"),
    "workshop-planned": _workshop_planned,
    "form-added": _form_added,
    "attempt-planned": _attempt_planned,
    "absence-noted": _absence_noted,
    "station-recorded": _texts("trainer", "insert", "position", "depth"),
    "look-dropped": _look_dropped,
    "seal-told": _texts("observation", "seal"),
    "device-named": _device_named,
    "packet-merged": _packet_merged,
    "packet-sent": _texts("packet"),
    "fork-adopted": _fork_adopted,
    "writer-chosen": _writer_chosen,
    "same-learner": _texts("learner", "same_as"),
    "same-attempt": _texts("same_as"),
    "adjudicated": _adjudicated,
    "overruled": lambda body: is_overruling(body) and are_named(body),
    "retest-agreed": _retest_agreed,
    "remediation-closed": _remediation_closed,
    "reattributed": _texts("with", "was", "is"),
    "decision-signed": _texts("outcome", "trace"),
    "sheet-issued": _sheet_issued,
    "sheet-countersigned": _of_a_sheet("sha256", "of", "part"),
    "sheet-acknowledged": _of_a_sheet("sha256"),
    "sheet-handled": _of_a_sheet("way"),
    "report-issued": _texts("sha256", "record", "form"),
    "key-requested": _texts("person", "request"),
    "key-answered": _key_answered,
    "keys-revoked": _keys_revoked,
    "standard-approved": is_standard,
    "standard-withdrawn": is_withdrawal,
}
