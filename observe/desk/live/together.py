"""Together: one mark for several learners at once, with exceptions.

Seats stay where they are and keep their critical keys; the sentence key of each becomes
a toggle. A mark key sets the mark for all who are taken in, in one gesture.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, word_face
from observe.desk.live import faces, reading
from observe.desk.live.layout import Box, Edge, RoomPlan, split_row
from observe.desk.live.model import LiveModel, aside_state
from observe.desk.live.over_seats import OverSeats, Places
from observe.desk.live.seat import SeatCard
from observe.desk.live.shield import COVERED, heed, is_up
from observe.desk.paint import CENTRE, MIDDLE, Pen, Style, fit
from observe.desk.theme import Skin
from observe.domain.form import Step
from observe.domain.gestures import Part, Share
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, Mark, PromptSource, State
from observe.domain.markwords import mark_words
from observe.domain.observation import Observation
from observe.domain.words import counted
from observe.look import tokens
from observe.look.marks import MarkLook, mark_shapes
from observe.look.tokens import Token, Weight

PROMPTED = tuple(Mark(State.DONE, level, PromptSource.OBSERVER) for level in range(1, 5))


class Together:
    """Which step and who takes part. Learners are chosen by the id of their observation."""

    def __init__(self, model: LiveModel) -> None:
        self.model = model
        self.step = ""
        self.taken_in: set[str] = set()
        self.left_out: set[str] = set()

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps of the learner in front, whose form and variant are meant."""
        return self.model.state(self.model.front).steps

    def begin(self) -> None:
        """At the step that most learners are at; nobody was taken in or left out by hand."""
        self.taken_in, self.left_out = set(), set()
        ids = [step.id for step in self.steps]
        fronts = Counter(self.model.state(seat).board.front for seat in self.model.here)
        found = [step for step, _ in fronts.most_common() if step in ids]
        self.step = found[0] if found else ids[0]

    def turn(self, steps: int) -> None:
        """Another step; who takes part is asked anew."""
        ids = [step.id for step in self.steps]
        place = ids.index(self.step) if self.step in ids else 0
        self.step = ids[min(max(place + steps, 0), len(ids) - 1)]
        self.taken_in, self.left_out = set(), set()

    def shares(self, mark: Mark = DONE) -> dict[int, Share]:
        """What a mark would do to each learner of the room that is shown."""
        shares = self.model.room.shares(
            self.step, mark, form=self.form, taken_in=self.taken_in, left_out=self.left_out
        )
        found = {share.observation: share for share in shares}
        here = {seat: self.model.state(seat).id for seat in self.model.here}
        return {seat: found[id] for seat, id in here.items() if id in found}

    @property
    def form(self) -> str:
        """Whole digest of the form whose step is meant."""
        return self.model.state(self.model.front).ground.form.whole_digest

    def toggle(self, seat: int) -> None:
        """Take a learner in, or leave them out, where that may be chosen."""
        share = self.shares()[seat]
        if not share.may_change:
            return
        if share.part is Part.TAKEN_IN:
            self.taken_in.discard(share.observation)
            self.left_out.add(share.observation)
        else:
            self.left_out.discard(share.observation)
            self.taken_in.add(share.observation)

    def set(self, mark: Mark) -> bool:
        """Set a mark for all who take part, in one gesture; whether it was kept."""
        return self.model.together(
            self.step, mark, form=self.form, taken_in=self.taken_in, left_out=self.left_out
        )


class TogetherCard(SeatCard):
    """A seat whose sentence key says whether its learner takes part."""

    toggled = Signal(int)
    share: Share | None = None

    def _sentence(self) -> None:
        self.toggled.emit(self.seat)

    def _look(self) -> None:
        if self.names_only:
            self.toggled.emit(self.seat)
        else:
            super()._look()

    def _show_head(self, state: Observation) -> None:
        super()._show_head(state)
        if self.names_only and self.share is not None:
            face = self.head.face
            title, note = share_words(self.share, covered=is_up(self.model))
            chosen = self.share.part is Part.TAKEN_IN
            self.head.show_face(replace(face, name=f"{face.name} {title}, {note}", chosen=chosen))

    def _sentence_face(self, state: Observation, *, can: bool) -> Face:
        share = self.share
        who = f"Seat {self.model.number(self.seat)}, {self.model.name(self.seat)}: "
        if share is None:
            return word_face("")
        covered = is_up(self.model)
        title, note = share_words(share, covered=covered)
        look = MarkLook.AHEAD if covered else reading.mark_look(share.mark)
        return Face(
            f"{who}{title}, {note}",
            paint_toggle,
            (title, note, look),
            fill=Token.KEY if share.part is Part.TAKEN_IN else Token.SHEET,
            chosen=share.part is Part.TAKEN_IN,
            can=can and share.may_change,
        )


