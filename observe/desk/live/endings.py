"""How an attempt ended, asked in the well: the learner's act, or void, with who countersigns."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import Enum, auto
from functools import partial

from observe.desk.live.model import LiveModel
from observe.desk.live.panels import AskPanel, Choice
from observe.desk.live.time_limit import unreached
from observe.desk.live.typed_reason import Typing
from observe.domain import gestures
from observe.domain.form import Mode
from observe.domain.observation import Observation
from observe.domain.words import counted
from observe.look.tokens import Token

VOID_REASONS = ("The trainer broke", "The learner is unwell", "Alarm, or the room was needed")
VOID_SLOT = "why:void"
SHOWN_OF_REASON = 60
"""Letters of a reason that are repeated in the question who signs."""


class Stage(Enum):
    """What is asked of an ending."""

    WHY = auto()
    WHO_SIGNS = auto()
    TIME = auto()


class Endings:
    """Asks why an attempt ended and who countersigns (rule M6), and what time-out does (rule M4).

    stage: what is asked now, or None. typing: asks for a reason in words. by_learner:
    goes on where the learner's act ended it. close: puts off what is asked.
    """

    def __init__(
        self,
        model: LiveModel,
        panel: AskPanel,
        typing: Callable[[Typing], None],
        by_learner: Callable[[], None],
        close: Callable[[], None],
    ) -> None:
        self.model, self.panel = model, panel
        self._typing, self._by_learner, self._close = typing, by_learner, close
        self.stage: Stage | None = None
        self._left_open: set[str] = set()

    def ask(self, seat: int) -> bool:
        """Ask what is open; False if nothing is."""
        state = self.model.state(seat)
        if self.stage is Stage.WHY:
            self._ask_why(seat)
        elif self.stage is Stage.WHO_SIGNS:
            self._ask_who_signs(seat, state)
        elif self.stage is Stage.TIME:
            self._ask_time(seat, state)
        return self.stage is not None

    # void

    def draft(self, seat: int) -> str:
        """The reason of a void that was said and is not given yet."""
        return self.model.drafts.get((seat, VOID_SLOT), "")

    def _ask_why(self, seat: int) -> None:
        kept = self.draft(seat).strip()
        choices = [
            Choice("What the learner did", "name it, rate and seal", self._by_learner, Token.CRIT),
            *(
                Choice(
                    reason,
                    "said before: not given yet" if reason == kept else "void: no attempt",
                    partial(self.void, seat, reason),
                )
                for reason in VOID_REASONS
            ),
            Choice(
                "Something else …",
                "what you typed is kept" if kept not in ("", *VOID_REASONS) else "void: say what",
                partial(self._type, seat),
            ),
        ]
        back = Choice("Back", "it has not ended", self._close)
        self.panel.ask("Why did the attempt end?", choices, (back,))

    def _type(self, seat: int) -> None:
        is_signed = self.model.state(seat).ground.mode is Mode.SUMMATIVE
        words = "Go on: who countersigns?" if is_signed else "Void: it is no attempt"
        give = partial(self.void, seat)
        self._typing(Typing("What ended the attempt?", VOID_SLOT, words, give))

    def void(self, seat: int, reason: str) -> None:
        """Void an attempt; in summative mode ask first who countersigns (rule M6)."""
        self.model.drafts[seat, VOID_SLOT] = reason
        if self.model.state(seat).ground.mode is Mode.SUMMATIVE:
            self.stage = Stage.WHO_SIGNS
            self.model.changed.emit(seat)
            return
        self._void(self.model.state(seat).id, reason, "")

    def _void(self, observation: str, reason: str, person: str) -> None:
        seat = self.model.seat_of(observation)
        self.stage = None
        if self.model.do(seat, gestures.void, reason, countersigned=person) is not None:
            self.model.drafts.pop((seat, VOID_SLOT), None)

    def _ask_who_signs(self, seat: int, state: Observation) -> None:
        reason = self.draft(seat).strip()
        shown = (
            reason if len(reason) <= SHOWN_OF_REASON else f"{reason[:SHOWN_OF_REASON].strip()} …"
        )
        people = countersigners(self.model, state)
        choices = [
            Choice(
                self.model.room.name(person),
                "countersigns the void",
                partial(self.model.confirm, person, partial(self._void, state.id, reason, person)),
            )
            for person in people
        ]
        question = f"Void: “{shown}”. A summative void needs a second signature: whose?"
        if not people:
            question = (
                f"“{shown}” is kept, and the attempt stays stopped: a summative void needs a "
                "second observer. Ask for one to be planned, then press End attempt."
            )
        again = Choice("Another reason", "what was said is kept", partial(self._to_why, seat))
        later = Choice("Not now", "stays stopped; asked before sealing", self._close)
        self.panel.ask(question, choices, (later, again))

    def _to_why(self, seat: int) -> None:
        self.stage = Stage.WHY
        self.model.changed.emit(seat)

    # time

    def is_time_open(self, state: Observation) -> bool:
        """Whether nobody said yet what becomes of the steps left at time-out."""
        return state.id not in self._left_open

    def ask_time(self, seat: int) -> None:
        """Ask in the panel, where the well has no room for both answers."""
        self.stage = Stage.TIME
        self.model.changed.emit(seat)

    def _ask_time(self, seat: int, state: Observation) -> None:
        left = counted(unreached(state), "step")
        choices = (
            Choice(f"{left} become not done", "Take back undoes it", partial(self.call, seat)),
            Choice("Go on", "they stay not seen", partial(self.leave_open, seat)),
        )
        later = Choice("Decide later", "carry on marking", self._close)
        self.panel.ask("Time is up. What becomes of the steps left?", choices, (later,))

    def call(self, seat: int) -> None:
        """Turn what was not reached into not done (rule M4)."""
        self.stage = None
        self.model.do(seat, gestures.call_time)

    def leave_open(self, seat: int) -> None:
        """Leave it not seen; it is not asked again."""
        self.stage = None
        self._left_open.add(self.model.state(seat).id)
        self.model.changed.emit(seat)


def countersigners(model: LiveModel, state: Observation) -> Sequence[str]:
    """Who may sign a void as the second, by id: observers of the workshop who are not in it."""
    mine = {state.observer, state.learner, model.room.observer, *state.typists}
    return tuple(one for one in model.workshop.observers if one not in mine)
