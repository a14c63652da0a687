"""A learner's own locked screen: one question at a time, and nothing of others (rule P2)."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from functools import partial
from typing import ParamSpec

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, word_face
from observe.desk.live.debounce import ADVANCE_S, Debounce
from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style, fit
from observe.desk.rating.scales import Point, ScalePane
from observe.desk.sharing.lock import LockPanel
from observe.desk.sharing.own_words import WordsPage
from observe.desk.sharing.peer_steps import StepsPage
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Mode, Step
from observe.domain.marks import Mark
from observe.domain.observation import Role, Slot
from observe.domain.troubles import Doubtful, Refused, Surroundings
from observe.domain.words import listed
from observe.look import tokens
from observe.look.tokens import Token, Weight
from observe.work.pins import Pins
from observe.work.session import Gesture, Session

P = ParamSpec("P")
HEAD = 70
SAID = Style(15, Weight.BOLD, Token.WRONG, 11, CENTRE, MIDDLE)
OVERALL = "How did it go overall?"
OR_NEXT = "Press what fits best, or go on."
MOST_STEPS = 5
"""Steps on one page of a peer's: so many have room in the lowest window."""
OWN_WORDS = ((Slot.STRENGTH, "What went well"), (Slot.CHANGE, "My goal for the next time"))
PEER_WORDS = ((Slot.STRENGTH, "Keep doing"), (Slot.CHANGE, "Change one thing"))
FORMATIVE = "For learning only: it changes no decision."
DONE_WORD, THANKS = "I am done", "Thank you. Give the tablet back to the observer."
Page = ScalePane | StepsPage | WordsPage