def share_words(share: Share, *, covered: bool = False) -> tuple[str, str]:
    """What a learner's part is, and what a press does or why it cannot.

    covered: by the shield, which leaves out what was marked (rule P2).
    """
    if share.part is Part.TAKEN_IN:
        return "taken in", "press to leave out"
    if share.part is Part.MARKED and covered:
        return "left out", COVERED
    if share.part is Part.MARKED:
        return mark_words(share.mark), "marked already: that mark stays"
    note = f"{share.reason} · press to take in" if share.may_change else share.reason
    return "left out", note


def paint_toggle(pen: Pen, box: QRectF, ink: Token, title: str, note: str, look: MarkLook) -> None:
    """The mark that stands, the part in large, and what a press does."""
    px = pen.skin.px
    inner = box.adjusted(px(8), px(6), -px(8), -px(5))
    side = px(20)
    pen.shapes(mark_shapes(look, side), inner.x(), inner.y())
    half = inner.height() / 2
    first = QRectF(inner.x(), inner.y() + side, inner.width(), max(px(20), half - side / 2))
    pen.text(first, title, Style(20, Weight.BOLD, ink, 13, CENTRE, MIDDLE))
    below = QRectF(inner.x(), first.bottom(), inner.width(), inner.bottom() - first.bottom())
    pen.text(below, note, Style(15, Weight.REGULAR, Token.INK2, 11.5, CENTRE))


