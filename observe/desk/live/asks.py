"""What the well asks, and when: the name of a critical event, its verdict, reasons in words."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from observe.desk.live import reading
from observe.desk.live.endings import VOID_REASONS, Endings, Stage
from observe.desk.live.model import LiveModel
from observe.desk.live.panels import AskPanel, Choice
from observe.desk.live.shield import is_up
from observe.desk.live.typed_reason import TypedReason, Typing
from observe.domain import gestures
from observe.domain.board import Occurrence, Verdict
from observe.domain.form import CriticalKind
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.look.tokens import Token

__all__ = ["VERDICT_WORDS", "VOID_REASONS", "WITHDRAW_REASONS", "Asks"]

WITHDRAW_REASONS = ("Pressed by mistake", "Wrong learner", "On second thought it did no harm")

VERDICT_WORDS = {
    Verdict.FATAL: ("It went on", "nobody put it right: fatal"),
    Verdict.RECOVERED: ("Noticed and put right", "by the learner, unprompted"),
    Verdict.AVERTED: ("A hand stopped it", "averted"),
    Verdict.COUNTED: ("Counted", "it adds up"),
    Verdict.WITHDRAWN: ("It was none", "withdraw it, with a reason"),
}


class Asks:
    """Chooses what a well asks of one learner; remembers what was put off until later."""

    def __init__(
        self,
        model: LiveModel,
        panel: AskPanel,
        typed: TypedReason,
        rate: Callable[[int], None],
    ) -> None:
        self.model, self.panel, self.typed, self._rate = model, panel, typed, rate
        self.endings = Endings(model, panel, self._type, self._end_by_learner, self.close)
        self.seat = 0
        self._later: set[str] = set()
        self._left_open: dict[int, frozenset[str]] = {}
        self._judging = ""
        self._withdrawing = False
        self._typing: Typing | None = None
        self._shown: tuple[str, str] = ("", "")
        panel.lets = lambda: model.lets_answer(self.seat)

    @property
    def is_open(self) -> bool:
        """Whether something is asked now."""
        return not (self.panel.isHidden() and self.typed.isHidden())

    def show_for(self, seat: int) -> bool:
        """Ask what is open for a seat; False if nothing is asked now."""
        if seat != self.seat:
            self._put_off(self.model.state(self.seat))
            self.seat = seat
        state = self.model.state(seat)
        self._left_open.setdefault(seat, _unjudged(state))
        closed = state.sealed or state.void or self.model.trouble is not None
        asked = not closed and self._ask(state)
        if not asked or self._typing is not None:
            self.panel.hide()
        if not asked or self._typing is None:
            self.typed.hide()
        self._settle(state, asked=asked)
        return asked

    def _settle(self, state: Observation, *, asked: bool) -> None:
        """Where other keys come under the finger, its second tap does nothing."""
        what = self.panel.question if not self.panel.isHidden() else ""
        shown = (state.id, what if asked else "")
        if shown[1] != self._shown[1] and self._shown[0] in ("", state.id):
            self.model.settle(self.seat)
        self._shown = shown

    def end(self) -> None:
        """Ask how the attempt ended after a stop."""
        self.endings.stage = Stage.WHY
        self.show_for(self.seat)

    def close(self) -> None:
        """Put off what is asked now; it is asked again before sealing. Esc goes back first."""
        if self._typing is not None:
            self._typing = None
        else:
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
        self._later.update(_unjudged(state))
        self._judging, self._withdrawing = "", False
        self._typing, self.endings.stage = None, None

    def _ask(self, state: Observation) -> bool:
        if self._typing is not None:
            self._ask_typed(self._typing)
            return True
        if self.endings.ask(self.seat):
            return True
        if is_up(self.model):
            return False  # what is asked says what was marked
        open_ones = [one for one in reading.unnamed(state) if one.id not in self._later]
        if open_ones:
            self._ask_name(state, open_ones[-1])
            return True
        judged = [one for one in reading.recorded(state) if self._is_judged(one)]
        if judged:
            if self._withdrawing:
                self._ask_withdrawal(state, judged[0])
            else:
                self._ask_verdict(state, judged[0])
        return bool(judged)

    def _is_judged(self, one: Occurrence) -> bool:
        """Whether it is asked what became of it: just named, or left open at the last start."""
        if one.verdict is not None:
            return False
        return one.id == self._judging or one.id in self._left_open[self.seat] - self._later

    # reasons in words

    def explain_aside(self, step: str, picks: tuple[str, ...] = ()) -> None:
        """Ask in words why a step is not applicable. picks: reasons without a key of their own."""
        number = self.model.state(self.seat).numbers[step]
        give = partial(self.give_reason, step)
        question = f"Why is step {number} not applicable?"
        self._type(Typing(question, f"why:{step}", "Give this reason", give, picks))

    def give_reason(self, step: str, reason: str) -> None:
        """Say why a step is not applicable."""
        if self.model.do(self.seat, gestures.give_reason, step, reason) is not None:
            self.model.drafts.pop((self.seat, f"why:{step}"), None)

    def _type(self, typing: Typing) -> None:
        seat = self.seat

        def give(reason: str) -> None:
            self._typing = None
            typing.give(reason)

        self._typing = Typing(typing.question, typing.slot, typing.words, give, typing.picks)
        self.model.changed.emit(seat)

    def _ask_typed(self, typing: Typing) -> None:
        key = (self.seat, typing.slot)
        self.typed.ask(
            typing,
            self.model.drafts.get(key, ""),
            draft=partial(self.model.drafts.__setitem__, key),
            back=self.close,
        )

    # critical events

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
        self._withdrawing = False
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
        item = state.ground.form.critical[one.item]
        self.panel.ask(
            f"{item.label}: what became of it?",
            choices,
            (
                Choice("Decide later", "carry on marking", self.close),
                Choice("It was none", "withdraw it", partial(self._withdraw_with, one.id)),
                *self._stopping(state),
            ),
            detail=item.definition.strip(),
        )

    def _classify(self, one: Occurrence, verdict: Verdict) -> None:
        self._judging = ""
        self.model.do(self.seat, gestures.classify, one.id, verdict)

    def _withdraw_with(self, occurrence: str) -> None:
        self._judging, self._withdrawing = occurrence, True
        self.model.changed.emit(self.seat)

    def _ask_withdrawal(self, state: Observation, one: Occurrence) -> None:
        slot = f"why:{one.id}"
        kept = self.model.drafts.get((self.seat, slot), "").strip()
        give = partial(self._withdraw, one)
        label = state.ground.form.critical[one.item].label
        question = f"Why was “{label}” none?"
        typing = Typing(question, slot, "Withdraw it, with this reason", give)
        choices = [Choice(reason, "", partial(give, reason)) for reason in WITHDRAW_REASONS]
        note = "what you typed is kept" if kept else "in your words"
        choices.append(Choice("Another reason …", note, partial(self._type, typing)))
        self.panel.ask(
            f"{question} The record keeps that it was pressed.",
            choices,
            (Choice("Back", "it was one", self._stop_withdrawing), *self._stopping(state)),
        )

    def _stop_withdrawing(self) -> None:
        self._withdrawing = False
        self.model.changed.emit(self.seat)

    def _withdraw(self, one: Occurrence, reason: str) -> None:
        key = (self.seat, f"why:{one.id}")
        self._judging, self._withdrawing = "", False
        if self.model.do(self.seat, gestures.classify, one.id, Verdict.WITHDRAWN, reason):
            self.model.drafts.pop(key, None)

    def _end_by_learner(self) -> None:
        """The learner's act ended it: that is a critical event, and then the rating (rule M6)."""
        self.endings.stage = None
        state = self.model.state(self.seat)
        if not reading.recorded(state):
            self.model.critical(self.seat)
            return
        self._rate(self.seat)


def _unjudged(state: Observation) -> frozenset[str]:
    """The critical events of which it was not said yet what became of them."""
    return frozenset(one.id for one in reading.recorded(state) if one.verdict is None)
