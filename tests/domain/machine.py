"""Any run of gestures on one observation, kept as a log in memory (rules E1 to E3, D3).

What holds after each: the live state is the fold of the whole log, also of the
log written as canonical JSON and read back; a refusal changes nothing; after the
seal only amendments count.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Concatenate, ParamSpec

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.decision import Outcome, decide
from observe.domain.events import Draft
from observe.domain.form import CriticalKind, Dimension, Form, Independence, Mode, Voice
from observe.domain.gestures import Drafts
from observe.domain.marks import NOT_SEEN, Mark
from observe.domain.observation import Observation, Slot, step
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.scoring import evidence
from observe.domain.settling import settling
from observe.domain.troubles import Refused
from tests.domain.builders import APPROVED, GRADES, Log, a_critical, a_form, a_step
from tests.domain.strategies import marks

P = ParamSpec("P")

AMENDMENTS = {
    gestures.amend_step,
    gestures.amend_occurrence,
    gestures.amend_overall,
    gestures.amend_dimension,
}


def whole_form() -> Form:
    """A small form that has something of everything."""
    return a_form(
        [
            a_step("1", essential=True),
            a_step("2L", variants=("left",), voice=Voice.YES, after=(("1",),)),
            a_step("2R", variants=("right",), not_applicable=True),
            a_step("3", when="bone is met", after=(("2L", "2R"),)),
            a_step("4", not_applicable=True, domain="asepsis"),
            a_step("5", scored=False),
        ],
        variants=("left", "right"),
        criticals=(
            a_critical("A", "1"),
            a_critical("R", "3", kind=CriticalKind.RECOVERABLE),
            a_critical("T", "4", kind=CriticalKind.TALLY, tally=2),
        ),
        dimensions=(Dimension("touch", "Touch", GRADES[:3]),),
        independence=(Independence(1, "with help"), Independence(2, "alone")),
    )


FORM = whole_form()
step_ids = st.sampled_from([*FORM.step, "9"])
item_ids = st.sampled_from([*FORM.critical, "", "Z"])
reasons = st.sampled_from(["devices are reused", "devices are reused", " "])
signers = st.sampled_from(["", "p-9"])
grades = st.integers(0, 4)


class Gestures(RuleBasedStateMachine):
    @initialize(
        mode=st.sampled_from(Mode),
        variant=st.sampled_from(["", "left", "right"]),
        left_out=st.booleans(),
    )
    def open(self, mode: Mode, variant: str, left_out: bool) -> None:
        departures = (Departure("4", Doing.NOT_TODAY, "no kit", "left"),) if left_out else ()
        profile = Profile(FORM.whole_digest, departures)
        self.log = Log(FORM, mode=mode, profile=profile, variant=variant)

    def attempt(
        self,
        gesture: Callable[Concatenate[Observation, P], Drafts],
        *args: P.args,
        **kwargs: P.kwargs,
    ) -> bool:
        """Try a gesture; whether it was allowed. A refusal says what to do and changes nothing."""
        before, count = self.log.state, len(self.log.events)
        try:
            self.log.do(gesture, *args, **kwargs)
        except Refused as refused:
            changed = self.log.state is not before or len(self.log.events) != count
            if changed or not refused.what or not refused.remedy:
                raise AssertionError(f"not a clean refusal: {refused}") from refused
            return False
        allowed_after_seal = gesture in AMENDMENTS
        assert (before.sealed is not None) is allowed_after_seal
        return True

    @rule(id=step_ids, mark=marks, late=st.sampled_from([None, None, None, -1, 10**9]))
    def mark(self, id: str, mark: Mark, late: int | None) -> None:
        self.attempt(gestures.mark, id, mark, observed_ns=late)

    @rule(mark=marks)
    def mark_in_front(self, mark: Mark) -> None:
        self.attempt(gestures.mark, self.log.state.board.at, mark)

    @rule(id=st.one_of(step_ids, st.just("")))
    def move(self, id: str) -> None:
        self.attempt(gestures.move_to, id)

    @rule()
    def pass_unseen(self) -> None:
        if self.attempt(gestures.pass_unseen):
            board = self.log.state.board
            assert board.at == board.front

    @rule(id=step_ids)
    def claim(self, id: str) -> None:
        self.attempt(gestures.claim_order, id)

    @rule(variant=st.sampled_from(["left", "right", "middle"]))
    def choose_variant(self, variant: str) -> None:
        self.attempt(gestures.choose_variant, variant)

    @rule()
    def take_back_last(self) -> None:
        self.attempt(gestures.take_back)

    @rule(place=st.integers(0, 30))
    def take_back_any(self, place: int) -> None:
        events = self.log.events
        self.attempt(gestures.take_back, events[place % len(events)].id)

    @rule()
    def put_back(self) -> None:
        self.attempt(gestures.put_back)

    @precondition(lambda self: self.log.state.entries)
    @rule(place=st.integers(0, 30))
    def take_back_and_put_back(self, place: int) -> None:
        before = self.log.state
        if self.attempt(gestures.take_back, before.entries[place % len(before.entries)].id):
            assert self.log.state.board != before.board or self.log.state.entries != before.entries
            assert self.attempt(gestures.put_back)
            assert self.log.state == before

    @rule(item=item_ids)
    def record_critical(self, item: str) -> None:
        self.attempt(gestures.record_critical, item)

    def occurrence(self, place: int) -> str:
        known = [one.id for one in self.log.state.occurrences]
        return known[place % len(known)] if known else "d1/999"

    @rule(place=st.integers(0, 5), item=item_ids)
    def name_critical(self, place: int, item: str) -> None:
        self.attempt(gestures.name_critical, self.occurrence(place), item)

    @rule(place=st.integers(0, 5), verdict=st.sampled_from(Verdict), reason=reasons)
    def classify(self, place: int, verdict: Verdict, reason: str) -> None:
        self.attempt(gestures.classify, self.occurrence(place), verdict, reason)

    @rule(id=step_ids, reason=reasons)
    def give_reason(self, id: str, reason: str) -> None:
        self.attempt(gestures.give_reason, id, reason)

    @rule(value=grades)
    def give_overall(self, value: int) -> None:
        self.attempt(gestures.give_overall, value)

    @rule(dimension=st.sampled_from(["touch", "taste"]), value=st.one_of(st.none(), grades))
    def rate_dimension(self, dimension: str, value: int | None) -> None:
        self.attempt(gestures.rate_dimension, dimension, value)

    @rule(level=grades)
    def give_independence(self, level: int) -> None:
        self.attempt(gestures.give_independence, level)

    @rule(items=st.lists(item_ids.filter(bool), max_size=2))
    def attest(self, items: list[str]) -> None:
        self.attempt(gestures.attest_watched, items)

    @rule(
        slot=st.sampled_from([*Slot, "step:1", "step:9", "1", "margin"]),
        text=st.sampled_from(["steady hands", ""]),
    )
    def write(self, slot: str, text: str) -> None:
        if self.attempt(gestures.write, slot, text):
            assert (slot in self.log.state.texts) is bool(text)

    @rule(gesture=st.sampled_from([gestures.start_clock, gestures.pause_clock]))
    def touch_clock(self, gesture: Callable[[Observation], Drafts]) -> None:
        self.attempt(gesture)

    @rule(gesture=st.sampled_from([gestures.stop_for_safety, gestures.go_on]))
    def stop_or_go_on(self, gesture: Callable[[Observation], Drafts]) -> None:
        self.attempt(gesture)

    @rule()
    def call_time(self) -> None:
        if self.attempt(gestures.call_time):
            assert self.log.state.board.front == ""

    @precondition(lambda self: len(self.log.events) > 12)
    @rule(reason=reasons, signer=signers)
    def void(self, reason: str, signer: str) -> None:
        self.attempt(gestures.void, reason, countersigned=signer)

    @rule()
    def seal(self) -> None:
        asked = gestures.missing(self.log.state)
        if self.attempt(gestures.seal):
            assert asked == ()

    @precondition(lambda self: len(self.log.events) > 8 and not self.log.state.sealed)
    @rule()
    def say_all_and_seal(self) -> None:
        """Give what is missing, as far as it can be given, and seal."""
        for occurrence in self.log.state.occurrences:
            self.attempt(gestures.classify, occurrence.id, Verdict.WITHDRAWN, "mistaken")
        for id in self.log.state.marks:
            self.attempt(gestures.give_reason, id, "no kit")
        self.attempt(gestures.choose_variant, "left")
        self.attempt(gestures.go_on)
        self.attempt(gestures.give_overall, 3)
        self.attempt(gestures.write, Slot.STRENGTH, "steady hands")
        self.attempt(gestures.write, Slot.CHANGE, "say it aloud")
        assert self.attempt(gestures.seal)

    @precondition(lambda self: self.log.state.sealed)
    @rule(id=step_ids, mark=marks, reason=reasons, signer=signers)
    def amend_step(self, id: str, mark: Mark, reason: str, signer: str) -> None:
        before = self.log.state.mark(id)
        if self.attempt(gestures.amend_step, id, mark, reason=reason, countersigned=signer):
            assert self.log.state.mark(id) == mark != before
            assert before != NOT_SEEN or signer

    @precondition(lambda self: self.log.state.sealed)
    @rule(place=st.integers(-1, 3), verdict=st.sampled_from(Verdict), item=item_ids, reason=reasons)
    def amend_occurrence(self, place: int, verdict: Verdict, item: str, reason: str) -> None:
        id = "" if place < 0 else self.occurrence(place)
        count = len(self.log.state.occurrences)
        if self.attempt(gestures.amend_occurrence, id, verdict, reason=reason, item=item):
            assert len(self.log.state.occurrences) == count + (place < 0)
            assert verdict in {one.verdict for one in self.log.state.occurrences}

    @precondition(lambda self: self.log.state.sealed)
    @rule(value=grades, reason=reasons)
    def amend_grades(self, value: int, reason: str) -> None:
        if self.attempt(gestures.amend_overall, value, reason=reason):
            assert self.log.state.overall == value
        if self.attempt(gestures.amend_dimension, "touch", value, reason=reason):
            assert self.log.state.dimensions["touch"] == value

    @precondition(lambda self: self.log.state.sealed)
    @rule(kind=st.sampled_from(["mark-set", "taken-back", "clock-started", "sealed", "voided"]))
    def write_after_the_seal(self, kind: str) -> None:
        """What some other program writes after the seal counts for nothing."""
        bodies: dict[str, dict[str, Any]] = {
            "mark-set": {"step": "1", "mark": {"state": "done"}},
            "taken-back": {"events": [one.id for one in self.log.state.entries]},
        }
        before = self.log.state
        self.log.append(Draft(kind, bodies.get(kind, {})))
        assert self.log.state == before

    @rule(observation=st.sampled_from(["o-2", ""]))
    def another_observation(self, observation: str) -> None:
        """Events of other observations, between ours, change nothing."""
        draft = Draft("mark-set", {"step": "1", "mark": {"state": "incorrect"}})
        event = self.log.event(draft, observation=observation)
        self.log.events.append(event)
        assert step(self.log.state, event) is self.log.state

    @precondition(lambda self: len(self.log.events) > 20)
    @rule(change=st.sampled_from([{"kind": "mark-dreamed"}, {"version": 99}]))
    def newer_event(self, change: dict[str, object]) -> None:
        before = self.log.state
        draft = Draft("mark-set", {"step": "1", "mark": {"state": "done"}})
        event = replace(self.log.event(draft), **change)  # type: ignore[arg-type] # each is typed
        self.log.events.append(event)
        self.log.state = step(self.log.state, event)
        assert self.log.state == replace(before, newer=(*before.newer, event.id))

    @rule(seconds=st.integers(-20, 60), boot=st.sampled_from(["boot-1", "boot-2"]))
    def time_passes(self, seconds: int, boot: str) -> None:
        """Clocks jump, also backwards, and the machine is started again."""
        spent = self.log.state.clock.elapsed_ns(self.log.stamp())
        assert spent >= 0
        self.log.second = max(0, self.log.second + seconds)
        self.log.boot = boot

    @invariant()
    def live_state_is_the_fold_of_the_whole_log(self) -> None:
        assert self.log.state == self.log.refolded()

    @invariant()
    def so_is_the_log_written_and_read_back(self) -> None:
        assert self.log.state == self.log.reread()

    @invariant()
    def learner_is_at_a_step_in_play_or_past_the_end(self) -> None:
        state = self.log.state
        assert {state.board.front, state.board.at} <= {*state.marks, ""}

    @invariant()
    def a_sealed_observation_lacks_nothing(self) -> None:
        state = self.log.state
        if state.sealed:
            assert not state.clock.is_running
            assert state.void or state.amendments or gestures.missing(state) == ()

    @invariant()
    def a_decision_can_always_be_computed(self) -> None:
        shown = evidence(self.log.state, APPROVED)
        decision = decide(shown)
        none = self.log.state.void or shown.mode is Mode.PRACTICE
        assert (decision.outcome is None) is bool(none)
        assert decision.outcome is not Outcome.PASS or not self.log.state.newer
        assert (settling(shown, decision) is None) is (decision.outcome is not Outcome.UNDECIDED)


Gestures.TestCase.settings = settings(max_examples=60, stateful_step_count=40)
