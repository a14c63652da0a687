"""What a key of the keyboard does in the room, for the learner in front."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from observe.desk.live import reading, well_words
from observe.desk.live.bar import GRID, SEATS, SHIELD, TOGETHER
from observe.desk.live.keyboard import Deed, Stroke, stroke_of
from observe.desk.live.panels import Choice
from observe.desk.live.shield import is_up
from observe.desk.live.step_number import StepNumber
from observe.domain import gestures
from observe.domain.board import Verdict

if TYPE_CHECKING:
    from observe.desk.live.page import LivePage

AT_ONCE = frozenset({Deed.CRITICAL, Deed.STOP})
"""What never waits for something else to be closed first."""
OF_MARKS = frozenset(
    {
        *(Deed.DONE, Deed.PROMPT, Deed.INCORRECT, Deed.NOT_DONE, Deed.ASIDE, Deed.WHY),
        *(
            Deed.VOICED,
            Deed.UNSEEN,
            Deed.ORDER,
            Deed.TAKE_BACK,
            Deed.PUT_BACK,
            Deed.BEFORE,
            Deed.AFTER,
        ),
        *(Deed.GO_TO, Deed.MOVE),
    }
)
"""What is done to the marks of the learner in front, who has to be in sight for it."""


class Strokes:
    """Carries out key presses of one room."""

    def __init__(self, view: LivePage) -> None:
        self.view, self.model = view, view.model
        self.number = StepNumber(view)

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key press means; False if it means nothing here."""
        if event.isAutoRepeat():
            return True
        if self.number.is_open and self.number.press(event):
            return True
        stroke = stroke_of(event)
        if stroke is None:
            return False
        self.strike(stroke)
        return True

    def heeds_table(self, event: QKeyEvent) -> bool:
        """Whether the table of keys takes a key press; it goes for what never waits."""
        table = self.view.keys_table
        if not table.isVisible():
            return False
        stroke = stroke_of(event)
        if event.isAutoRepeat():
            return True
        if stroke is not None and stroke.deed in (Deed.CLOSE, Deed.TABLE, *AT_ONCE):
            table.hide()
        elif stroke is not None and stroke.deed in (Deed.BEFORE, Deed.AFTER):
            table.area.turn(1 if stroke.deed is Deed.AFTER else -1)
        return stroke is not None and stroke.deed not in AT_ONCE

    def strike(self, stroke: Stroke) -> None:
        """Do what a key of the keyboard means, for the learner in front."""
        if self.view.questions.is_open:
            if stroke.deed in OF_MARKS and self._is_out_of_sight:
                return
        elif self._strike_over(stroke):
            return
        if stroke.deed is Deed.SEAT:
            self._number_key(stroke.number)
        elif stroke.deed is Deed.PROMPT:
            self.view.well.mark_prompted(stroke.number)
        else:
            self._deeds()[stroke.deed]()

    @property
    def _is_out_of_sight(self) -> bool:
        """Whether what is asked by hand covers the step of the learner in front."""
        cards = [one for one in self.view.seats.cards if not one.names_only]
        in_front = any(one.seat == self.model.front for one in cards)
        return self.view.over is not None or self.view.view == GRID or not in_front

    def _strike_over(self, stroke: Stroke) -> bool:
        """Where a view lies over the seats, what its keys do; False if it has none for this."""
        if self.view.is_together:
            return self._strike_together(stroke)
        return self.view.is_arranging and self._strike_arranging(stroke)

    def _strike_arranging(self, stroke: Stroke) -> bool:
        """Numbers choose seats as a press does; no mark is set for a learner out of sight."""
        arranging = self.view.arranging
        if arranging is None:
            return False
        if stroke.deed is Deed.SEAT:
            arranging.press_number(stroke.number + 1)
        elif stroke.deed is Deed.CLOSE:
            arranging.closed.emit()
        else:
            return stroke.deed in OF_MARKS
        return True

    def _strike_together(self, stroke: Stroke) -> bool:
        """Where one mark is set for several: numbers choose who, mark keys set it."""
        together = self.view.together
        if together is None:
            return False
        marks = {Deed.DONE: 0, Deed.INCORRECT: 1, Deed.NOT_DONE: 2, Deed.ASIDE: 3}
        if stroke.deed is Deed.SEAT:
            for seat in self.model.here:
                if self.model.number(seat) == stroke.number + 1:
                    together.toggle(seat)
        elif stroke.deed is Deed.PROMPT:
            together.set(together.marks[3 + stroke.number])
        elif stroke.deed in marks:
            together.set(together.marks[marks[stroke.deed]])
        elif stroke.deed in (Deed.BEFORE, Deed.AFTER):
            together.turn(1 if stroke.deed is Deed.AFTER else -1)
        elif stroke.deed is Deed.CLOSE:
            together.closed.emit()
        else:
            return False
        return True

    def _number_key(self, number: int) -> None:
        """A seat; or an answer, where something is asked."""
        if self.view.questions.is_open:
            self.view.questions.answer(number + 1)
            return
        if self.view.well.panel.isVisible():
            self.view.well.panel.answer(number)
            return
        model = self.model
        for seat in range(len(model)):
            if model.number(seat) == number + 1 and not model.is_absent(seat):
                model.look(seat)
                return

    def _deeds(self) -> dict[Deed, Callable[[], object]]:
        well, model = self.view.well, self.model
        seat = model.front
        return {
            Deed.DONE: well.mark_done,
            Deed.INCORRECT: well.mark_incorrect,
            Deed.NOT_DONE: well.mark_not_done,
            Deed.ASIDE: well.set_aside,
            Deed.WHY: self._ask_why,
            Deed.VOICED: well.mark_voiced,
            Deed.UNSEEN: lambda: model.pass_unseen(seat),
            Deed.ORDER: well.claim_order,
            Deed.TAKE_BACK: well.take_back_last,
            Deed.PUT_BACK: well.put_back,
            Deed.CRITICAL: lambda: model.critical(seat),
            Deed.RECOVERED: self._recover_last,
            Deed.STOP: self._stop,
            Deed.PAUSE: lambda: model.turn_clock(seat),
            Deed.PAUSE_ALL: model.pause_all,
            Deed.BEFORE: lambda: self._step_by(-1),
            Deed.AFTER: lambda: self._step_by(1),
            Deed.GO_TO: self.number.begin,
            Deed.RATE: self._rate,
            Deed.SEATS: lambda: self.view.strike(SEATS),
            Deed.GRID: lambda: self.view.strike(GRID),
            Deed.TOGETHER: lambda: self.view.strike(TOGETHER),
            Deed.SHIELD: lambda: self.view.strike(SHIELD),
            Deed.ROOM: self.view.toggle_room,
            Deed.MORE: lambda: self.view.ask_for_more(seat),
            Deed.MOVE: self._begin_move,
            Deed.LOOK: self.view.look_where_lit,
            Deed.TABLE: self.view.toggle_keys_table,
            Deed.CLOSE: self._close_asked,
        }

    def _rate(self) -> None:
        """The rating shows what was marked, so the shield goes first (rule P2)."""
        if not is_up(self.model):
            self.view.rate.emit(self.model.front)

    def _recover_last(self) -> None:
        found = reading.recorded(self.model.state(self.model.front))
        if found:
            self.model.do(self.model.front, gestures.classify, found[-1].id, Verdict.RECOVERED)

    def _ask_why(self) -> None:
        """Why the step that was set aside last does not apply: numbers answer."""
        step = reading.reason_asked(self.model.state(self.model.front))
        if step is None or is_up(self.model):
            return
        reasons = well_words.offered_reasons(step)
        asks = self.view.well.asks
        deeds: list[Callable[[], object]] = [
            partial(asks.give_reason, step.id, reason) for reason in reasons
        ]
        deeds.append(partial(asks.explain_aside, step.id))
        asked = f"Why does it not apply? {step.label}"
        self._ask(asked, (*reasons, "Another reason …"), deeds)

    def _stop(self) -> None:
        """Stop for safety; once it is stopped, ask whether it goes on or has ended (rule M6)."""
        well = self.view.well
        if not self.model.state(self.model.front).stopped:
            well.stop_for_safety()
            return
        go_on = partial(self.model.do, self.model.front, gestures.go_on)
        self._ask("Stopped for safety.", ("Go on", "End attempt"), (go_on, well.end_attempt))

    def _ask(
        self, question: str, answers: Sequence[str], deeds: Sequence[Callable[[], object]]
    ) -> None:
        """Ask something of the learner in front that has keys of its own for a finger."""
        questions = self.view.questions

        def give(deed: Callable[[], object]) -> None:
            questions.close_it()
            deed()

        choices = [
            Choice(words, "", partial(give, deed))
            for words, deed in zip(answers, deeds, strict=True)
        ]
        questions.about = self.model.front
        questions.choose(question, choices, (Choice("Back", "", questions.close_it),))

    def _step_by(self, steps: int) -> None:
        state = self.model.state(self.model.front)
        ids = [step.id for step in state.steps]
        here = ids.index(state.board.at) if state.board.at in ids else len(ids)
        there = here + steps
        if 0 <= there < len(ids):
            self.model.do(self.model.front, gestures.move_to, ids[there])

    def _close_asked(self) -> None:
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)
        if self.view.questions.is_open:
            self.view.questions.close_it()
        elif self.view.well.asks.is_open:
            self.view.well.asks.close()

    def _begin_move(self) -> None:
        """The next number says whose the last mark is."""
        if len(self.model.here) > 1 and gestures.movable(self.model.state(self.model.front)):
            self.view.learner_deeds.to_whom(self.model.front, 1)
