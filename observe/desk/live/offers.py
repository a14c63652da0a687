"""Keys that the well offers beside Take back: why a step does not apply, what time-out does.

They stand where the last mark is told or on the row below the marks, never over a mark key,
and may be ignored.
"""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key
from observe.desk.live import faces, reading, time_limit, well_words
from observe.desk.live.asks import Asks
from observe.desk.live.layout import Box, split_row
from observe.desk.live.model import LiveModel
from observe.desk.live.shield import is_up
from observe.desk.theme import Skin
from observe.domain.form import Step
from observe.domain.observation import Observation

MOST_KEYS = 3
GAP = 6


class Offers:
    """A few keys in one row; `show` says what they are now."""

    def __init__(self, skin: Skin, model: LiveModel, asks: Asks, parent: QWidget) -> None:
        self.model, self.asks = model, asks
        self.keys = [Key(skin, parent) for _ in range(MOST_KEYS)]
        for place, key in enumerate(self.keys):
            key.struck.connect(partial(self.answer, place))
        self.step: Step | None = None
        self.is_time = False
        self._is_narrow = False

    @property
    def is_shown(self) -> bool:
        return self.step is not None or self.is_time

    def choose(self, seat: int, state: Observation, *, open_now: bool) -> bool:
        """Find out what is offered now; whether anything is."""
        free = open_now and not is_up(self.model)
        self.step = reading.reason_asked(state) if free else None
        elapsed = self.model.elapsed_ns(seat)
        asked = open_now and time_limit.is_asked(state, elapsed)
        can = self.model.can_mark(seat) and self.asks.endings.is_time_open(state)
        self.is_time = self.step is None and asked and can
        return self.is_shown

    def show(self, state: Observation, area: Box, *, narrow: bool) -> None:
        """Put the keys into their row. narrow: there is room for one answer about the time."""
        self._is_narrow = narrow
        made: list[Face] = []
        if self.step is not None:
            number = state.numbers[self.step.id]
            shown = well_words.shown_reasons(self.step)
            made = [faces.reason_face(number, one) for one in shown]
            made.append(faces.reason_face(number, "Another reason …"))
        elif self.is_time:
            made = self._time_faces(state)
        for key in self.keys[len(made) :]:
            key.hide()
        boxes = split_row(area, (1,) * max(1, len(made)), GAP)
        for key, face, box in zip(self.keys, made, boxes, strict=False):
            key.show_face(face)
            key.place(box.x, box.y, box.width, box.height)

    def hide(self) -> None:
        """Take the keys away."""
        for key in self.keys:
            key.hide()

    def _time_faces(self, state: Observation) -> list[Face]:
        left = time_limit.unreached(state)
        if self._is_narrow:
            return [faces.offer_face("Time is up", "what is left?")]
        return [
            faces.offer_face("Time is up", f"turn the {left} left into not done"),
            faces.offer_face("Go on", "what is left stays not seen"),
        ]

    def answer(self, place: int) -> None:
        """Do what a key says."""
        if self.step is not None:
            self._give_reason(self.step, place)
        elif self.is_time and self._is_narrow:
            self.asks.endings.ask_time(self.asks.seat)
        elif self.is_time:
            endings = self.asks.endings
            (endings.leave_open if place else endings.call)(self.asks.seat)

    def _give_reason(self, step: Step, place: int) -> None:
        shown = well_words.shown_reasons(step)
        if place < len(shown):
            self.asks.give_reason(step.id, shown[place])
        elif place == len(shown):
            rest = well_words.offered_reasons(step)[len(shown) :]
            self.asks.explain_aside(step.id, rest)
