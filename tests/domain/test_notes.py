"""Events that stand alone hold what is read of them (rule E1)."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.events import KINDS
from observe.domain.notes import LATEST_TURN, is_sound, is_time

FORM = {"form": "f", "scoring": "s", "profile": [{"step": "a", "doing": "voice", "reason": "r"}]}
SOUND: dict[str, dict[str, Any]] = {
    "person-named": {"person": "p"},
    "workshop-planned": {
        **FORM,
        **dict.fromkeys(("title", "place", "date", "mode", "seed"), "x"),
        "observers": ["o"],
    },
    "form-added": FORM,
    "attempt-planned": {
        "learner": "l",
        "variant": "",
        "first": "o",
        "second": "",
        "seat": 1,
        "ordinal": 1,
        "room": 1,
        "form": "f",
    },
    "absence-noted": {"absent": True},
    "station-recorded": {"trainer": "", "insert": "", "position": "", "depth": ""},
    "device-named": {"follows": {"device": "d", "seq": 1, "hash": "h"}, "turn": 4},
    "packet-merged": {"heads": {"d": [3, "h"]}, "turn": 4},
    "look-dropped": {"observer": "o", "dropped": True},
    "seal-told": {"observation": "o", "seal": "h"},
    "packet-sent": {"packet": "p"},
    "fork-adopted": {"device": "d", "seq": 1, "hash": "h"},
    "writer-chosen": {"observation": "o", "device": "d"},
    "same-learner": {"learner": "a", "same_as": "b"},
    "same-attempt": {"same_as": "a"},
    "adjudicated": {
        "outcome": None,
        "stands": [],
        "falls": [],
        "rests_on": "d",
        "no_conflict": True,
    },
    "overruled": {"outcome": "pass", "rests_on": "d"},
    "retest-agreed": {"day": "2026-03-26"},
    "reattributed": {"with": "a", "was": "l", "is": "m"},
    "decision-signed": {"outcome": "pass", "trace": "t"},
    "sheet-issued": {"sha256": "s", "revision": 1},
    "remediation-closed": {"outcome": "met", "plan": "d/1"},
    "standard-withdrawn": {"standard": "s", "day": "2026-09-01", "reason": "Judged anew."},
    "report-issued": {"sha256": "s", "record": "r", "form": "f"},
    "key-requested": {"person": "p", "request": "r"},
    "key-answered": {"person": "p", "chain": ["c"]},
    "keys-revoked": {"list": "l", "entries": {"c": "2026-03-02T09:00:00+00:00"}},
    "standard-approved": {
        **dict.fromkeys(("form", "scoring", "variant", "method", "of", "unrounded", "se"), "x"),
        "n": 12,
        "cut": "65.8",
        "rounding": "up",
        "effective": "2026-03-02",
    },
}
SPARED = {
    ("adjudicated", "outcome"),
    ("attempt-planned", "room"),
    ("attempt-planned", "form"),
}
OPTIONAL = {"follows", "turn", "heads", "sealed", "entries"}


@pytest.mark.parametrize("kind", SOUND)
def test_what_is_written_is_sound_and_each_part_is_needed(kind: str) -> None:
    body = SOUND[kind]
    assert kind in KINDS
    assert is_sound(kind, body)
    for name in body:
        less = {key: value for key, value in body.items() if key != name}
        assert is_sound(kind, less) is (name in OPTIONAL or (kind, name) in SPARED)
        assert not is_sound(kind, {**body, name: 1.5})
        assert not is_sound(kind, {**body, name: {"a": [1]}})


@pytest.mark.parametrize("turn", [-1, LATEST_TURN, True, "1", None])
def test_a_turn_that_nobody_can_have_reached_is_none(turn: object) -> None:
    assert not is_sound("packet-merged", {"heads": {}, "turn": turn})
    assert not is_sound("device-named", {"turn": turn})


@given(
    st.sampled_from(sorted(SOUND)),
    st.dictionaries(
        st.sampled_from(["turn", "heads", "sealed", "person", "chain", "list", "device", "seq"]),
        st.none() | st.booleans() | st.integers() | st.text() | st.lists(st.integers()),
    ),
)
def test_anything_at_all_is_judged(kind: str, body: dict[str, Any]) -> None:
    assert is_sound(kind, body) in (True, False)


def test_kinds_that_an_observation_folds_are_judged_elsewhere() -> None:
    assert is_sound("mark-set", {})


@pytest.mark.parametrize("text", ["", "2026-03-02", "2026-03-02T09:00:00", 3, None, "x"])
def test_a_time_has_its_offset(text: object) -> None:
    assert not is_time(text)
    assert is_time("2026-03-02T09:00:00.000+00:00")