class LearnerScreen(QWidget):
    """Fills the window for one learner in the role of self or peer.

    session: from `observe.work.learner_screen`. name: of the learner whose attempt it is.
    observer: who hands the tablet over, and whose PIN in `pins` opens the way back.
    `returned` is emitted once the observer is back. seconds: a clock that never goes back.
    """

    returned = Signal()

    def __init__(
        self,
        skin: Skin,
        session: Session,
        pins: Pins,
        *,
        name: str,
        observer: str,
        seconds: Callable[[], float] = time.monotonic,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.skin, self.session, self.name = skin, session, name
        self.said = ""
        self.at = 0
        self._debounce = Debounce(seconds)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        is_peer = session.state.role is Role.PEER
        self.pages: tuple[Page, ...] = tuple(self._peer_pages() if is_peer else self._own_pages())
        self.areas = [Tall(skin, self, page, page.needed) for page in self.pages]
        self.give_key = Key(skin, self, word_face("Give back", size=17))
        self.back_key = Key(skin, self, word_face("Back", size=17))
        self.next_key = Key(skin, self)
        self.give_key.struck.connect(self.lock)
        self.back_key.struck.connect(partial(self._go, -1))
        self.next_key.struck.connect(self._next)
        self.lock_panel = LockPanel(skin, pins, observer, self, seconds=seconds)
        self.lock_panel.opened.connect(self._leave)
        self.lock_panel.closed.connect(self._unlock)
        skin.changed.connect(self.refresh)
        self.setAccessibleName(f"{self.title()}. {FORMATIVE}")
        self.refresh()

    def title(self) -> str:
        """Whose screen it is."""
        if self.session.state.role is Role.PEER:
            return f"You watch {self.name}"
        return f"{self.name}, your own view"

    # pages

    def _own_pages(self) -> list[Page]:
        form = self.session.ground.form
        grades = [Point(one.value, one.label, one.anchor) for one in form.overall.grades]
        note = "Press what fits best. Nobody else's answer is shown."
        pages: list[Page] = [ScalePane(self.skin, OVERALL, note, grades, self._give_overall, self)]
        for one in form.dimensions:
            points = [Point(grade.value, grade.label, grade.anchor) for grade in one.grades]
            give = partial(self._give_dimension, one.id)
            pages.append(ScalePane(self.skin, one.label, OR_NEXT, points, give, self))
        levels = [Point(one.level, one.label, "") for one in form.independence]
        if levels:
            title = "How much help did you need?"
            pages.append(ScalePane(self.skin, title, "", levels, self._give_help, self))
        return [*pages, self._words_page(OWN_WORDS)]

    def _peer_pages(self) -> list[Page]:
        state = self.session.state
        pages: list[Page] = []
        for phase in state.ground.form.phases:
            steps = [step for step in state.steps if step.phase == phase.id]
            if steps:
                numbered = [(state.numbers[step.id], step) for step in steps]
                pages += self._phase_pages(phase.label, numbered)
        return [*pages, self._words_page(PEER_WORDS)]

    def _phase_pages(self, label: str, steps: list[tuple[int, Step]]) -> list[Page]:
        """The steps of a phase on as few pages as let every key have its 12 mm."""
        count = -(-len(steps) // MOST_STEPS)
        each = -(-len(steps) // count)
        parts = [steps[start : start + each] for start in range(0, len(steps), each)]
        return [
            StepsPage(self.skin, f"{label}{self._part(n, len(parts))}", part, self._mark, self)
            for n, part in enumerate(parts, start=1)
        ]

    @staticmethod
    def _part(number: int, count: int) -> str:
        return f", {number} of {count}" if count > 1 else ""

    def _words_page(self, slots: Sequence[tuple[Slot, str]]) -> WordsPage:
        texts = {slot: self._text(slot) for slot, _ in slots}
        return WordsPage(self.skin, "In your own words", slots, texts, self._write, self)

    def _text(self, slot: Slot) -> str:
        event = self.session.state.texts.get(slot.value)
        return self.session.text(event, "text") if event else ""

    # deeds

    def _do(self, gesture: Gesture[P], *args: P.args, **kwargs: P.kwargs) -> bool:
        """Carry out a gesture; what stands in the way is said on this page."""
        try:
            self.session.do(gesture, *args, **kwargs)
        except (Refused, Surroundings, Doubtful) as trouble:
            self.said = f"{trouble.what} {trouble.remedy}"
            self.refresh()
            return False
        self.said = ""
        self.refresh()
        return True

    def _answer(self, gesture: Gesture[P], *args: P.args, **kwargs: P.kwargs) -> None:
        """Give one answer and go on; a double press never answers twice."""
        if self._debounce.lets("answer") and self._do(gesture, *args, **kwargs):
            self._debounce.hold("answer", ADVANCE_S)
            self._go(1)

    def _give_overall(self, value: int) -> None:
        self._answer(gestures.give_overall, value)

    def _give_dimension(self, dimension: str, value: int) -> None:
        self._answer(gestures.rate_dimension, dimension, value)

    def _give_help(self, level: int) -> None:
        self._answer(gestures.give_independence, level)

    def _mark(self, step: str, mark: Mark) -> None:
        self._do(gestures.mark, step, mark)

    def _write(self, slot: Slot, text: str) -> bool:
        return self._do(gestures.write, slot.value, text)

    def _next(self) -> None:
        if not self._debounce.lets("answer"):
            return
        if self.at < len(self.pages) - 1:
            self._go(1)
        else:
            self._finish()

    def _finish(self) -> None:
        """Seal it, if nothing is missing; if something is, say what."""
        self._keep()
        asked = self._missing()
        if asked:
            self.said = f"Still open: {listed(asked)}."
            self.refresh()
        elif self.session.state.sealed or self._do(gestures.seal):
            self.lock()

    def _missing(self) -> list[str]:
        """What must still be said, by the titles of this screen."""
        state = self.session.state
        words = OWN_WORDS if state.role is Role.SELF else PEER_WORDS
        asked = [] if state.overall or state.role is Role.PEER else ["how it went overall"]
        if state.ground.mode is not Mode.PRACTICE:
            asked += [f"“{label}”" for slot, label in words if slot.value not in state.texts]
        return asked

    def _keep(self) -> None:
        for page in self.pages:
            if isinstance(page, WordsPage):
                page.keep()

    def _go(self, by: int) -> None:
        self._keep()
        self.at = min(max(0, self.at + by), len(self.pages) - 1)
        self.refresh()

    def lock(self) -> None:
        """Ask for the observer."""
        self._keep()
        self.lock_panel.setGeometry(self.rect())
        self.lock_panel.ask()
        self.lock_panel.back_key.setVisible(not self.session.state.sealed)

    def _unlock(self) -> None:
        self.lock_panel.hide()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _leave(self) -> None:
        self._keep()
        self.returned.emit()

    def hideEvent(self, event: QHideEvent) -> None:
        """Whichever way it is left, what was typed is kept."""
        self._keep()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """No key leads out of here, nor to the window behind."""
        event.accept()

    # showing

    def refresh(self) -> None:
        """Show the page that is open, and what was answered there."""
        state = self.session.state
        for place, area in enumerate(self.areas):
            area.setVisible(place == self.at)
        page = self.pages[self.at]
        if isinstance(page, ScalePane):
            page.show_value(self._value(self.at))
        elif isinstance(page, StepsPage):
            page.show_marks(state.marks)
        last = self.at == len(self.pages) - 1
        words = word_face(DONE_WORD if last else "Next", size=19, weight=Weight.BOLD)
        self.next_key.show_face(Face(words.name, words.draw, words.content, heel=Token.ACT))
        self.back_key.show_face(word_face("Back", size=17).allowed(can=self.at > 0))
        self._lay_out()
        self.update()

    def _value(self, place: int) -> int | None:
        state, form = self.session.state, self.session.ground.form
        if place == 0:
            return state.overall
        if place <= len(form.dimensions):
            return state.dimensions.get(form.dimensions[place - 1].id)
        return state.independence

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        px, grows = self.skin.px, self.skin.grows
        head = grows(HEAD, HEAD, 0.5)
        tall = max(grows(70, 70, 0.3), self.skin.mm(tokens.ROUTINE_TARGET_MM))
        wide = max(grows(180, 180, 0.3), self.skin.mm(28))
        column = min(self.width() - px(12) * 4, px(1100))
        wide = min(wide, (column - 2 * px(10)) // 3)
        left = (self.width() - column) // 2
        said = self._said_high(column)
        high = max(1, self.height() - tall - px(30) - head - said)
        if self.skin.text == 1:
            high = min(high, px(720))
        foot, end = head + high + said + px(14), left + column
        self.give_key.setGeometry(left, foot, wide, tall)
        self.next_key.setGeometry(end - wide, foot, wide, tall)
        self.back_key.setGeometry(end - 2 * wide - px(10), foot, wide, tall)
        self.areas[self.at].setGeometry(left, head, column, high)
        self.areas[self.at].lay_out()
        self.lock_panel.setGeometry(self.rect())

    def _said_high(self, column: int) -> int:
        """Px of a row of its own for what stands in the way; enlarged it has none between keys."""
        if self.skin.text == 1 or not self.said:
            return 0
        return height_of(self.skin, self.said, column, SAID) + self.skin.px(10)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        pen.fill(QRectF(self.rect()), Token.SHEET)
        head = QRectF(0, 0, self.width(), self.skin.grows(HEAD, HEAD, 0.5) - px(10))
        pen.fill(head, Token.GROUND)
        inner = head.adjusted(px(24), 0, -px(24), 0)
        count = f"{self.at + 1} of {len(self.pages)}"
        end = pen.text(
            inner, count, Style(17, Weight.BOLD, Token.INK2, 13, across=RIGHT, down=MIDDLE)
        )
        title = pen.text(
            inner.adjusted(0, 0, -end.width - px(20), 0),
            self.title(),
            Style(22, Weight.BOLD, least=15, down=MIDDLE),
        )
        note = inner.adjusted(title.width + px(18), 0, -end.width - px(20), 0)
        style = Style(15, ink=Token.INK2, least=11, down=MIDDLE)
        if fit(self.skin, FORMATIVE, note.width(), note.height(), style).fits:
            pen.text(note, FORMATIVE, style)
        if self.said:
            pen.text(self._said_box(), self.said, SAID)
        painter.end()

    def _said_box(self) -> QRectF:
        """Between the keys of the foot, or enlarged above them."""
        px, key = self.skin.px, self.give_key.geometry()
        if self.skin.text > 1:
            wide = self.next_key.geometry().right() - key.x()
            high = self._said_high(wide)
            return QRectF(key.x(), key.y() - high - px(4), wide, high)
        left = key.right() + px(14)
        return QRectF(left, key.y(), self.back_key.x() - px(14) - left, key.height())