class TogetherView(OverSeats):
    """The seats as toggles, and the panel with step and marks in their middle."""

    closed = Signal()

    def __init__(self, skin: Skin, model: LiveModel, parent: QWidget) -> None:
        super().__init__(skin, model, parent)
        self.together = Together(model)
        self.before_key, self.after_key = Key(skin, self), Key(skin, self)
        self.mark_keys = [Key(skin, self) for _ in range(8)]
        self.all_key = Key(skin, self, word_face("Take in all who can be"))
        self.close_key = Key(skin, self, word_face("Close, nothing set"))
        self._step_box = Box(0, 0, 0, 0)
        self._connect()
        self.setAccessibleName("Together")

    def _connect(self) -> None:
        self.before_key.struck.connect(partial(self.turn, -1))
        self.after_key.struck.connect(partial(self.turn, 1))
        self.before_key.show_face(word_face("‹", size=34, weight=Weight.BOLD))
        self.before_key.setAccessibleName("Step before")
        self.after_key.show_face(word_face("›", size=34, weight=Weight.BOLD))
        self.after_key.setAccessibleName("Step after")
        for place, key in enumerate(self.mark_keys):
            key.struck.connect(partial(self._strike, place))
        heed(self.model, self.refresh)
        self.all_key.struck.connect(self.take_in_all)
        self.close_key.struck.connect(self.closed)

    # deeds

    def begin(self, plan: RoomPlan, places: Places) -> None:
        """Open over a room that is laid out so."""
        self.together.begin()
        self.show()
        self.raise_()
        self.lay_out(plan, places)

    def turn(self, steps: int) -> None:
        self.together.turn(steps)
        self.refresh()

    def toggle(self, seat: int) -> None:
        self.together.toggle(seat)
        self.refresh()

    def take_in_all(self) -> None:
        """Take in everybody who may be."""
        for seat, share in self.together.shares().items():
            if share.may_change and share.part is not Part.TAKEN_IN:
                self.together.toggle(seat)
        self.refresh()

    @property
    def marks(self) -> tuple[Mark, ...]:
        """The mark of each key, in order."""
        step = self._step
        aside = Mark(aside_state(step)) if step is not None else Mark(State.NOT_APPLICABLE)
        return (DONE, INCORRECT, NOT_DONE, aside, *PROMPTED)

    def set(self, mark: Mark) -> None:
        """Set a mark for all who take part, and close."""
        if self.together.set(mark):
            self.closed.emit()
        self.refresh()

    def _strike(self, place: int) -> None:
        self.set(self.marks[place])

    @property
    def _step(self) -> Step | None:
        found = (one for one in self.together.steps if one.id == self.together.step)
        return next(found, None)

    # geometry

    def card(self, seat: int, edge: Edge, *, names_only: bool) -> TogetherCard:
        made = TogetherCard(self.skin, self.model, seat, self, edge=edge, names_only=names_only)
        made.toggled.connect(self.toggle)
        return made

    def place_panel(self) -> None:
        px = self.skin.px
        box = self.middle.inset(px(10), 0, px(10), px(10))
        if box.width < 1:
            return
        gap, header = px(8), px(62)
        row = max(self.skin.mm(tokens.ROUTINE_TARGET_MM), self.skin.pick(70, 45))
        rest = max(0, box.height - header - row - 5 * gap)
        high = max(row, min(self.skin.pick(130, 120), rest // 3))
        row = min(2 * row, row + max(0, rest - 3 * high))
        side = max(self.skin.mm(tokens.ROUTINE_TARGET_MM), px(70))
        y = box.y + header + gap
        self._step_box = Box(box.x + side + gap, y, box.width - 2 * (side + gap), row)
        self.before_key.setGeometry(box.x, y, side, row)
        self.after_key.setGeometry(box.right - side, y, side, row)
        y += row + gap
        for parts, keys in (
            ((1.6, 0.8, 0.8, 0.8), self.mark_keys[:4]),
            ((1, 1, 1, 1), self.mark_keys[4:]),
            ((1, 1), [self.all_key, self.close_key]),
        ):
            boxes = split_row(Box(box.x, y, box.width, high), parts, px(6))
            for key, place in zip(keys, boxes, strict=True):
                key.setGeometry(place.x, place.y, place.width, place.height)
            y += high + gap

    # showing

    def refresh(self) -> None:
        """Show who takes part and what the keys do."""
        if self.isHidden():
            return
        shares = self.together.shares()
        for card in self.cards:
            if isinstance(card, TogetherCard):
                card.share = shares.get(card.seat)
                card.refresh()
        taking = sum(one.part is Part.TAKEN_IN for one in shares.values())
        can = self.model.trouble is None and taking > 0
        self._face_marks(taking, can=can)
        self.update()

    def _face_marks(self, taking: int, *, can: bool) -> None:
        step = self._step
        done, incorrect, not_done, aside = self.mark_keys[:4]
        name = f"for {taking}"
        words = f"Done for {taking}"
        done.show_face(replace(faces.done_face(can=can, name=name), name=words))
        incorrect.show_face(faces.mark_face(MarkLook.INCORRECT, "Incorrect", can=can, name=name))
        not_done.show_face(faces.mark_face(MarkLook.NOT_DONE, "Not done", can=can, name=name))
        if step is not None and step.when:
            face = faces.mark_face(MarkLook.DID_NOT_ARISE, "Did not arise", can=can, name=name)
        else:
            allowed = can and step is not None and step.not_applicable
            face = faces.mark_face(MarkLook.NOT_APPLICABLE, "Not appl.", can=allowed, name=name)
        aside.show_face(face)
        for level, key in enumerate(self.mark_keys[4:], start=1):
            key.show_face(faces.prompt_face(level, can=can, name=name))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        pen.fill(QRectF(self.rect()), Token.GROUND)
        box = QRectF(self.middle.x, self.middle.y, self.middle.width, self.middle.height)
        pen.fill(box, Token.WELL)
        header = QRectF(box.x(), box.y(), box.width(), px(62))
        pen.fill(header, Token.BAND)
        shares = self.together.shares()
        taking = sum(one.part is Part.TAKEN_IN for one in shares.values())
        marked = sum(one.part is Part.MARKED for one in shares.values())
        inner = header.adjusted(px(14), 0, -px(14), 0)
        title = f"{taking} of {counted(len(shares), 'learner')} together"
        said = pen.text(inner, title, Style(26, Weight.BOLD, Token.ONBAND, 16, down=MIDDLE))
        if marked and not is_up(self.model):
            rest = inner.adjusted(said.width + px(14), 0, 0, 0)
            style = Style(16, ink=Token.ONBAND2, least=12, across=1.0, down=MIDDLE)
            pen.text(rest, f"{marked} marked already", style)
        self._paint_step(pen)
        pen.frame(box, Token.BAND, tokens.FRONT_WIDTH)
        painter.end()

    def _paint_step(self, pen: Pen) -> None:
        step = self._step
        if step is None:
            return
        px, box = self.skin.px, self._step_box
        place = QRectF(box.x, box.y, box.width, box.height)
        style = Style(24, Weight.BOLD, least=13, down=MIDDLE)
        below = place.adjusted(0, px(24), 0, 0)
        number = self.model.state(self.model.front).numbers[step.id]
        if not fit(pen.skin, step.label, below.width(), below.height(), style).fits:
            pen.text(place, f"{number}  {step.label}", style)
            return
        domain = {
            one.id: one.label for one in self.model.state(self.model.front).ground.form.domains
        }
        above = QRectF(place.x(), place.y(), place.width(), px(24))
        said = pen.text(above, str(number), Style(20, Weight.BLACK, Token.ACT, down=MIDDLE))
        note = above.adjusted(said.width + px(8), 0, 0, 0)
        pen.text(
            note, domain.get(step.domain, ""), Style(15, ink=Token.INK2, least=12, down=MIDDLE)
        )
        pen.text(below, step.label, style)
