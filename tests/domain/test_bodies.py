"""Whether an event says what its kind needs (rule E1)."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.bodies import fits_step, is_readable, is_variant
from observe.domain.decision import Outcome, decide
from observe.domain.events import KINDS, Draft, Stamp
from observe.domain.form import CriticalKind, Dimension, Independence, Voice
from observe.domain.marks import (
    DID_NOT_ARISE,
    DONE,
    NOT_APPLICABLE,
    NOT_SEEN,
    Mark,
    State,
)
from observe.domain.observation import fold, opened, step
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.scoring import evidence
from tests.domain.builders import APPROVED, GRADES, Log, a_critical, a_form, a_step

FORM = a_form(
    [
        a_step("1", essential=True),
        a_step("2", variants=("left",), voice=Voice.YES),
        a_step("3", not_applicable=True, when="bone is met"),
    ],
    variants=("left", "right"),
    criticals=(a_critical("X", "1", kind=CriticalKind.RECOVERABLE),),
    dimensions=(Dimension("touch", "Touch", GRADES[:2]),),
    independence=(Independence(1, "with help"), Independence(2, "alone")),
)
DONE_HELD = {"state": "done"}

GOOD: list[tuple[str, dict[str, Any]]] = [
    ("mark-set", {"step": "1", "mark": DONE_HELD, "from": "d1/2", "source": "o-2"}),
    ("mark-set", {"step": "1", "mark": DONE_HELD, "together": 4}),
    ("critical-recorded", {"item": "X", "verdict": "fatal", "observed_ns": 5, "source": "o-2"}),
    ("order-claimed", {"step": "1", "from": "d1/2", "source": "o-2"}),
    ("taken-back", {"events": ["d1/2"], "to": "o-2"}),
    ("put-back", {"events": ["d1/2"], "from": "o-2"}),
    ("looked", {}),
    ("look-suggested", {"step": "1", "because": "critical", "waited_ns": 0}),
    ("look-suggested", {"step": "", "because": "unseen", "waited_ns": 90}),
    ("voided", {"countersigned": "p-9"}),
    ("mark-set", {"step": "1", "mark": DONE_HELD}),
    ("mark-set", {"step": "1", "mark": {"state": "done", "prompt": 4}, "observed_ns": 0}),
    ("mark-set", {"step": "2", "mark": {"state": "done", "voiced": True}}),
    ("mark-set", {"step": "3", "mark": {"state": "not-applicable"}}),
    ("mark-set", {"step": "3", "mark": {"state": "did-not-arise"}}),
    ("moved-to", {"step": "3"}),
    ("moved-to", {"step": ""}),
    ("order-claimed", {"step": "1"}),
    ("variant-chosen", {"variant": "right"}),
    ("critical-recorded", {"item": ""}),
    ("critical-recorded", {"item": "X"}),
    ("critical-named", {"occurrence": "d1/2", "item": "X"}),
    ("critical-classified", {"occurrence": "d1/2", "verdict": "withdrawn"}),
    ("time-called", {"steps": ["1", "2"]}),
    ("taken-back", {"events": ["d1/2"]}),
    ("put-back", {"events": []}),
    ("reason-given", {"step": "3"}),
    ("overall-given", {"value": 5}),
    ("dimension-given", {"dimension": "touch", "value": 2}),
    ("dimension-given", {"dimension": "touch", "value": None}),
    ("independence-given", {"level": 2}),
    ("watch-attested", {"items": ["X"]}),
    ("text-written", {"slot": "note"}),
    ("text-written", {"slot": "note", "cleared": True}),
    ("clock-started", {}),
    ("clock-paused", {}),
    ("safety-stopped", {}),
    ("safety-lifted", {}),
    ("voided", {}),
    ("handed-over", {"to": "p-2", "last": "d1/2"}),
    ("transcription-begun", {"transcribed": True, "watched_by": "p-1"}),
    ("transcription-ended", {}),
    ("time-typed", {"spent_ns": 0}),
    ("sealed", {}),
    ("sealed", {"part": True}),
    ("amended", {"target": "step", "id": "1", "from": None, "to": {"state": "not-seen"}}),
    ("amended", {"target": "occurrence", "id": "d1/2", "to": {"verdict": "fatal"}}),
    ("amended", {"target": "occurrence", "id": "", "to": {"verdict": "fatal", "item": "X"}}),
    ("amended", {"target": "overall", "id": "", "to": 1, "countersigned": "p-9"}),
    ("amended", {"target": "dimension", "id": "touch", "to": None}),
    ("something-later", {"target": "dimension"}),
]

BAD: list[tuple[str, dict[str, Any]]] = [
    ("handed-over", {"to": "", "last": "d1/2"}),
    ("transcription-begun", {}),
    ("transcription-begun", {"transcribed": True, "watched_by": "p-1", "start": "9"}),
    ("time-typed", {"spent_ns": -1}),
    ("time-typed", {"spent_ns": True}),
    ("handed-over", {"to": "p-2"}),
    ("sealed", {"part": 1}),
    ("mark-set", {"step": "1", "mark": DONE_HELD, "from": 2}),
    ("mark-set", {"step": "1", "mark": DONE_HELD, "source": None}),
    ("mark-set", {"step": "1", "mark": DONE_HELD, "together": 0}),
    ("mark-set", {"step": "1", "mark": DONE_HELD, "together": "all"}),
    ("critical-recorded", {"item": "X", "verdict": "bad"}),
    ("critical-recorded", {"item": "X", "observed_ns": -1}),
    ("order-claimed", {"step": "1", "source": 7}),
    ("taken-back", {"events": [], "to": ["o-2"]}),
    ("put-back", {"events": [], "from": 2}),
    ("look-suggested", {"step": "9", "because": "critical", "waited_ns": 0}),
    ("look-suggested", {"step": "1", "because": "bored", "waited_ns": 0}),
    ("look-suggested", {"step": "1", "because": "critical", "waited_ns": -1}),
    ("look-suggested", {"step": "1", "because": "critical", "waited_ns": True}),
    ("look-suggested", {}),
    ("voided", {"countersigned": 9}),
    ("mark-set", {}),
    ("mark-set", {"step": "1"}),
    ("mark-set", {"step": "9", "mark": DONE_HELD}),
    ("mark-set", {"step": ["1"], "mark": DONE_HELD}),
    ("mark-set", {"step": "1", "mark": "done"}),
    ("mark-set", {"step": "1", "mark": {"state": "not-seen"}}),
    ("mark-set", {"step": "1", "mark": {"state": "not-applicable"}}),
    ("mark-set", {"step": "1", "mark": {"state": "did-not-arise"}}),
    ("mark-set", {"step": "1", "mark": {"state": "done", "voiced": True}}),
    ("mark-set", {"step": "1", "mark": {"state": "done", "prompt": 5}}),
    ("mark-set", {"step": "1", "mark": DONE_HELD, "observed_ns": -1}),
    ("mark-set", {"step": "1", "mark": DONE_HELD, "observed_ns": "1"}),
    ("moved-to", {}),
    ("moved-to", {"step": "9"}),
    ("order-claimed", {"step": ""}),
    ("variant-chosen", {"variant": "middle"}),
    ("variant-chosen", {"variant": ""}),
    ("critical-recorded", {"item": "Y"}),
    ("critical-recorded", {"item": None}),
    ("critical-named", {"occurrence": "d1/2", "item": ""}),
    ("critical-named", {"item": "X"}),
    ("critical-classified", {"occurrence": "d1/2", "verdict": "awful"}),
    ("critical-classified", {"occurrence": 2, "verdict": "fatal"}),
    ("critical-classified", {"occurrence": "d1/2", "verdict": ["fatal"]}),
    ("time-called", {"steps": "123"}),
    ("time-called", {"steps": ["9"]}),
    ("taken-back", {"events": "d1/2"}),
    ("taken-back", {"events": [["d1/2"]]}),
    ("put-back", {}),
    ("reason-given", {"step": "9"}),
    ("overall-given", {"value": 6}),
    ("overall-given", {"value": True}),
    ("overall-given", {"value": None}),
    ("dimension-given", {"dimension": "touch", "value": 3}),
    ("dimension-given", {"dimension": "touch"}),
    ("dimension-given", {"dimension": "taste", "value": 1}),
    ("independence-given", {"level": 3}),
    ("independence-given", {"level": True}),
    ("watch-attested", {"items": ["Y"]}),
    ("watch-attested", {"items": None}),
    ("text-written", {"slot": 1}),
    ("text-written", {"slot": "note", "cleared": "yes"}),
    ("amended", {}),
    ("amended", {"target": "fate", "id": "1", "to": 1}),
    ("amended", {"target": ["step"], "id": "1", "to": DONE_HELD}),
    ("amended", {"target": "step", "id": "9", "to": DONE_HELD}),
    ("amended", {"target": "step", "id": "1", "to": None}),
    ("amended", {"target": "step", "id": "1", "to": {"state": "not-applicable"}}),
    ("amended", {"target": "step", "id": 1, "to": DONE_HELD}),
    ("amended", {"target": "step", "id": "1", "to": DONE_HELD, "countersigned": 1}),
    ("amended", {"target": "occurrence", "id": "", "to": {"verdict": "fatal"}}),
    ("amended", {"target": "occurrence", "id": "d1/2", "to": {"verdict": "awful"}}),
    ("amended", {"target": "occurrence", "id": "d1/2", "to": "fatal"}),
    ("amended", {"target": "overall", "id": "", "to": 9}),
    ("amended", {"target": "dimension", "id": "taste", "to": 1}),
]


def readable(kind: str, body: dict[str, Any]) -> bool:
    log = Log(FORM, variant="left")
    event = log.event(Draft("sealed", body))
    version = {"something-later": 1}.get(kind, KINDS.get(kind, 1))
    event = replace(event, kind="sealed" if kind == "something-later" else kind, version=version)
    return is_readable(event, log.ground)


@pytest.mark.parametrize(("kind", "body"), GOOD)
def test_e1_a_body_that_says_what_its_kind_needs_is_read(kind: str, body: dict[str, Any]) -> None:
    assert readable(kind, body)


@pytest.mark.parametrize(("kind", "body"), BAD)
def test_e1_any_other_body_is_not_read(kind: str, body: dict[str, Any]) -> None:
    assert not readable(kind, body)


@pytest.mark.parametrize(("kind", "body"), BAD)
def test_e1_what_cannot_be_read_is_noted_and_makes_the_observation_undecidable(
    kind: str, body: dict[str, Any]
) -> None:
    log = Log(FORM, variant="left")
    log.mark("1", "2")
    log.mark("3", mark=DONE)
    if kind == "amended":
        log.seal()
    before = log.state
    event = log.append(Draft(kind, body))
    assert log.state == replace(before, newer=(event.id,))
    assert log.refolded() == log.reread() == log.state
    assert decide(evidence(log.state, APPROVED)).outcome is Outcome.UNDECIDED


@pytest.mark.parametrize("body", [[], None, "text", 3])
def test_e1_a_body_that_is_no_record_is_not_read(body: Any) -> None:  # noqa: ANN401 - whatever comes
    log = Log(FORM, variant="left")
    event = replace(log.event(Draft("mark-set")), body=body)
    assert step(log.state, event).newer == (event.id,)


@pytest.mark.parametrize("at", ["", "yesterday", "2026-03-02T09:15:04.120", None, 7])
def test_e2_a_time_that_is_no_time_is_not_read(at: Any) -> None:  # noqa: ANN401 - whatever comes
    log = Log(FORM, variant="left")
    event = replace(log.event(Draft("clock-started")), stamp=Stamp(at, 0, "other"))
    assert step(log.state, event).newer == (event.id,)


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"learner": 1},
        {"learner": "l", "role": "ghost"},
        {"learner": "l", "role": ["peer"]},
        {"learner": "l", "variant": "middle"},
        {"learner": "l", "variant": ["left"]},
        [],
    ],
)
def test_e1_an_opening_that_cannot_be_read_opens_an_undecidable_observation(
    body: Any,  # noqa: ANN401 - whatever comes
) -> None:
    log = Log(FORM, variant="left")
    event = replace(log.events[0], body=body)
    state = opened(event, log.ground)
    assert (state.learner, state.board.variant, state.newer) == ("", "", (event.id,))
    assert fold([event], log.ground) == state


held = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-2, 6),
        st.sampled_from(["", "1", "3", "X", "left", "d1/2", "done", "fatal", "step", "note"]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=2),
        st.dictionaries(st.sampled_from(["state", "prompt", "verdict", "item"]), inner, max_size=3),
    ),
    max_leaves=4,
)
fields = st.sampled_from(
    [
        "step",
        "mark",
        "steps",
        "events",
        "item",
        "items",
        "occurrence",
        "verdict",
        "value",
        "slot",
        "level",
        "dimension",
        "target",
        "id",
        "to",
        "variant",
        "observed_ns",
        "countersigned",
    ]
)


@given(
    st.lists(
        st.tuples(st.sampled_from(sorted(KINDS)), st.dictionaries(fields, held, max_size=5)),
        max_size=6,
    ),
    st.booleans(),
)
def test_e1_no_event_from_anywhere_can_break_the_fold(
    foreign: list[tuple[str, dict[str, Any]]], sealed: bool
) -> None:
    log = Log(FORM, variant="left")
    log.mark("1")
    if sealed:
        log.seal()
    for kind, body in foreign:
        log.append(Draft(kind, body))
    assert log.refolded() == log.reread() == log.state
    outcome = decide(evidence(log.state, APPROVED)).outcome
    assert (outcome is None) is bool(log.state.void)


@pytest.mark.parametrize(
    ("id", "mark", "fits"),
    [
        ("1", DONE, True),
        ("1", NOT_SEEN, True),
        ("1", NOT_APPLICABLE, False),
        ("1", DID_NOT_ARISE, False),
        ("1", Mark(State.DONE, voiced=True), False),
        ("2", Mark(State.DONE, voiced=True), True),
        ("3", NOT_APPLICABLE, True),
        ("3", DID_NOT_ARISE, True),
    ],
)
def test_f3_m1_form_and_profile_say_which_marks_a_step_can_bear(
    id: str, mark: Mark, fits: bool
) -> None:
    assert fits_step(Log(FORM).ground, FORM.step[id], mark) is fits


def test_w1_a_step_voiced_today_in_one_variant_can_bear_voiced() -> None:
    profile = Profile(
        FORM.whole_digest, (Departure("1", Doing.VOICE, "anaesthesia left out", "right"),)
    )
    ground = Log(FORM, profile=profile).ground
    assert fits_step(ground, FORM.step["1"], Mark(State.DONE, voiced=True))


def test_f5_variants_are_those_of_the_form() -> None:
    ground = Log(FORM).ground
    assert [is_variant(ground, one) for one in ("left", "", None)] == [True, False, False]
