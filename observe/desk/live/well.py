"""The well: the learner in front of you, with every key at full size."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, Row, word_face
from observe.desk.live import faces, reading, time_limit, well_paint, well_words
from observe.desk.live.asks import Asks
from observe.desk.live.debounce import GLOVES_S
from observe.desk.live.edge import LAMP_WORD
from observe.desk.live.layout import Box, split_row
from observe.desk.live.model import LiveModel, aside_state
from observe.desk.live.offers import Offers
from observe.desk.live.panels import AskPanel
from observe.desk.live.rod_strip import RodKey, rod_reading
from observe.desk.live.seat import critical_key_face, local_time, rate_face
from observe.desk.live.shield import covered_rod, heed, is_up
from observe.desk.live.typed_reason import TypedReason
from observe.desk.live.well_layout import WellPlan, beside, well_plan, well_sizes
from observe.desk.live.well_paint import rect
from observe.desk.paint import Pen, Style
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Step
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, Mark, PromptSource, State
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.look import tokens
from observe.look.marks import MarkLook
from observe.look.signs import SignLook
from observe.look.tokens import Token, Weight


class WellPanel(QWidget):
    """The full set of keys for one learner.

    seat: None follows the learner in front. hint: how another learner is marked, if the
    screen has to say so.
    """

    rate = Signal(int)
    debrief = Signal(int)
    more = Signal(int)

    def __init__(
        self,
        skin: Skin,
        model: LiveModel,
        parent: QWidget,
        *,
        seat: int | None = None,
        hint: str = "",
    ) -> None:
        super().__init__(parent)
        self.hint = hint
        self.skin, self.model, self._own = skin, model, seat
        self.can_be_voiced = well_words.voiced_somewhere(model)
        self.plan: WellPlan | None = None
        self.lit = False
        self._painted: tuple[object, object, object] = ((), (), ())
        self._last_stays = self._asked_time = False
        self._make_keys()
        self.panel, self.typed = AskPanel(skin, self), TypedReason(skin, self)
        self.asks = Asks(model, self.panel, self.typed, self.rate.emit)
        self.offers = Offers(skin, model, self.asks, self)
        self._connect()
        heed(model, self.refresh)

    def light(self, *, lit: bool) -> None:
        """Put the lamp on this well, or take it away; for wells of their own."""
        if lit != self.lit:
            self.lit = lit
            self.refresh()

    @property
    def seat(self) -> int:
        return self.model.front if self._own is None else self._own

    @property
    def state(self) -> Observation:
        return self.model.state(self.seat)

    def _make_keys(self) -> None:
        skin = self.skin
        self.name_row = Row(skin, self)
        self.clock, self.rate_key, self.more_key = (Key(skin, self) for _ in range(3))
        self.rod = RodKey(skin, self)
        self.marks = [Key(skin, self) for _ in range(4)]
        self.prompts = [Key(skin, self) for _ in range(5 if self.can_be_voiced else 4)]
        self.take_back, self.extra, self.not_seen = (Key(skin, self) for _ in range(3))
        self.next_row = Row(skin, self)
        self.further: list[Row] = []
        self.critical, self.stop = Key(skin, self), Key(skin, self)
        self.finish = Key(skin, self)
        self.go_on, self.end = Key(skin, self), Key(skin, self)

    def _connect(self) -> None:
        struck = self._when_struck
        struck(self.name_row, lambda: self.model.look(self.seat))
        struck(self.clock, lambda: self.model.turn_clock(self.seat))
        struck(self.rate_key, self._leave_for_rating)
        struck(self.more_key, self.ask_for_more)
        struck(self.finish, self._finish)
        struck(self.rod, self._press_rod)
        deeds = (self.mark_done, self.mark_incorrect, self.mark_not_done, self.set_aside)
        for key, deed in zip(self.marks, deeds, strict=True):
            struck(key, deed)
        for level, key in enumerate(self.prompts[:4], start=1):
            struck(key, partial(self.mark_prompted, level))
        if self.can_be_voiced:
            struck(self.prompts[4], self.mark_voiced)
        struck(self.take_back, self.take_back_last)
        struck(self.extra, self._extra)
        struck(self.not_seen, lambda: self.model.pass_unseen(self.seat))
        struck(self.next_row, lambda: self.go_ahead(0))
        struck(self.critical, lambda: self.model.critical(self.seat))
        struck(self.stop, self.stop_for_safety)
        struck(self.go_on, lambda: self.model.do(self.seat, gestures.go_on))
        struck(self.end, self.end_attempt)

    def _when_struck(self, key: Key, deed: Callable[[], object]) -> None:
        """Do a deed at each press; with gloves on two presses in a moment are one."""

        def strike() -> None:
            target = (id(key), self.state.id)
            if not self.skin.gloves or self.model.lets_again(target, GLOVES_S):
                deed()

        key.struck.connect(strike)

    # deeds, also called by the keyboard

    def mark_done(self) -> None:
        self.model.mark(self.seat, DONE)

    def mark_incorrect(self) -> None:
        self.model.mark(self.seat, INCORRECT)

    def mark_not_done(self) -> None:
        self.model.mark(self.seat, NOT_DONE)

    def set_aside(self) -> None:
        self.model.set_aside(self.seat)

    def mark_prompted(self, level: int) -> None:
        self.model.mark(self.seat, Mark(State.DONE, level, PromptSource.OBSERVER))

    def mark_voiced(self) -> None:
        self.model.mark(self.seat, Mark(State.DONE, voiced=True))

    def take_back_last(self) -> None:
        self.model.do(self.seat, gestures.take_back)

    def put_back(self) -> None:
        self.model.do(self.seat, gestures.put_back)

    def claim_order(self) -> None:
        step = reading.order_question(self.state)
        if step is not None:
            self.model.do(self.seat, gestures.claim_order, step.id)

    def go_ahead(self, place: int) -> None:
        """The learner is at a later step now: the next one is place 0."""
        ahead = reading.following(self.state)
        if place < len(ahead):
            self.model.do(self.seat, gestures.move_to, ahead[place].id)

    def stop_for_safety(self) -> None:
        self.asks.stop()

    def end_attempt(self) -> None:
        self.model.look(self.seat)
        self.asks.end()

    def _press_rod(self) -> None:
        place = self.rod.pressed_place()
        if place is not None:
            step = self.state.steps[place].id
            self.model.do(self.seat, gestures.move_to, step)

    def _extra(self) -> None:
        if self.state.undone:
            self.put_back()
        else:
            self.claim_order()

    def _leave_for_rating(self) -> None:
        self.rate.emit(self.seat)

    def ask_for_more(self) -> None:
        """Bring the learner to the front, and offer what else can be done for them."""
        self.model.look(self.seat)
        self.more.emit(self.seat)

    def _finish(self) -> None:
        if self.state.sealed:
            self.debrief.emit(self.seat)
        else:
            self.rate.emit(self.seat)

    # geometry

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()
        self.refresh()

    def _lay_out(self) -> None:
        sizes = well_sizes(self.skin, hint=bool(self.hint))
        plan = well_plan(self.width(), self.height(), sizes, prompts=len(self.prompts))
        self.plan = plan
        _put(self.name_row, Box(0, 0, max(0, plan.more.x - sizes.gap), plan.header.height))
        for key, box in (
            (self.clock, plan.clock),
            (self.rate_key, plan.rate),
            (self.more_key, plan.more),
        ):
            _put(key, box, visible=box.width > 0)
            key.reach_below = plan.reach_below
        _put(self.rod, plan.rod)
        self.rod.lay_out(sizes.rod_above, sizes.rod, sizes.pad + 2)
        for key, box in zip(
            [*self.marks, *self.prompts], [*plan.marks, *plan.prompts], strict=True
        ):
            _put(key, box)
        _put(self.critical, plan.critical)
        _put(self.stop, plan.stop)
        rows = plan.rows
        _put(self.finish, _joined(rows.marks, rows.prompts))
        halves = split_row(_joined(rows.marks, rows.prompts), (1, 1), sizes.gap + 1)
        _put(self.go_on, halves[0])
        _put(self.end, halves[1])
        while len(self.further) < len(rows.further):
            self.further.append(self._further_row(len(self.further) + 1))
        for row, box in zip(self.further, rows.further, strict=False):
            _put(row, box)
        self._place_panels(plan)

    def _place_panels(self, plan: WellPlan) -> None:
        """What is asked leaves the last mark and Take back in sight, where there is room.

        Where even the rest of the well is too low for it, it lies over the rod too.
        """
        body, last = plan.body, plan.rows.last
        below = last.bottom + well_sizes(self.skin).gap
        left = body.bottom - below
        asked = self.typed if self.panel.isHidden() else self.panel
        has_room = left >= asked.least_height(body.width)
        self._last_stays = not plan.low and self.asks.is_open and has_room
        if self._last_stays:
            body = Box(body.x, below, body.width, left)
        elif asked.least_height(body.width) > body.height:
            top = plan.header.bottom
            body = Box(body.x, top, body.width, body.bottom - top)
        for panel in (self.panel, self.typed):
            panel.setGeometry(body.x, body.y, body.width, body.height)

    def _further_row(self, place: int) -> Row:
        row = Row(self.skin, self)
        self._when_struck(row, lambda: self.go_ahead(place))
        return row

    # showing

    def refresh(self) -> None:
        """Show the state as it is; only what changed is repainted."""
        if self.plan is None:
            return
        state = self.state
        asking = self.asks.show_for(self.seat)
        self._place_panels(self.plan)
        self._asked_time = time_limit.is_asked(state, self.model.elapsed_ns(self.seat))
        self._show_header(state)
        self._show_marks(state, asking=asking)
        self._show_around(state, self.plan, asking=asking)
        self._repaint(state, self.plan)

    def _take_back_words(self, state: Observation) -> str:
        return reading.take_back_words(state, home=self.model.home(self.seat))

    def _repaint(self, state: Observation, plan: WellPlan) -> None:
        """Repaint the readings that changed; the whole only where it looks different."""
        front = self.seat == self.model.front
        covered = is_up(self.model)
        whole = (
            front,
            state.sealed,
            state.void,
            state.stopped,
            self.asks.is_open,
            self._last_stays,
            covered,
        )
        refusal = self.model.refusal.get(self.seat)
        last = (state.id, self._take_back_words(state), reading.put_back_words(state))
        step = (state.id, state.board.at, str(refusal), state.marks)
        if whole != self._painted[0]:
            self.update()
        if last != self._painted[1]:
            self._update(plan.rows.last)
        if step != self._painted[2]:
            self._update(plan.rows.current)
        self._painted = (whole, last, step)

    def _update(self, box: Box) -> None:
        self.update(box.x, box.y, box.width, box.height)

    def tick(self) -> None:
        """A second went by: the clock, the time since the last look, the end of time."""
        state = self.state
        if time_limit.is_asked(state, self.model.elapsed_ns(self.seat)) != self._asked_time:
            self.refresh()
            self._update(self.plan.rows.last if self.plan else Box(0, 0, 0, 0))
        self._show_header(state)

    def _who(self) -> str:
        return f"Seat {self.model.number(self.seat)}, {self.model.name(self.seat)}"

    def _show_header(self, state: Observation) -> None:
        front = self.seat == self.model.front
        can = self.model.can_mark(self.seat) and not state.stopped
        elapsed = self.model.elapsed_ns(self.seat)
        self.clock.show_face(
            faces.clock_face(
                clock(elapsed),
                running=state.clock.is_running,
                started=state.clock.started is not None,
                front=front,
                can=can,
                below=time_limit.below_words(state, elapsed),
                limit=time_limit.limit_words(state, elapsed),
                over=time_limit.is_over(state, elapsed),
            )
        )
        can = not state.sealed and not is_up(self.model)
        self.rate_key.show_face(faces.rate_face(self._who(), front=front, can=can))
        self.more_key.show_face(faces.more_face(self._who(), front=front))
        shown = well_words.header_reading(self.model, self.seat, lit=self.lit)
        fill = Token.BAND if front else Token.SHEET
        lamp = f"{LAMP_WORD}, " if shown.lamp else ""
        name = f"{self._who()}, {shown.seen}, {lamp}{shown.looked}"
        self.name_row.show_face(Face(name, well_paint.paint_header, (shown,), fill=fill))

    def _show_marks(self, state: Observation, *, asking: bool) -> None:
        step = reading.current(state)
        open_now = not asking and not state.sealed and not state.void
        usual = open_now and step is not None and not state.stopped
        can = self.model.can_mark(self.seat)
        who = self._who()
        for key in (*self.marks, *self.prompts):
            key.setVisible(usual)
        if usual and step is not None:
            self._face_marks(state, step, who, can=can)
        self.finish.setVisible(not asking and not usual and not (open_now and state.stopped))
        self.finish.show_face(self._finish_face(state))
        for key, words in ((self.go_on, "Go on"), (self.end, "End attempt")):
            key.setVisible(open_now and state.stopped is not None)
            key.show_face(word_face(words, size=18, weight=Weight.BOLD).allowed(can=can))

    def _face_marks(self, state: Observation, step: Step, who: str, *, can: bool) -> None:
        done, incorrect, not_done, aside = self.marks
        done.show_face(faces.done_face(can=can, name=who))
        incorrect.show_face(faces.mark_face(MarkLook.INCORRECT, "Incorrect", can=can, name=who))
        not_done.show_face(faces.mark_face(MarkLook.NOT_DONE, "Not done", can=can, name=who))
        aside.show_face(self._aside_face(step, who, can=can))
        for level, key in enumerate(self.prompts[:4], start=1):
            key.show_face(faces.prompt_face(level, can=can, name=who))
        if self.can_be_voiced:
            voiced = can and state.ground.profile.may_be_voiced(step, state.board.variant)
            face = faces.sign_face(SignLook.VOICED, "Voiced", can=voiced, name=who)
            self.prompts[4].show_face(face)

    @staticmethod
    def _aside_face(step: Step, who: str, *, can: bool) -> Face:
        if aside_state(step) is State.DID_NOT_ARISE:
            return faces.mark_face(MarkLook.DID_NOT_ARISE, "Did not arise", can=can, name=who)
        allowed = can and step.not_applicable
        return faces.mark_face(MarkLook.NOT_APPLICABLE, "Not appl.", can=allowed, name=who)

    def _finish_face(self, state: Observation) -> Face:
        if state.sealed:
            words = "Void: see what was kept" if state.void else "See the decision"
            face = word_face(words, size=18, weight=Weight.BOLD)
            return face.allowed(can=not is_up(self.model))
        can = self.model.trouble is None and not is_up(self.model)
        return rate_face(state, can=can)

    def _show_around(self, state: Observation, plan: WellPlan, *, asking: bool) -> None:
        open_now = not state.sealed and not state.void
        can = self.model.can_mark(self.seat)
        rod = covered_rod(rod_reading(state)) if is_up(self.model) else rod_reading(state)
        self.rod.show_rod(rod, f"Steps of {self._who()}", can=can and open_now)
        self.critical.setVisible(open_now and not asking)
        self.critical.show_face(critical_key_face(self.model, self.seat, can=can, quiet=False))
        self.stop.setVisible(open_now and not asking)
        self.stop.show_face(faces.stop_face(can=can and not state.stopped, name=self._who()))
        may_take_back = not state.sealed and (not asking or self._last_stays)
        able = self.model.trouble is None and not state.sealed
        self.offers.choose(self.seat, state, open_now=open_now and not asking)
        self._show_take_back(state, plan, visible=may_take_back, can=able)
        self._show_next(state, plan, visible=open_now and not asking, can=can)
        if asking:
            self.not_seen.hide()
        self._show_offers(state, plan)

    def _show_take_back(
        self, state: Observation, plan: WellPlan, *, visible: bool, can: bool
    ) -> None:
        back, forth = self._take_back_words(state), reading.put_back_words(state)
        asked = reading.order_question(state)
        if is_up(self.model):
            forth, asked = "", None
        rows, gap = plan.rows, well_sizes(self.skin).gap + 1
        extra = bool(forth or asked)
        wide = _joined(rows.take_back, rows.not_seen) if plan.low else rows.take_back
        three = extra or self.offers.is_time
        parts = split_row(wide, (1, 1, 1) if three else (1, 1), gap) if plan.low else ()
        if self.skin.is_left:
            parts = parts[::-1]
        _put(self.take_back, parts[0] if plan.low else rows.take_back, visible=visible)
        _put(
            self.extra, parts[1] if plan.low and extra else rows.put_back, visible=visible and extra
        )
        _put(
            self.not_seen,
            parts[-1] if plan.low else rows.not_seen,
            visible=visible and not state.void,
        )
        title, text = well_words.take_back_said(state, back) if plan.low else (back, "")
        if is_up(self.model):
            title, text = "Take back", ""
        in_full = plan.rows.last.height <= 1
        face = faces.deed_face(
            "take back", "Take back", title, text if in_full else "", low=plan.low
        )
        self.take_back.show_face(face.allowed(can=can and bool(back)))
        if forth:
            self.extra.show_face(
                faces.deed_face(
                    "put back",
                    "Put back",
                    "Put back",
                    forth if in_full else "",
                    low=plan.low,
                ).allowed(can=can)
            )
        elif asked is not None:
            number = state.numbers[asked.id]
            self.extra.show_face(faces.order_face(number, low=plan.low).allowed(can=can))

    def _show_next(self, state: Observation, plan: WellPlan, *, visible: bool, can: bool) -> None:
        ahead = reading.following(state)
        numbers = state.numbers
        step = reading.current(state)
        can_pass = can and step is not None and not state.stopped
        words, label = well_words.pass_said(state)
        if plan.rows.next.height > 1 and plan.low:
            label = ""
        face = faces.deed_face("go on", "Not seen", words, label, low=plan.low)
        self.not_seen.show_face(face.allowed(can=can_pass))
        rows = [self.next_row, *self.further[: len(plan.rows.further)]]
        box = plan.rows.next
        if not plan.low:
            box = beside(box, plan.rows.not_seen)
        _put(self.next_row, box, visible=visible)
        for place, row in enumerate(rows):
            there = place < len(ahead) and visible
            row.setVisible(there and row.height() > 1)
            if there:
                number = numbers[ahead[place].id]
                title = f"Next · {number}" if place == 0 else str(number)
                self._face_row(row, title, ahead[place], can=can)
        for row in self.further[len(plan.rows.further) :]:
            row.hide()

    @staticmethod
    def _face_row(row: Row, title: str, step: Step, *, can: bool) -> None:
        name = f"Go to step {title}, {step.label}"
        row.show_face(Face(name, well_paint.paint_step_row, (title, step.label, None), can=can))

    def _show_offers(self, state: Observation, plan: WellPlan) -> None:
        """Beside Take back; another key that stands there already is answered first."""
        if not self.offers.is_shown or self.extra.isVisibleTo(self):
            self.offers.hide()
            return
        note, used = plan.rows.note, self.take_back.geometry()
        kept = Box(used.x(), used.y(), used.width(), plan.rows.take_back.height)
        row = Box(note.x, note.y, note.width, kept.height if plan.low else note.height)
        first = kept.x == row.x
        area = beside(row, kept).inset(7 if first else 0, 0, 0 if first else 7, 0)
        if plan.low and self.offers.is_time:
            area = plan.rows.put_back
        elif plan.low:
            self.not_seen.hide()
        self.offers.show(state, area, narrow=plan.low)

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.plan is None:
            return
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        box = QRectF(self.rect())
        front = self.seat == self.model.front
        pen.fill(box, Token.WELL if front else Token.SHEET)
        header = rect(self.plan.header)
        if front:
            pen.fill(header, Token.BAND)
        else:
            pen.fill(QRectF(0, header.bottom() - 1, header.width(), 1), Token.RULE)
        if self.hint and not self.asks.is_open:
            self._paint_hint(pen, self.plan.rows.hint)
        self._paint_readings(pen, self.plan)
        pen.frame(box, Token.BAND if front else Token.RULE, tokens.FRONT_WIDTH if front else 1)
        painter.end()

    def _paint_readings(self, pen: Pen, plan: WellPlan) -> None:
        state, rows = self.state, plan.rows
        if self.asks.is_open and not self._last_stays:
            return
        refusal = self.model.refusal.get(self.seat)
        if state.sealed or state.void:
            self._paint_sealed(pen, plan, state)
            return
        last = rect(rows.last if plan.low else self._last_place(plan))
        forth = reading.put_back_words(state)
        covered = is_up(self.model)
        said = "" if covered else forth or self._take_back_words(state)
        if last.height() > 1 and (plan.low or not self.offers.keys[0].isVisible()):
            well_paint.paint_last(pen, last, state, words=said, taken_back=bool(forth))
        if self._last_stays:
            return
        if state.stopped:
            well_paint.paint_stopped(pen, plan, clock(state.clock.spent_ns))
        else:
            told = f"{refusal.what} {refusal.remedy}" if refusal else ""
            well_paint.paint_current(
                pen, rect(rows.current), state, low=plan.low, refusal=told, covered=covered
            )

    def _last_place(self, plan: WellPlan) -> Box:
        """The row of the last mark less the keys that stand in it."""
        keys = [plan.rows.take_back, *([plan.rows.put_back] if self.extra.isVisible() else [])]
        gap = self.skin.px(8)
        return beside(plan.rows.last, *keys).inset(gap if self.skin.is_left else 0, 0, gap, 0)

    def _paint_hint(self, pen: Pen, box: Box) -> None:
        style = Style(self.skin.density.smallest, Weight.MEDIUM, Token.INK2, 12, down=0.5)
        pen.text(rect(box).adjusted(self.skin.px(4), 0, 0, 0), self.hint, style)

    def _paint_sealed(self, pen: Pen, plan: WellPlan, state: Observation) -> None:
        if state.sealed:
            words = f"Sealed {local_time(state.sealed.at)}. Later changes are amendments."
        else:
            words = "Void. Seal it, so that the record is closed."
        place = rect(_joined(plan.rows.last, plan.rows.current))
        style = Style(self.skin.density.reading, Weight.BOLD, least=14, down=0.5)
        pen.text(place.adjusted(self.skin.px(4), 0, 0, 0), words, style)


def _put(key: QWidget, box: Box, *, visible: bool = True) -> None:
    key.setGeometry(box.x, box.y, box.width, box.height)
    key.setVisible(visible)


def _joined(one: Box, other: Box) -> Box:
    left, top = min(one.x, other.x), min(one.y, other.y)
    return Box(left, top, max(one.right, other.right) - left, max(one.bottom, other.bottom) - top)
