"""Going to a step by its number: "/", digits, Enter; what was typed so far stands over the well."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from observe.desk.live.keyboard import SEAT_KEYS
from observe.desk.live.panels import Choice
from observe.domain import gestures
from observe.domain.form import Step

if TYPE_CHECKING:
    from observe.desk.live.page import LivePage

ENTER = frozenset({Qt.Key.Key_Return, Qt.Key.Key_Enter})
MOST_OFFERED = 4


class StepNumber:
    """A number while it is typed, for the learner in front."""

    def __init__(self, view: LivePage) -> None:
        self.view, self.model = view, view.model
        self._typed: str | None = None

    @property
    def is_open(self) -> bool:
        """Whether digits name a step now: nothing else has been asked since."""
        asked = self.view.questions
        return asked.is_open and asked.choices.question == self._question(self._typed)

    def begin(self) -> None:
        """The keyboard leaves the key that Tab reached, so that Enter ends the number."""
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)
        self._show("")

    def forget(self) -> None:
        """Something else was pressed: digits mean seats again."""
        if self.is_open:
            self.view.questions.close_it()
        self._typed = None

    def press(self, event: QKeyEvent) -> bool:
        """Take a digit, Enter or Esc; anything else forgets the number, and is not taken."""
        key = Qt.Key(event.key())
        typed = self._typed or ""
        if key in SEAT_KEYS[:10]:
            self._show(typed + event.text())
            return True
        if key is Qt.Key.Key_Backspace:
            self._show(typed[:-1])
            return True
        self.forget()
        if key in ENTER:
            self._go(next((step for step in self._steps(typed) if self._is(step, typed)), None))
            return True
        return key is Qt.Key.Key_Escape

    def _show(self, typed: str) -> None:
        self._typed = typed
        offered = self._steps(typed)[:MOST_OFFERED]
        numbers = self.model.state(self.model.front).numbers
        choices = [
            Choice(
                step.label,
                f"step {numbers[step.id]}{', Enter' if self._is(step, typed) else ''}",
                partial(self._choose, step),
            )
            for step in offered
        ]
        questions = self.view.questions
        questions.about = self.model.front
        back = Choice("Back", "Esc", self.forget)
        questions.choose(self._question(typed), choices, (back,))

    def _question(self, typed: str | None) -> str:
        if typed is None:
            return ""
        if not typed:
            return "Go to which step? Type its number, then Enter."
        return f"Go to step {typed}" if self._steps(typed) else f"There is no step {typed}."

    def _steps(self, typed: str) -> tuple[Step, ...]:
        """The steps whose number begins with what was typed, that number itself first."""
        if not typed:
            return ()
        state = self.model.state(self.model.front)
        return tuple(one for one in state.steps if str(state.numbers[one.id]).startswith(typed))

    def _is(self, step: Step, typed: str) -> bool:
        return str(self.model.state(self.model.front).numbers[step.id]) == typed

    def _choose(self, step: Step) -> None:
        self.forget()
        self._go(step)

    def _go(self, step: Step | None) -> None:
        if step is not None:
            self.model.do(self.model.front, gestures.move_to, step.id)
