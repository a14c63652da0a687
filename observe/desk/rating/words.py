"""The pane for one strength and one change: picked from what was marked, or typed."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import QRectF, QTimer
from PySide6.QtGui import QHideEvent, QPainter, QPaintEvent, QResizeEvent, QTextCursor
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from observe.desk.keys import Face, Key
from observe.desk.live.model import LiveModel
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.rating.scales import paint_title, title_height
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Step
from observe.domain.marks import DONE, State
from observe.domain.markwords import mark_words
from observe.domain.observation import Observation, Slot
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

PAUSE_MS = 800
"""After this pause in typing the text is kept."""
MOST_PICKS = 6
LONGEST = 400
PICK = Style(16, Weight.MEDIUM, least=12, down=MIDDLE, leading=1.12)


def strengths(state: Observation) -> tuple[str, ...]:
    """Steps done alone, the weightiest and essential ones first."""
    done = [step for step in state.steps if state.mark(step.id) == DONE]
    done.sort(key=lambda step: (not step.essential, -step.weight))
    return tuple(step.label for step in done[:MOST_PICKS])


def changes(state: Observation) -> tuple[str, ...]:
    """Steps that went wrong or needed help, with what was recorded of them, the worst first.

    Only what was marked is said: the form's common errors were not necessarily seen.
    """
    short = [step for step in state.steps if _trouble(state, step)]
    short.sort(key=lambda step: _trouble(state, step))
    return tuple(f"{step.label}: {mark_words(state.mark(step.id))}" for step in short[:MOST_PICKS])


def _trouble(state: Observation, step: Step) -> int:
    """How far a step fell short, lowest the worst; 0 for one that did not."""
    mark = state.mark(step.id)
    worst = {State.INCORRECT: -20, State.NOT_DONE: -15}
    if mark.state in worst:
        return worst[mark.state] - (10 if step.essential else 0)
    return -mark.prompt if mark.state is State.DONE else 0


class WordsPane(QWidget):
    """Two columns: what to keep doing, and what to do differently next time."""

    TITLE = "One strength and one change"
    NOTE = "Pick what was seen, or write it. It stands on the learner's sheet."

    def __init__(self, skin: Skin, model: LiveModel, seat: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.columns = (
            _Column(skin, model, seat, Slot.STRENGTH, "Keep doing", self),
            _Column(skin, model, seat, Slot.CHANGE, "Change next time", self),
        )
        self.setAccessibleName(f"{self.TITLE}. {self.NOTE}")

    def refresh(self) -> None:
        """Show what is kept."""
        for column in self.columns:
            column.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        gap, wide = self.skin.px(14), self.width()
        top = title_height(self.skin, wide, self.TITLE, self.NOTE)
        if self._is_stacked(wide):
            for column in self.columns:
                high = column.needed(wide)
                column.setGeometry(0, top, wide, high)
                top += high + gap
            return
        half = (wide - gap) // 2
        for place, column in enumerate(self.columns):
            column.setGeometry(place * (half + gap), top, half, self.height() - top)

    def _is_stacked(self, width: int) -> bool:
        """Whether enlarged text leaves two columns no room beside each other."""
        return self.skin.text > 1 and width < self.skin.px(600)

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the picks give first."""
        if self.skin.text == 1:
            return 0
        gap = self.skin.px(14)
        top = title_height(self.skin, width, self.TITLE, self.NOTE)
        if self._is_stacked(width):
            return top + sum(column.needed(width) + gap for column in self.columns)
        return top + max(column.needed((width - gap) // 2) for column in self.columns)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_title(Pen(painter, self.skin), self, self.TITLE, self.NOTE)
        painter.end()


class _Column(QWidget):
    """One slot of text with its picks."""

    def __init__(
        self, skin: Skin, model: LiveModel, seat: int, slot: Slot, title: str, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.skin, self.model, self.seat, self.slot, self.title = skin, model, seat, slot, title
        self.field = QPlainTextEdit(self)
        self.field.setAccessibleName(title)
        self.field.setPlaceholderText("Write it here")
        self.field.setTabChangesFocus(True)
        self.field.setFont(skin.font(17))
        self.keys = [Key(skin, self) for _ in range(MOST_PICKS)]
        for place, key in enumerate(self.keys):
            key.struck.connect(partial(self._pick, place))
        self._picks: tuple[str, ...] = ()
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.timeout.connect(self.keep)
        self.field.textChanged.connect(self._typed)
        model.trouble_changed.connect(self._try_again)
        self._kept = self._text()
        self.field.setPlainText(model.drafts.get((seat, slot.value), self._kept))
        self._pause.stop()

    def _text(self) -> str:
        event = self.model.state(self.seat).texts.get(self.slot.value)
        return self.model.sessions[self.seat].text(event, "text") if event else ""

    def _typed(self) -> None:
        self._take_off_excess()
        self._pause.start(PAUSE_MS)

    def _take_off_excess(self) -> None:
        """Take what is too much off where it was just typed or pasted, before the cursor."""
        excess = len(self.field.toPlainText()) - LONGEST
        if excess > 0:
            cursor = self.field.textCursor()
            cursor.movePosition(
                QTextCursor.MoveOperation.Left, QTextCursor.MoveMode.KeepAnchor, excess
            )
            cursor.removeSelectedText()

    def keep(self) -> None:
        """Write the text into the record, if it changed; an empty one clears what stands there."""
        self._pause.stop()
        text = self.field.toPlainText().strip()
        if text == self._kept:
            return
        draft = (self.seat, self.slot.value)
        self.model.drafts[draft] = text
        if self.model.do(self.seat, gestures.write, self.slot.value, text) is not None:
            del self.model.drafts[draft]
            self._kept = text
            self.refresh()

    def _try_again(self) -> None:
        """What could not be kept is kept once nothing stands in the way any more."""
        if self.model.trouble is None:
            self.keep()
        self.update()

    def hideEvent(self, event: QHideEvent) -> None:
        """Whichever way it is left, what was typed is kept."""
        self.keep()
        super().hideEvent(event)

    @property
    def _many(self) -> int:
        """How many picks there is room for; where it scrolls, all that there are."""
        if self.skin.text > 1:
            return max(1, len(self._picks))
        px = self.skin.px
        room = self.height() - px(34) - px(92) - px(38)
        each = self.skin.mm(ROUTINE_TARGET_MM) + px(6)
        return min(MOST_PICKS, max(1, room // each))

    def _pick_high(self, width: int) -> int:
        """Px of height that each pick needs."""
        wide = width - self.skin.px(22)
        needed = [height_of(self.skin, one, wide, PICK) + self.skin.px(10) for one in self._picks]
        return max([self.skin.mm(ROUTINE_TARGET_MM), *needed])

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        return px(34) + px(92) + px(38) + self._many * (self._pick_high(width) + px(6))

    def _pick(self, place: int) -> None:
        if place < len(self._picks):
            self.field.setPlainText(self._picks[place])
            self.keep()

    def refresh(self) -> None:
        """Show the picks, and which of them was taken."""
        state = self.model.state(self.seat)
        find = strengths if self.slot is Slot.STRENGTH else changes
        self._picks = find(state)
        for place, key in enumerate(self.keys):
            key.setVisible(place < min(len(self._picks), self._many))
            if place < len(self._picks):
                pick = self._picks[place]
                key.show_face(Face(pick, paint_pick, (pick,), chosen=pick == self._kept))
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        px = self.skin.px
        top = px(34)
        high = px(92)
        self.field.setFont(self.skin.font(17))
        self.field.setGeometry(0, top, self.width(), high)
        y, gap = top + high + px(38), px(6)
        room = self.height() - y
        key_high = min(max(px(70), self._pick_high(self.width())), room // self._many - gap)
        for place, key in enumerate(self.keys):
            key.setVisible(place < min(len(self._picks), self._many))
            key.setGeometry(0, y + place * (key_high + gap), self.width(), key_high)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        head = QRectF(0, 0, self.width(), px(30))
        pen.text(head, self.title, Style(18, Weight.BOLD, down=MIDDLE))
        said = "From your marks" if self._picks else "No marks to pick from."
        if len(self.field.toPlainText()) >= LONGEST:
            said = f"{LONGEST} letters at most."
        elif self.field.toPlainText().strip() != self._kept and self.model.trouble is not None:
            said = "Not kept yet: it will be tried again."
        line = QRectF(0, px(132), self.width(), px(28))
        pen.text(line, said, Style(15, ink=Token.INK2, least=12, down=MIDDLE))
        painter.end()


def paint_pick(pen: Pen, box: QRectF, ink: Token, text: str) -> None:
    """A text that can be taken over as it stands."""
    px = pen.skin.px
    inner = box.adjusted(px(12), px(2), -px(10), -px(2))
    pen.text(inner, text, replace(PICK, ink=ink))
