"""Small forms, evidence and observations for tests."""

import json
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any, Concatenate, ParamSpec

from observe.domain import gestures
from observe.domain.board import Ground, Verdict
from observe.domain.canonical import canonical
from observe.domain.events import FIRST, Draft, Event, Stamp, commitment, content, sealed_event
from observe.domain.form import (
    Critical,
    Domain,
    Form,
    Grade,
    Mode,
    Overall,
    Phase,
    Rule,
    Step,
    Variant,
)
from observe.domain.gestures import Drafts
from observe.domain.marks import DONE, NOT_DONE, NOT_SEEN, Mark
from observe.domain.observation import Observation, Slot, fold, step
from observe.domain.profile import Profile
from observe.domain.scoring import Cut, Evidence

P = ParamSpec("P")

LETTERS = {"d": DONE, "n": NOT_DONE, ".": NOT_SEEN}
APPROVED = Cut(Fraction(4, 5), "approved standard")
GRADES = tuple(Grade(value, f"grade {value}", "") for value in range(1, 6))
BASE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def a_step(id: str, *, weight: Fraction | int = 1, domain: str = "hands", **more: Any) -> Step:  # noqa: ANN401 - any field of it
    return Step(id, "all", f"Step {id}", "seen", domain, weight=Fraction(weight), **more)


def steps(count: int, **more: Any) -> tuple[Step, ...]:  # noqa: ANN401 - any field of it
    """Steps "1" to "count", alike."""
    return tuple(a_step(str(number), **more) for number in range(1, count + 1))


def a_critical(id: str, *watch: str, **more: Any) -> Critical:  # noqa: ANN401 - any field of it
    return Critical(id, f"Item {id}", "definition", "recognise", "harm", watch, **more)


def a_form(made_of: Sequence[Step], *, variants: Sequence[str] = (), **more: Any) -> Form:  # noqa: ANN401 - any field of it
    """A form of some steps; domains are those of the steps."""
    domains = dict.fromkeys(one.domain for one in made_of)
    whole: dict[str, Any] = {
        "id": "FORM",
        "version": "1",
        "title": "A procedure",
        "short": "Procedure",
        "purpose": "Tests.",
        "cautions": (),
        "variants": tuple(Variant(id, id) for id in variants),
        "domains": tuple(Domain(id, id) for id in domains),
        "phases": (Phase("all", "All"),),
        "steps": tuple(made_of),
        "criticals": (),
        "overall": Overall("Overall grade", GRADES, 3),
        "rule": Rule(),
    }
    return Form(**{**whole, **more})


def seen(form: Form, marks: Mapping[str, Mark] | str, **more: Any) -> Evidence:  # noqa: ANN401 - any field of it
    """Evidence on all steps of a form; summative with an approved cut of 80 % unless said.

    marks: step id to mark, others not seen; or how the form's steps stand in
    turn, one letter each: d done, n not done, . not seen.
    """
    if isinstance(marks, str):
        marks = {one.id: LETTERS[letter] for one, letter in zip(form.steps, marks, strict=True)}
    whole: dict[str, Any] = {
        "form": form,
        "mode": Mode.SUMMATIVE,
        "steps": form.steps,
        "marks": {one.id: marks.get(one.id, NOT_SEEN) for one in form.steps},
        "cut": APPROVED,
        "verdicts": {},
    }
    return Evidence(**{**whole, **more})


class Log:
    """One observation with its log in memory; every gesture takes a second.

    state is stepped event by event; `refolded` folds the whole log anew.
    """

    def __init__(
        self,
        form: Form,
        *,
        mode: Mode = Mode.FORMATIVE,
        profile: Profile | None = None,
        variant: str = "",
    ) -> None:
        self.ground = Ground(form, profile or Profile(form.whole_digest), mode)
        self.second = 0
        self.boot = "boot-1"
        self.gesture = 0
        body = {"learner": "l-1", "variant": variant, "role": "faculty"}
        self.events = [self.event(Draft("observation-opened", body))]
        self.state = fold(self.events, self.ground)

    def stamp(self) -> Stamp:
        at = (BASE + timedelta(seconds=self.second)).isoformat(timespec="milliseconds")
        return Stamp(at, self.second * 10**9, self.boot)

    def event(
        self,
        draft: Draft,
        *,
        part: int = 0,
        observation: str = "o-1",
        place: tuple[int, str] | None = None,
    ) -> Event:
        """The event a draft becomes; it is not yet part of the log."""
        known = getattr(self, "events", [])
        seq, prev = place or (len(known) + 1, known[-1].hash if known else FIRST)
        return sealed_event(
            Draft(draft.kind, draft.body, "w-1", "a-1", observation, "p-1", draft.texts),
            device="d1",
            seq=seq,
            prev=prev,
            gesture=f"g-{self.gesture}",
            part=part,
            stamp=self.stamp(),
            commitments={field: commitment(text, "salt") for field, text in draft.texts.items()},
        )

    def append(self, draft: Draft, *, part: int = 0) -> Event:
        event = self.event(draft, part=part)
        self.events.append(event)
        self.state = step(self.state, event)
        return event

    def do(
        self,
        gesture: Callable[Concatenate[Observation, P], Drafts],
        *args: P.args,
        **kwargs: P.kwargs,
    ) -> tuple[Event, ...]:
        """One gesture; raises Refused as the gesture does, and then nothing has changed."""
        drafts = gesture(self.state, *args, **kwargs)
        self.second += 1
        self.gesture += 1
        return tuple(self.append(draft, part=part) for part, draft in enumerate(drafts))

    def do_dry(
        self,
        gesture: Callable[Concatenate[Observation, P], Drafts],
        *args: P.args,
        **kwargs: P.kwargs,
    ) -> Drafts:
        """What a gesture would write; nothing is written."""
        return gesture(self.state, *args, **kwargs)

    def mark(self, *step_ids: str, mark: Mark = DONE) -> None:
        for id in step_ids:
            self.do(gestures.mark, id, mark)

    def occur(self, item: str, verdict: Verdict | None = None, reason: str = "why") -> str:
        """Record a critical item, classify it if a verdict is given; the occurrence's id."""
        event = self.do(gestures.record_critical, item)[-1]
        if verdict is not None:
            self.do(gestures.classify, event.id, verdict, reason)
        return event.id

    def seal(self) -> None:
        """Say what is asked of every observation, and seal it."""
        self.do(gestures.give_overall, 3)
        self.do(gestures.write, Slot.STRENGTH, "steady hands")
        self.do(gestures.write, Slot.CHANGE, "say it aloud")
        self.do(gestures.seal)

    def refolded(self) -> Observation:
        return fold(self.events, self.ground)

    def reread(self) -> Observation:
        """The fold of the log written as canonical JSON and read back."""
        return fold([read_back(event) for event in self.events], self.ground)


def read_back(event: Event) -> Event:
    """An event written as canonical JSON and read back."""
    kept = json.loads(canonical({**content(event), "hash": event.hash}))
    stamp = Stamp(kept.pop("at"), int(kept.pop("monotonic")), kept.pop("boot"))
    return Event(**kept, stamp=stamp)
