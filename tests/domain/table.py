"""Several learners of one observer in one log, and any run of deeds across them (rule E3).

What holds after each: every live state is the fold of the whole log; what is sealed does
not change; a mark is in force in one place at the most, wherever it was moved.
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Concatenate, ParamSpec

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from observe.domain import gestures
from observe.domain.board import Entry, Ground, Verdict
from observe.domain.events import Draft, Event
from observe.domain.form import Form, Mode
from observe.domain.gestures import Drafts, Part
from observe.domain.gestures.moving import home_of, with_homecoming
from observe.domain.marks import NOT_SEEN, Mark
from observe.domain.observation import Observation, Slot, fold, step
from observe.domain.profile import Profile
from observe.domain.troubles import Refused
from tests.domain.builders import Log, read_back
from tests.domain.machine import FORM, item_ids, step_ids
from tests.domain.strategies import marks

P = ParamSpec("P")


class Table:
    """Observations "o-1", "o-2" and so on in one log; every gesture takes a second."""

    def __init__(
        self,
        form: Form,
        *,
        mode: Mode = Mode.FORMATIVE,
        profile: Profile | None = None,
        variants: Sequence[str] = ("", "", ""),
    ) -> None:
        self.log = Log(form, mode=mode, profile=profile)
        self.ground: Ground = self.log.ground
        self.events: list[Event] = self.log.events
        self.events.clear()
        self.states: dict[str, Observation] = {}
        for number, variant in enumerate(variants, start=1):
            body = {"learner": f"l-{number}", "variant": variant, "role": "faculty"}
            event = self._placed(Draft("observation-opened", body, observation=f"o-{number}"), 0)
            self.states[f"o-{number}"] = fold([event], self.ground)

    def _placed(self, draft: Draft, part: int) -> Event:
        event = self.log.event(draft, part=part, observation=draft.observation)
        self.events.append(event)
        return event

    def __getitem__(self, id: str) -> Observation:
        return self.states[id]

    def write(self, drafts: Sequence[Draft]) -> None:
        """Keep the drafts of one gesture, each in the observation that it names."""
        self.log.second += 1
        self.log.gesture += 1
        for part, draft in enumerate(drafts):
            event = self._placed(draft, part)
            self.states[event.observation] = step(self.states[event.observation], event)

    def do(
        self,
        id: str,
        gesture: Callable[Concatenate[Observation, P], Drafts],
        *args: P.args,
        **kwargs: P.kwargs,
    ) -> None:
        """One gesture for one learner, with what it does to the others."""
        drafts = with_homecoming(gesture(self[id], *args, **kwargs), self[id], self.states)
        self.write([replace(one, observation=one.observation or id) for one in drafts])

    def move(self, source: str, target: str, count: int = 1, **more: Any) -> None:  # noqa: ANN401 - as the gesture takes it
        entries = gestures.last_marks(self[source], count)
        named = [entry.id for entry in entries]
        self.write(gestures.move(self[source], self[target], named, **more))

    def together(self, step_id: str, mark: Mark, **exceptions: Any) -> None:  # noqa: ANN401 - as the gesture takes it
        states = self.states.values()
        found = gestures.shares(states, step_id, mark, **exceptions)
        drafts = gestures.mark_together(states, found, step_id, mark)
        self.write([replace(one, observation=id) for id, parts in drafts.items() for one in parts])

    def refolded(self) -> Mapping[str, Observation]:
        """Every state, folded anew from the whole log, read back from canonical JSON."""
        read = [read_back(event) for event in self.events]
        return {id: fold([e for e in read if e.observation == id], self.ground) for id in self}

    def __iter__(self) -> Any:  # noqa: ANN401 - an iterator over ids
        return iter(self.states)

    def root(self, entry: Entry) -> str:
        """The event that an entry was first, before it was moved."""
        known = {event.id: event for event in self.events}
        id = entry.id
        while "from" in known[id].body and known[id].kind in ("mark-set", "critical-recorded"):
            id = known[id].body["from"]
        return id

    def roots(self) -> Counter[str]:
        """How often each mark and critical event is in force, over all learners."""
        return Counter(
            self.root(entry)
            for state in self.states.values()
            for entry in state.entries
            if entry.kind in ("mark-set", "critical-recorded")
        )


ids = st.sampled_from(["o-1", "o-2", "o-3"])


class Across(RuleBasedStateMachine):
    @initialize(
        mode=st.sampled_from([Mode.FORMATIVE, Mode.SUMMATIVE]),
        variants=st.sampled_from([("left", "left", "right"), ("left", "", "left")]),
    )
    def open(self, mode: Mode, variants: Sequence[str]) -> None:
        self.table = Table(FORM, mode=mode, variants=variants)

    def attempt(self, deed: Callable[[], None], *touched: str) -> bool:
        """Try a deed; a refusal changes nothing, and only those touched ever change."""
        before, count = dict(self.table.states), len(self.table.events)
        try:
            deed()
        except Refused as refused:
            if len(self.table.events) != count or not refused.remedy:
                raise AssertionError(f"not a clean refusal: {refused}") from refused
            touched = ()
        for id, state in self.table.states.items():
            assert state is before[id] or (id in touched and not before[id].sealed)
        return bool(touched)

    def homes(self, id: str, entries: tuple[Entry, ...]) -> tuple[str, ...]:
        home = home_of(self.table[id], entries, self.table.states)
        return (id, home.id) if home else (id,)

    @rule(id=ids, step_id=step_ids, mark=marks)
    def mark(self, id: str, step_id: str, mark: Mark) -> None:
        self.attempt(lambda: self.table.do(id, gestures.mark, step_id, mark), id)

    @rule(id=ids, mark=marks)
    def mark_in_front(self, id: str, mark: Mark) -> None:
        front = self.table[id].board.at
        self.attempt(lambda: self.table.do(id, gestures.mark, front, mark), id)

    @rule(id=ids, step_id=step_ids)
    def claim(self, id: str, step_id: str) -> None:
        self.attempt(lambda: self.table.do(id, gestures.claim_order, step_id), id)

    @rule(id=ids, item=item_ids, verdict=st.sampled_from([None, *Verdict]))
    def critical(self, id: str, item: str, verdict: Verdict | None) -> None:
        if not self.attempt(lambda: self.table.do(id, gestures.record_critical, item), id):
            return
        one = self.table[id].occurrences[-1].id
        if verdict is not None:
            self.attempt(lambda: self.table.do(id, gestures.classify, one, verdict, "why"), id)

    @rule(id=ids, variant=st.sampled_from(["left", "right"]))
    def choose_variant(self, id: str, variant: str) -> None:
        self.attempt(lambda: self.table.do(id, gestures.choose_variant, variant), id)

    @rule(id=ids, gesture=st.sampled_from([gestures.pause_clock, gestures.start_clock]))
    def turn_clock(self, id: str, gesture: Callable[[Observation], Drafts]) -> None:
        self.attempt(lambda: self.table.do(id, gesture), id)

    @rule(id=ids)
    def look(self, id: str) -> None:
        before = self.table[id]
        if self.attempt(lambda: self.table.do(id, gestures.look), id):
            after = self.table[id]
            assert len(after.looks) == len(before.looks) + 1
            assert (after.entries, after.undone) == (before.entries, before.undone)

    @rule(home=ids, away=ids, count=st.integers(1, 3))
    def move(self, home: str, away: str, count: int) -> None:
        before, roots = dict(self.table.states), self.table.roots()
        if not self.attempt(lambda: self.table.move(home, away, count), home, away):
            return
        assert self.table.roots() == roots
        known = {one.id for one in before[away].entries}
        moved = [one for one in self.table[away].entries if one.id not in known]
        assert moved
        for entry in moved:
            assert entry.source == home
            assert 0 <= entry.observed_ns <= entry.elapsed_ns

    @rule(home=ids, away=ids)
    def move_there_and_take_back(self, home: str, away: str) -> None:
        """E3: to take a moved mark back is to move it back, as if it had not been moved."""
        before = dict(self.table.states)
        if self.attempt(lambda: self.table.move(home, away), home, away):
            self.table.do(away, gestures.take_back)
            assert self.table[home].board == before[home].board
            assert self.table[home].entries == before[home].entries
            assert self.table[away].board == before[away].board

    @rule(id=ids, place=st.one_of(st.none(), st.integers(0, 20)))
    def take_back(self, id: str, place: int | None) -> None:
        entries = self.table[id].entries
        event = entries[place % len(entries)].id if entries and place is not None else None
        group = self.table[id].gesture_of(event or (entries[-1].id if entries else ""))
        touched = self.homes(id, group)
        self.attempt(lambda: self.table.do(id, gestures.take_back, event), *touched)

    @rule(id=ids)
    def put_back(self, id: str) -> None:
        self.attempt(lambda: self.table.do(id, gestures.put_back), id)

    @rule(
        step_id=step_ids,
        mark=marks,
        taken_in=st.lists(ids, max_size=1),
        left_out=st.lists(ids, max_size=1),
    )
    def together(self, step_id: str, mark: Mark, taken_in: list[str], left_out: list[str]) -> None:
        before = dict(self.table.states)
        exceptions: dict[str, Any] = {"taken_in": taken_in, "left_out": left_out}
        parts = {
            one.observation: one.part
            for one in gestures.shares(before.values(), step_id, mark, **exceptions)
        }
        taking = [id for id, part in parts.items() if part is Part.TAKEN_IN]
        done = self.attempt(lambda: self.table.together(step_id, mark, **exceptions), *taking)
        assert done is bool(taking)
        for id in taking:
            assert before[id].mark(step_id) == NOT_SEEN
            assert self.table[id].mark(step_id) == mark

    @rule(id=ids)
    def say_all_and_seal(self, id: str) -> None:
        if len(self.table[id].entries) < 4 or self.table[id].sealed:
            return
        for occurrence in self.table[id].occurrences:
            self.table.do(id, gestures.classify, occurrence.id, Verdict.WITHDRAWN, "mistaken")
        if not self.table[id].board.variant:
            self.table.do(id, gestures.choose_variant, "left")
        for step_id in self.table[id].marks:
            self.table.do(id, gestures.give_reason, step_id, "no kit")
        self.table.do(id, gestures.give_overall, 3)
        self.table.do(id, gestures.write, Slot.STRENGTH, "steady hands")
        self.table.do(id, gestures.write, Slot.CHANGE, "say it aloud")
        self.table.do(id, gestures.seal)
        assert self.table[id].sealed

    @invariant()
    def every_live_state_is_the_fold_of_the_whole_log(self) -> None:
        assert dict(self.table.states) == self.table.refolded()

    @invariant()
    def no_mark_is_in_force_twice(self) -> None:
        assert all(count == 1 for count in self.table.roots().values())


Across.TestCase.settings = settings(max_examples=25, stateful_step_count=30)
