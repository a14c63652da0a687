"""Changing observers on one tablet: a name, then a PIN; nothing of the other's marks (T3, K1)."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, word_face
from observe.desk.paint import BOTTOM, MIDDLE, Pen, Style
from observe.desk.sharing.pad import PinPad
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.domain.troubles import Refused, Surroundings
from observe.domain.words import counted
from observe.domain.workshop import Workshop
from observe.look import tokens
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight
from observe.work.pins import HONEST, Pins

TITLE = Style(26, Weight.BOLD, least=16, down=BOTTOM)
NOTE = Style(16, ink=Token.INK2, least=12.5, leading=LINE_HEIGHT_READING)
NAME = Style(24, Weight.BOLD, least=14, down=BOTTOM)
WATCHES = Style(15, ink=Token.INK2, least=12, down=MIDDLE)
WHO = "Who observes now?"
ASK_TO_SET = "Set a PIN, so that nobody marks in your name by mistake?"
FORGOTTEN = "Another observer removes a forgotten PIN with their own one."
ALONE = "Nobody else here has a PIN. Remove this file, and everybody sets a PIN anew:"


@dataclass(frozen=True, slots=True)
class Watcher:
    """One who observes in a workshop: id, name, how many learners they watch."""

    id: str
    name: str
    watches: int


def watchers(workshop: Workshop, names: Mapping[str, str]) -> tuple[Watcher, ...]:
    """Those who watch somebody in a workshop; nothing of what they saw (rule T3)."""
    counts = {
        one: sum(one in seat.observers for seat in workshop.seats) for one in workshop.observers
    }
    return tuple(Watcher(one, names.get(one, one), count) for one, count in counts.items() if count)


class SwitchPanel(QWidget):
    """One press for the panel, one for the name, then the digits: six for a PIN of four.

    people: those who watch somebody. now: who observes at present, empty on the start
    page. `switched` is emitted with the id of who was let in, `left` when nobody was.
    """

    switched = Signal(str)
    left = Signal()

    def __init__(
        self,
        skin: Skin,
        pins: Pins,
        people: Sequence[Watcher],
        parent: QWidget | None = None,
        *,
        now: str = "",
    ) -> None:
        super().__init__(parent)
        self.skin, self.pins, self.people, self.now = skin, pins, tuple(people), now
        self.title, self.text, self.where = WHO, "", ""
        self.answers = Answers(skin)
        self.area = Tall(skin, self, self.answers, self.answers.needed)
        self.keys = self.answers.keys
        self._deeds: list[Callable[[], None]] = []
        self.pad = PinPad(skin, self)
        self.pad.entered.connect(self._entered)
        self.back_key = Key(skin, self, word_face("Back", size=17))
        self.back_key.struck.connect(self._back)
        self.help_key = Key(skin, self, word_face("Forgotten", size=17))
        self.help_key.struck.connect(self._forgotten)
        self._person: Watcher | None = None
        self._voucher: Watcher | None = None
        self._first = ""
        self._heard: Callable[[str], None] = self._try
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        skin.changed.connect(self.update)
        self.show_people()

    # pages

    def show_people(self) -> None:
        """The names, each on a key."""
        self._person = self._voucher = None
        faces = [(self._face(one), partial(self._choose, one)) for one in self.people]
        self._show(WHO, HONEST, faces)

    def _face(self, one: Watcher) -> Face:
        here = one.id == self.now
        note = f"watches {counted(one.watches, 'learner')}{', at the tablet now' if here else ''}"
        return Face(
            f"{one.name}, {note}", paint_person, (one.name, note), heel=Token.ACT, chosen=here
        )

    def _show(
        self,
        title: str,
        text: str,
        answers: Sequence[tuple[Face, Callable[[], None]]],
        *,
        where: str = "",
    ) -> None:
        """A question with keys for its answers."""
        self.title, self.text, self.where = title, text, where
        self.setFocusProxy(None)  # type: ignore[arg-type] # Qt's stubs do not know that it may
        self.pad.hide()
        self.help_key.hide()
        while len(self.keys) < len(answers):
            key = Key(self.skin, self.answers)
            key.struck.connect(partial(self._answer, len(self.keys)))
            self.keys.append(key)
        self._deeds = [deed for _, deed in answers]
        for place, key in enumerate(self.keys):
            key.setVisible(place < len(answers))
            if place < len(answers):
                key.show_face(answers[place][0])
        self._settle()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _settle(self) -> None:
        self.setAccessibleName(f"{self.title} {self.text}")
        self._lay_out()
        self.update()

    def _answer(self, place: int) -> None:
        self._deeds[place]()

    def _ask_pin(
        self,
        title: str,
        note: str,
        heard: Callable[[str], None],
        *,
        digits: int,
        forgettable: bool = False,
    ) -> None:
        self.title = self.text = self.where = ""
        for key in self.keys:
            key.hide()
        self._heard = heard
        self.help_key.setVisible(forgettable)
        self.pad.show()
        self.setFocusProxy(self.pad)  # so that digits reach it as soon as the panel is shown
        self.pad.ask(title, note, digits=digits)
        self._settle()

    def _entered(self, pin: str) -> None:
        self._heard(pin)

    # who

    def choose(self, person: str) -> None:
        """Go on with somebody whose name was pressed elsewhere, as on the start page.

        Where nothing is asked of them, `switched` is emitted at once. Raises KeyError for
        somebody who watches nobody.
        """
        self._choose({one.id: one for one in self.people}[person])

    def _choose(self, one: Watcher) -> None:
        if one.id == self.now:
            self.left.emit()
            return
        self._person = one
        try:
            digits = self.pins.digits(one.id)
            asks = not digits and self.pins.should_ask(one.id, len(self.people))
        except Surroundings as trouble:
            self._tell(trouble)
            return
        if digits:
            self._ask_pin(one.name, "Enter your PIN.", self._try, digits=digits, forgettable=True)
            self._show_wait(one)
        elif asks:
            self._ask_to_set(one)
        else:
            self._let_in()

    def _show_wait(self, one: Watcher) -> None:
        wait = self.pins.wait_s(one.id)
        if wait:
            self.pad.refuse("", wait_s=wait)

    def _let_in(self) -> None:
        if self._person is not None:
            self.switched.emit(self._person.id)

    def _try(self, pin: str) -> None:
        if self._person is not None and self._passes(self._person, pin):
            self._let_in()

    def _passes(self, one: Watcher, pin: str) -> bool:
        """Whether somebody's PIN is right; if not, it is said why."""
        try:
            self.pins.enter(one.id, pin)
        except Refused as refusal:
            self.pad.refuse(f"{refusal.what} {refusal.remedy}", wait_s=self.pins.wait_s(one.id))
            return False
        except Surroundings as trouble:
            self._tell(trouble)
            return False
        return True

    # setting a PIN

    def _ask_to_set(self, one: Watcher) -> None:
        answers = (
            (word_face("Set a PIN", size=19, weight=Weight.BOLD), self._begin_setting),
            (word_face("Not now", size=19), self._not_now),
        )
        self._show(f"{one.name}: {ASK_TO_SET}", HONEST, answers)

    def _not_now(self) -> None:
        if self._person is not None:
            self.pins.asked.add(self._person.id)
        self._let_in()

    def _begin_setting(self) -> None:
        if self._person is not None:
            self._ask_pin(
                self._person.name, "Choose 4 to 6 digits, then go on.", self._set_first, digits=0
            )

    def _set_first(self, pin: str) -> None:
        if self._person is None:
            return
        self._first = pin
        self._ask_pin(self._person.name, "The same once more.", self._set_again, digits=len(pin))

    def _set_again(self, pin: str) -> None:
        first, self._first = self._first, ""
        if self._person is None:
            return
        try:
            self.pins.choose(self._person.id, first, pin)
        except Refused as refusal:
            self._begin_setting()
            self.pad.refuse(f"{refusal.what} {refusal.remedy}")
        except Surroundings as trouble:
            self._tell(trouble)
        else:
            self._let_in()

    # a forgotten one, and a damaged file

    def _forgotten(self) -> None:
        person = self._person
        if person is None:
            return
        try:
            able = set(self.pins.vouchers(person.id))
        except Surroundings as trouble:
            self._tell(trouble)
            return
        found = [one for one in self.people if one.id in able]
        if not found:
            self._show(ALONE, HONEST, (), where=str(self.pins.path))
            return
        answers = [
            (word_face(one.name, size=19, weight=Weight.BOLD), partial(self._vouch, one))
            for one in found
        ]
        self._show(FORGOTTEN, f"{person.name} then sets a new one.", answers)

    def _vouch(self, one: Watcher) -> None:
        self._voucher = one
        note = f"Your own PIN removes that of {self._person.name if self._person else ''}."
        self._ask_pin(one.name, note, self._remove, digits=self.pins.digits(one.id))
        self._show_wait(one)

    def _remove(self, pin: str) -> None:
        person, voucher = self._person, self._voucher
        if person is None or voucher is None:
            return
        try:
            self.pins.remove(person.id, by=voucher.id, pin=pin)
        except Refused as refusal:
            wait = self.pins.wait_s(voucher.id)
            self.pad.refuse(f"{refusal.what} {refusal.remedy}", wait_s=wait)
        except Surroundings as trouble:
            self._tell(trouble)
        else:
            self.show_people()
            self.text = f"The PIN of {person.name} is removed. {HONEST}"
            self.update()

    def _tell(self, trouble: Surroundings) -> None:
        answers = ((word_face("Set the file aside", size=19), self._set_aside),)
        said = f"{trouble.what} {trouble.remedy}"
        self._show(said, HONEST, answers, where=trouble.where)

    def _set_aside(self) -> None:
        try:
            self.pins.set_aside()
        except Surroundings as trouble:
            self._tell(trouble)
            return
        self.show_people()

    def _back(self) -> None:
        if self._person is None:
            self.left.emit()
        else:
            self.show_people()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc goes back; a number chooses the name in that place."""
        if event.key() == Qt.Key.Key_Escape:
            self._back()
        elif event.text().isdigit() and not self.pad.isVisible():
            place = int(event.text()) - 1
            if 0 <= place < len(self._deeds):
                self._deeds[place]()
        event.accept()

    # geometry and painting

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _column(self) -> QRect:
        """Where it is asked: a column in the middle, no higher than it can be used."""
        wide = min(self.width() - self.skin.px(48), self.skin.px(760))
        high = min(self.height(), self.skin.px(760))
        return QRect((self.width() - wide) // 2, (self.height() - high) // 2, wide, high)

    def _lay_out(self) -> None:
        px = self.skin.px
        column = self._column()
        left, wide = column.x(), column.width()
        tall = max(self.skin.grows(70, 70, 0.3), self.skin.mm(tokens.ROUTINE_TARGET_MM))
        foot = column.y() + column.height() - tall - px(18)
        self.area.setVisible(not self.pad.isVisibleTo(self))
        third = max(self.skin.grows(180, 180, 0.4), self.skin.mm(24))
        self.back_key.setGeometry(left, foot, third, tall)
        self.help_key.setGeometry(left + wide - third, foot, third, tall)
        self.pad.setGeometry(left, column.y() + px(24), wide, foot - column.y() - px(34))
        top = round(self._texts()[2])
        self.answers.shown = len(self._deeds)
        self.area.setGeometry(left, top, wide, max(1, foot - px(18) - top))
        self.area.lay_out()

    def _texts(self) -> tuple[QRectF, QRectF, float]:
        """The places of title and note, and where they end."""
        px, column = self.skin.px, self._column()
        left, wide, top = column.x(), column.width(), column.y()
        if self.skin.text == 1:
            title = QRectF(left, top + px(24), wide, px(80))
            return title, QRectF(left, top + px(112), wide, px(66)), top + px(190)
        named = height_of(self.skin, self.title, wide, TITLE)
        said = height_of(self.skin, self.text, wide, NOTE)
        title = QRectF(left, top + px(16), wide, named)
        note = QRectF(left, title.bottom() + px(6), wide, said)
        return title, note, note.bottom() + px(14)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        pen.fill(QRectF(self.rect()), Token.SHEET)
        column = self._column()
        title, note, end = self._texts()
        if self.title:
            pen.text(title, self.title, TITLE)
            pen.text(note, self.text, NOTE)
        if self.where:
            y = end + self.answers.needed(column.width())
            code = Style(15, least=11, code=True)
            pen.text(QRectF(column.x(), y, column.width(), px(80)), self.where, code)
        painter.end()


class Answers(QWidget):
    """The keys of the answers to a question. shown: how many of them there are now."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin, self.shown = skin, 0
        self.keys: list[Key] = []

    def _columns(self, width: int) -> int:
        return 2 if self.shown > 4 and (self.skin.text == 1 or width >= self.skin.px(600)) else 1

    def _rows(self, width: int) -> int:
        return -(-self.shown // self._columns(width))

    def _high(self, width: int) -> int:
        """Px of height of a key: what its texts need, enlarged."""
        usual = max(self.skin.grows(88, 88, 0.3), self.skin.mm(16))
        if self.skin.text == 1:
            return usual
        px, columns = self.skin.px, self._columns(width)
        wide = (width - px(10) * (columns - 1)) / columns - px(36)
        faces = [key.face for key in self.keys[: self.shown]]
        texts = [face.content for face in faces if face.draw is paint_person]
        return max([usual, *(person_height(self.skin, wide, *one) for one in texts)])

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the keys give."""
        least = self.skin.mm(tokens.ROUTINE_TARGET_MM) if self.skin.text == 1 else 0
        return self._rows(width) * (max(least, self._high(width)) + self.skin.px(10))

    def resizeEvent(self, event: QResizeEvent) -> None:
        wide, gap = self.width(), self.skin.px(10)
        columns, rows = self._columns(wide), max(1, self._rows(wide))
        high = min(self._high(wide), self.height() // rows - gap)
        each = (wide - gap * (columns - 1)) // columns
        for place, key in enumerate(self.keys[: self.shown]):
            row, across = divmod(place, columns)
            key.setGeometry(across * (each + gap), row * (high + gap), each, high)


def person_height(skin: Skin, width: float, name: str, note: str) -> int:
    """Px of height that an observer needs on their key; see `paint_person`."""
    below = height_of(skin, note, width, WATCHES)
    return height_of(skin, name, width, NAME) + below + skin.px(18)


def paint_person(pen: Pen, box: QRectF, ink: Token, name: str, note: str) -> None:
    """An observer on their key: name, and how many they watch."""
    px = pen.skin.px
    inner = box.adjusted(px(18), px(4), -px(14), -px(4))
    half = inner.height() * 0.56
    if pen.skin.text > 1:
        half = inner.height() - height_of(pen.skin, note, inner.width(), WATCHES) - px(4)
    first = QRectF(inner.x(), inner.y(), inner.width(), half)
    pen.text(first, name, replace(NAME, ink=ink))
    below = QRectF(inner.x(), inner.y() + half, inner.width(), inner.height() - half)
    pen.text(below, note, WATCHES)
