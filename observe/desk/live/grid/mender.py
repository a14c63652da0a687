"""Carries out what the strip asks for: one cell at a time, each deed on the disk first."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from observe.desk.live import reading
from observe.desk.live.grid import repair
from observe.desk.live.grid.model import GridModel
from observe.desk.live.grid.strip import MOVE_WORDS, MOVING_WORDS, RepairStrip, StripReading
from observe.desk.live.model import LiveModel
from observe.desk.live.shield import COVERED, is_up
from observe.desk.live.well_words import offered_reasons
from observe.domain import gestures
from observe.domain.form import Step
from observe.domain.marks import NOT_SEEN, Mark
from observe.domain.observation import Observation
from observe.work.session import Change

Spot = tuple[int, int]


class Mender(QObject):
    """The cell under repair, and the strip that belongs to it.

    cell: its row and column, None when nothing is open. moving: the next column that is
    pressed takes the mark. `finished`: it is closed, and whether by a deed.
    """

    opened = Signal()
    reshaped = Signal()
    finished = Signal(bool)

    def __init__(self, model: LiveModel, grid: GridModel, strip: RepairStrip) -> None:
        super().__init__(strip)
        self.model, self.grid, self.strip = model, grid, strip
        self.cell: Spot | None = None
        self.moving = False
        self._time = 0
        self._asked = ""
        strip.marked.connect(self.mark)
        strip.timed.connect(self._choose_time)
        strip.here.connect(self.move_here)
        strip.moving.connect(self._begin_move)
        strip.answered.connect(self._answer)

    # opening and closing

    def open(self, spot: Spot) -> None:
        """Begin with a cell."""
        self.cell, self.moving, self._time, self._asked = spot, False, 0, ""
        self.model.refusal.pop(self.grid.seats[spot[1]], None)
        self.strip.show_reading(self.reading())
        self.opened.emit()

    def close(self, *, by_deed: bool = False) -> None:
        """Leave; nothing is lost."""
        if self.cell is not None:
            self.cell, self.moving = None, False
            self.finished.emit(by_deed)

    def leave(self) -> bool:
        """One step back: from moving to the marks, from the marks to nothing."""
        if self.cell is None:
            return False
        if self.moving:
            self.moving = False
            self.refresh()
        else:
            self.close()
        return True

    def refresh(self) -> None:
        """Say how the cell is now."""
        if self.cell is None:
            return
        if self.cell[0] >= len(self.grid.rows) or self.cell[1] >= len(self.grid.seats):
            self.close()
            return
        self.strip.show_reading(self.reading())
        self.reshaped.emit()

    # reading

    @property
    def _place(self) -> tuple[int, str]:
        """Seat and step of the cell under repair."""
        row, column = self.cell or (0, 0)
        return self.grid.seats[column], self.grid.rows[row].step

    def _now(self) -> tuple[int, Observation, Step | None]:
        seat, step = self._place
        state = self.model.state(seat)
        return seat, state, repair.step_of(state, step)

    def times(self) -> tuple[repair.SeenTime, ...]:
        """When what is marked now may have been seen."""
        seat, state, step = self._now()
        return repair.seen_times(state, step, self.model.elapsed_ns(seat)) if step else ()

    def reading(self) -> StripReading:
        """What the strip says of the cell."""
        seat, state, step = self._now()
        row, column = self.cell or (0, 0)
        who = f"{self.model.number(seat)} {self.model.name(seat)}"
        number = self.grid.number(row, column)
        words = repair.cell_words(state, step.id) if step else self.grid.cell(row, column).word
        if is_up(self.model):
            words = COVERED
        title = f"{who}, step {number}: {words}."
        name = f"Step {number}, {self.grid.rows[row].label}, {self.model.name(seat)}: {words}."
        locked = repair.locked_words(self.model, seat)
        refusal = self.model.refusal.get(seat)
        if step is None:
            return StripReading(title, name=name)
        if locked:
            return StripReading(title, locked, refused=self.model.trouble is not None, name=name)
        if self.moving:
            return StripReading(title, MOVING_WORDS, name=name)
        if self._asked:
            return StripReading(title, self._question(step), asked=self._answers(step), name=name)
        told = f"{refusal.what} {refusal.remedy}" if refusal else repair.rule_words(state, step.id)
        marked = state.mark(step.id) != NOT_SEEN
        return StripReading(
            title=title,
            told=told,
            refused=refusal is not None,
            marks=repair.mark_offers(state, step),
            times=self.times(),
            time=self._time,
            here=repair.may_be_now(state, step),
            move=MOVE_WORDS if marked else "",
            name=name,
        )

    def _question(self, step: Step) -> str:
        if self._asked == "reason":
            return "Why does it not apply?"
        state = self.model.state(self._place[0])
        return f"It {reading.needs_words(reading.needs(state, step))}. Was it seen out of order?"

    def _answers(self, step: Step) -> tuple[str, ...]:
        if self._asked == "reason":
            return offered_reasons(step)
        return ("Seen out of order", "No, leave it")

    # deeds

    def mark(self, mark: Mark) -> None:
        """Set a mark, take the mark back, or go past a step unseen."""
        seat, state, step = self._now()
        if self.cell is None or step is None:
            return
        offer = next((one for one in repair.mark_offers(state, step) if one.mark == mark), None)
        if offer is None or not offer.can:
            return
        if offer.chosen:
            self.close(by_deed=True)
        elif mark != NOT_SEEN:
            self._set(seat, step, mark)
        elif repair.may_unmark(state, step.id):
            self._end(self.model.do(seat, repair.unmark, step.id))
        else:
            self._end(self.model.do(seat, gestures.pass_unseen))

    def _set(self, seat: int, step: Step, mark: Mark) -> None:
        times = self.times()
        seen = times[min(self._time, len(times) - 1)].observed_ns
        change = self.model.do(seat, gestures.mark, step.id, mark, observed_ns=seen)
        if change is None:
            self.refresh()
            return
        state = self.model.state(seat)
        asked_reason = reading.reason_asked(state)
        asked_order = reading.order_question(state) if seen is None else None
        if asked_reason is not None and asked_reason.id == step.id:
            self._asked = "reason"
        elif asked_order is not None and asked_order.id == step.id:
            self._asked = "order"
        if self._asked:
            self.refresh()
        else:
            self.close(by_deed=True)

    def _answer(self, place: int) -> None:
        seat, _, step = self._now()
        if step is None:
            return
        if self._asked == "reason":
            said = offered_reasons(step)[place]
            self._end(self.model.do(seat, gestures.give_reason, step.id, said))
        elif place == 0:
            self._end(self.model.do(seat, gestures.claim_order, step.id))
        else:
            self.close()

    def move_here(self) -> None:
        """The learner is at this step now; those jumped over stay not seen."""
        seat, _, step = self._now()
        if step is not None:
            self._end(self.model.do(seat, gestures.move_to, step.id))

    def _choose_time(self, place: int) -> None:
        self._time = place
        self.refresh()

    def _begin_move(self) -> None:
        self.moving = True
        self.refresh()

    def move_to(self, column: int) -> None:
        """Give the mark to the learner of another column; the same one leaves it."""
        seat, step = self._place
        target = self.grid.seats[column]
        self.moving = False
        if target == seat:
            self.refresh()
            return
        placed = self.model.state(seat).board.placed.get(step, ())
        events = [one.entry for one in placed]
        self._end(self.model.move_marks(seat, target, events=events))

    def _end(self, change: Change | None) -> None:
        if change is None:
            self.refresh()
        else:
            self.close(by_deed=True)
