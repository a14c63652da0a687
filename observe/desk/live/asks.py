"""What the well asks, and when: the name of a critical event, its verdict, how an attempt ended."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from observe.desk.live import reading
from observe.desk.live.model import LiveModel
from observe.desk.live.panels import AskPanel, Choice
from observe.desk.live.shield import is_up
from observe.domain import gestures
from observe.domain.board import Occurrence, Verdict
from observe.domain.form import CriticalKind
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.look.tokens import Token

VOID_REASONS = ("The trainer broke", "The learner is unwell", "Alarm, or the room was needed")

VERDICT_WORDS = {
    Verdict.FATAL: ("It went on", "nobody put it right: fatal"),
    Verdict.RECOVERED: ("Noticed and put right", "by the learner, unprompted"),
    Verdict.AVERTED: ("A hand stopped it", "averted"),
    Verdict.COUNTED: ("Counted", "it adds up"),
    Verdict.WITHDRAWN: ("It was none", "withdrawn, with a reason"),
}


class Asks:
    """Chooses what a well asks of one learner; remembers what was put off until later."""

    def __init__(self, model: LiveModel, panel: AskPanel, rate: Callable[[int], None]) -> None:
        self.model, self.panel, self._rate = model, panel, rate
        self.seat = 0
        self._later: set[str] = set()
        self._judging = ""
        self._ending = False

    def show_for(self, seat: int) -> bool:
        """Ask what is open for a seat; False if nothing is asked now."""
        if seat != self.seat:
            self._put_off(self.model.state(self.seat))
            self.seat = seat
        state = self.model.state(seat)
        if state.sealed or state.void or self.model.trouble is not None:
            self.panel.hide()
            return False
        asked = self._ask(state)
        if not asked:
            self.panel.hide()
        return asked

    def end(self) -> None:
        """Ask how the attempt ended after a stop."""
        self._ending = True
        self.show_for(self.seat)

    def close(self) -> None:
        """Put off what is asked now; it is asked again before sealing."""
        self._put_off(self.model.state(self.seat))
        self.model.changed.emit(self.seat)

    def stop(self) -> None:
        """Stop the attempt for safety; what is asked now is put off (rule M6)."""
        self._put_off(self.model.state(self.seat))
        self.model.do(self.seat, gestures.stop_for_safety)

    def _stopping(self, state: Observation) -> tuple[Choice, ...]:
        """The way to stop for safety, while the attempt goes on."""
        if state.stopped:
            return ()
        return (Choice("Stop for safety", "", self.stop, Token.INK),)

    def _put_off(self, state: Observation) -> None:
        self._later.update(one.id for one in reading.unnamed(state))
        self._judging, self._ending = "", False

    def _ask(self, state: Observation) -> bool:
        if self._ending:
            self._ask_ending()
            return True
        if is_up(self.model):
            return False  # what is asked says what was marked
        open_ones = [one for one in reading.unnamed(state) if one.id not in self._later]
        if open_ones:
            self._ask_name(state, open_ones[-1])
            return True
        judged = [one for one in reading.recorded(state) if one.id == self._judging]
        if judged and judged[0].verdict is None:
            self._ask_verdict(state, judged[0])
            return True
        return False

    def _ask_name(self, state: Observation, one: Occurrence) -> None:
        choices = [
            Choice(
                item.label,
                f"C{place}",
                partial(self._name, one, item.id),
                Token.CRIT,
            )
            for place, item in enumerate(state.ground.form.criticals, start=1)
        ]
        self.panel.ask(
            f"Critical at {clock(one.elapsed_ns)}: which one? The time is kept.",
            choices,
            (
                Choice("Name it later", "carry on marking", self.close),
                Choice("Take back", "it was not critical", lambda: self._take_back(one)),
                *self._stopping(state),
            ),
        )

    def _name(self, one: Occurrence, item: str) -> None:
        kind = self.model.state(self.seat).ground.form.critical[item].kind
        self._judging = "" if kind is CriticalKind.TALLY else one.id
        self.model.do(self.seat, gestures.name_critical, one.id, item)

    def _take_back(self, one: Occurrence) -> None:
        self.model.do(self.seat, gestures.take_back, one.id)

    def _ask_verdict(self, state: Observation, one: Occurrence) -> None:
        offered = [
            verdict
            for verdict in gestures.offered_verdicts(state, one.item)
            if verdict is not Verdict.WITHDRAWN
        ]
        choices = [
            Choice(
                *VERDICT_WORDS[verdict],
                partial(self._classify, one, verdict),
                Token.CRIT,
            )
            for verdict in offered
        ]
        label = state.ground.form.critical[one.item].label
        self.panel.ask(
            f"{label}: what became of it?",
            choices,
            (
                Choice("Decide later", "carry on marking", self.close),
                *self._stopping(state),
            ),
        )

    def _classify(self, one: Occurrence, verdict: Verdict) -> None:
        self._judging = ""
        self.model.do(self.seat, gestures.classify, one.id, verdict)

    def _ask_ending(self) -> None:
        choices = [
            Choice(
                "What the learner did", "name it, rate and seal", self._end_by_learner, Token.CRIT
            ),
            *(
                Choice(
                    reason,
                    "void: no attempt",
                    partial(self._void, reason),
                )
                for reason in VOID_REASONS
            ),
        ]
        self.panel.ask(
            "Why did the attempt end?",
            choices,
            (Choice("Back", "it has not ended", self.close),),
        )

    def _end_by_learner(self) -> None:
        """The learner's act ended it: that is a critical event, and then the rating (rule M6)."""
        self._ending = False
        state = self.model.state(self.seat)
        if not reading.recorded(state):
            self.model.critical(self.seat)
            return
        self._rate(self.seat)

    def _void(self, reason: str) -> None:
        self._ending = False
        self.model.do(self.seat, gestures.void, reason)
