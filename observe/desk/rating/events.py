"""Panes for critical events: which one it was, what became of it, what was watched throughout."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, Row
from observe.desk.live import reading
from observe.desk.live.asks import VERDICT_WORDS, WITHDRAW_REASONS
from observe.desk.live.model import LiveModel
from observe.desk.live.panels import AskPanel, Choice
from observe.desk.live.typed_reason import TypedReason, Typing
from observe.desk.paint import BOTTOM, MIDDLE, RIGHT, Pen, Style, fit
from observe.desk.rating.scales import paint_title, title_height
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.board import Occurrence, Verdict
from observe.domain.criticals import CriticalStanding, Finding, standings
from observe.domain.observation import Observation
from observe.domain.scoring import evidence
from observe.domain.words import counted, when
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

LABEL = Style(17, Weight.MEDIUM, least=13, down=MIDDLE)
SAID = Style(16, Weight.MEDIUM, Token.INK2, 12, down=MIDDLE)


class CriticalsPane(QWidget):
    """Each recorded event, and for the open one what is still asked (rule C3)."""

    TITLE = "Critical events"
    NOTE = "Each needs a name and what became of it."

    def __init__(self, skin: Skin, model: LiveModel, seat: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model, self.seat = skin, model, seat
        self.rows: list[Row] = []
        self.panel = AskPanel(skin, self, ground=Token.SHEET)
        self.typed = TypedReason(skin, self, ground=Token.SHEET)
        self.open = ""
        self._renaming = self._withdrawing = False
        self.setAccessibleName(f"{self.TITLE}. {self.NOTE}")

    def _occurrences(self) -> tuple[Occurrence, ...]:
        return self.model.state(self.seat).occurrences

    def _row(self, place: int) -> Row:
        row = Row(self.skin, self)
        row.struck.connect(lambda: self._choose(place))
        return row

    def _choose(self, place: int) -> None:
        self.open = self._occurrences()[place].id
        self._renaming = self._withdrawing = False
        self.refresh()

    def refresh(self) -> None:
        """Show the events, and ask about the open one."""
        found = self._occurrences()
        unfinished = [one for one in found if one.verdict is None]
        if found and self.open not in {one.id for one in found}:
            self.open = (unfinished or list(found))[0].id
        while len(self.rows) < len(found):
            self.rows.append(self._row(len(self.rows)))
        for place, row in enumerate(self.rows):
            row.setVisible(place < len(found))
            if place < len(found):
                self._face(row, found[place])
        self._lay_out()
        self._ask()

    def _face(self, row: Row, one: Occurrence) -> None:
        state = self.model.state(self.seat)
        label = state.ground.form.critical[one.item].label if one.item else "Not named yet"
        said = _verdict_words(one)
        fill = Token.CRITBG if one.id == self.open else Token.SHEET
        time = when(one)
        face = Face(f"{time}, {label}, {said}", paint_event, (time, label, said), fill=fill)
        row.show_face(face)

    def _ask(self) -> None:
        one = next((one for one in self._occurrences() if one.id == self.open), None)
        if not self._withdrawing:
            self.typed.hide()
        if one is None:
            self.panel.hide()
        elif self._withdrawing:
            self._ask_reason(one)
        elif not one.item or self._renaming:
            self._ask_item(one)
        else:
            self._ask_verdict(one)

    def _ask_item(self, one: Occurrence) -> None:
        items = self.model.state(self.seat).ground.form.criticals
        choices = [
            Choice(item.label, f"C{n}", partial(self._name, one, item.id), Token.CRIT)
            for n, item in enumerate(items, start=1)
        ]
        leaving = (Choice("It was none", "withdraw it, with a reason", self._begin_withdrawal),)
        self.panel.ask("Which one was it?", choices, leaving)

    def _ask_verdict(self, one: Occurrence) -> None:
        state = self.model.state(self.seat)
        offered = [
            verdict
            for verdict in gestures.offered_verdicts(state, one.item)
            if verdict is not Verdict.WITHDRAWN
        ]
        choices = [
            Choice(
                *VERDICT_WORDS[verdict],
                partial(self._classify, one, verdict),
                Token.CRIT if verdict is not one.verdict else Token.INK,
            )
            for verdict in offered
        ]
        leaving = (
            Choice("Another item", "name it differently", self._begin_renaming),
            Choice("It was none", "withdraw it, with a reason", self._begin_withdrawal),
        )
        item = state.ground.form.critical[one.item]
        self.panel.ask(f"{item.definition.strip()}  What became of it?", choices, leaving)

    def _ask_reason(self, one: Occurrence) -> None:
        if not self.typed.isHidden():
            return
        choices = [
            Choice(reason, "", partial(self._withdraw, one, reason)) for reason in WITHDRAW_REASONS
        ]
        choices.append(Choice("Another reason …", "in your words", partial(self._type, one)))
        self.panel.ask(
            "Why was it none? The record keeps that it was pressed.",
            choices,
            (Choice("Back", "", self._end_asking),),
        )

    def _type(self, one: Occurrence) -> None:
        """Ask for a reason in one's own words; what is typed is kept until it is given."""
        slot = (self.seat, f"why:{one.id}")
        words = "Withdraw it, with this reason"
        typing = Typing("Why was it none?", slot[1], words, partial(self._withdraw, one))
        kept = self.model.drafts.get(slot, "")
        draft = partial(self.model.drafts.__setitem__, slot)
        self.panel.hide()
        self.typed.ask(typing, kept, draft=draft, back=self._end_typing)

    def _end_typing(self) -> None:
        self.typed.hide()
        self._ask()

    def _begin_renaming(self) -> None:
        self._renaming = True
        self._ask()

    def _begin_withdrawal(self) -> None:
        self._withdrawing = True
        self._ask()

    def _end_asking(self) -> None:
        self._renaming = self._withdrawing = False
        self._ask()

    def _name(self, one: Occurrence, item: str) -> None:
        self._renaming = False
        self.model.do(self.seat, gestures.name_critical, one.id, item)

    def _classify(self, one: Occurrence, verdict: Verdict) -> None:
        if self.model.do(self.seat, gestures.classify, one.id, verdict) is not None:
            self._go_to_next()

    def _withdraw(self, one: Occurrence, reason: str) -> None:
        self._withdrawing = False
        if self.model.do(self.seat, gestures.classify, one.id, Verdict.WITHDRAWN, reason):
            self.model.drafts.pop((self.seat, f"why:{one.id}"), None)
            self._go_to_next()

    def _go_to_next(self) -> None:
        unfinished = [one for one in self._occurrences() if one.verdict is None]
        if unfinished:
            self.open = unfinished[0].id
        self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _row_high(self, width: int) -> int:
        """Px of height of each event's row."""
        lines = [(row.face.content[1], row.face.content[2]) for row in self._shown()]
        needed = [line_height(self.skin, width - self.skin.px(134), *one) for one in lines]
        return max([self.skin.px(48), self.skin.mm(9), *needed])

    def _shown(self) -> list[Row]:
        return [row for row in self.rows if row.isVisibleTo(self)]

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the rows give first."""
        if self.skin.text == 1:
            return 0
        px = self.skin.px
        rows = len(self._shown()) * (self._row_high(width) + px(4)) + px(8)
        return self._top(width) + rows + self.panel.least_height(width)

    def _top(self, width: int) -> int:
        return title_height(self.skin, width, self.TITLE, self.NOTE)

    def _lay_out(self) -> None:
        px = self.skin.px
        shown = self._shown()
        high = self._row_high(self.width())
        if len(shown) > 4 and self.skin.text == 1:
            high = max(px(30), min(high, self.height() // 2 // len(shown)))
        y = self._top(self.width())
        for row in shown:
            row.setGeometry(0, y, self.width(), high)
            y += high + px(4)
        for panel in (self.panel, self.typed):
            panel.setGeometry(0, y + px(8), self.width(), max(1, self.height() - y - px(8)))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_title(Pen(painter, self.skin), self, self.TITLE, self.NOTE)
        painter.end()


def _verdict_words(one: Occurrence) -> str:
    if one.verdict is Verdict.WITHDRAWN:
        return "withdrawn"
    return "open" if one.verdict is None else VERDICT_WORDS[one.verdict][0].lower()


def paint_event(pen: Pen, box: QRectF, ink: Token, time: str, label: str, said: str) -> None:
    """An event in one row: pennant, time, item, what became of it."""
    px = pen.skin.px
    pen.frame(box, Token.RULE, 1)
    side = px(20)
    y = round(box.center().y() - side / 2)
    pen.shapes(sign_shapes(SignLook.ABSOLUTE, side), box.x() + px(12), y)
    line = box.adjusted(px(44), 0, -px(14), 0)
    pen.text(line, time, Style(18, Weight.BOLD, Token.CRIT, 14, down=MIDDLE))
    paint_line(pen, line.adjusted(px(76), 0, 0, 0), ink, label, said)


def _is_one_line(skin: Skin, width: float, label: str, said: str) -> bool:
    """Whether a label and what is said of it have room beside each other."""
    end = fit(skin, said, width, skin.text_px(SAID.size), SAID)
    rest = width - end.width - skin.px(12)
    return skin.text == 1 or (end.fits and fit(skin, label, rest, skin.px(44), LABEL).fits)


def line_height(skin: Skin, width: float, label: str, said: str) -> int:
    """Px of height of a label with what is said of it beside or, enlarged, below; with its air."""
    if _is_one_line(skin, width, label, said):
        return skin.px(48)
    below = height_of(skin, said, width, SAID)
    return height_of(skin, label, width, LABEL) + below + skin.px(16)


def paint_line(pen: Pen, box: QRectF, ink: Token, label: str, said: str) -> None:
    """A label, and what is said of it at the right end or below."""
    px = pen.skin.px
    style = replace(LABEL, ink=ink)
    if _is_one_line(pen.skin, box.width(), label, said):
        end = pen.text(box, said, replace(SAID, across=RIGHT))
        pen.text(box.adjusted(0, 0, -end.width - px(12), 0), label, style)
        return
    below = height_of(pen.skin, said, box.width(), SAID)
    first = QRectF(box.x(), box.y(), box.width(), box.height() - below - px(6))
    pen.text(first, label, replace(style, down=BOTTOM))
    pen.text(QRectF(box.x(), first.bottom(), box.width(), below + px(2)), said, SAID)


class WatchedPane(QWidget):
    """Items whose watch steps were not all seen: attest that they were watched (rule C1)."""

    TITLE = "Watched throughout"
    NOTE = "Press those you did watch, though a step of theirs was not seen."

    def __init__(self, skin: Skin, model: LiveModel, seat: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model, self.seat = skin, model, seat
        self.keys: list[Key] = []
        self._items: tuple[str, ...] = ()
        self.setAccessibleName(f"{self.TITLE}. {self.NOTE}")

    def refresh(self) -> None:
        """Show the items, and which were attested."""
        state = self.model.state(self.seat)
        found = unwatched(state)
        self._items = tuple(one.item.id for one in found)
        while len(self.keys) < len(found):
            key = Key(self.skin, self)
            key.struck.connect(partial(self._turn, len(self.keys)))
            self.keys.append(key)
        for place, key in enumerate(self.keys):
            key.setVisible(place < len(found))
            if place < len(found):
                one = found[place]
                numbers = ", ".join(str(state.numbers[step]) for step in one.unseen)
                chosen = one.item.id in state.attested
                note = "watched throughout" if chosen else f"not seen: step {numbers}"
                face = Face(f"{one.item.label}, {note}", paint_watch, (one.item.label, note))
                key.show_face(Face(face.name, face.draw, face.content, chosen=chosen))
        self._lay_out()

    def _turn(self, place: int) -> None:
        state = self.model.state(self.seat)
        changed = set(state.attested) ^ {self._items[place]}
        self.model.do(self.seat, gestures.attest_watched, changed)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _high(self, width: int) -> int:
        """Px of height that each key needs."""
        shown = [key.face.content for key in self.keys[: len(self._items)]]
        needed = [line_height(self.skin, width - self.skin.px(30), *one) for one in shown]
        return max([self.skin.mm(ROUTINE_TARGET_MM), *(one + self.skin.px(6) for one in needed)])

    def _top(self, width: int) -> int:
        return title_height(self.skin, width, self.TITLE, self.NOTE)

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        return self._top(width) + len(self._items) * (self._high(width) + self.skin.px(8))

    def _lay_out(self) -> None:
        px, wide = self.skin.px, self.width()
        gap, top = px(8), self._top(wide)
        count = max(1, len(self._items))
        high = min(max(px(70), self._high(wide)), (self.height() - top) // count - gap)
        for place, key in enumerate(self.keys):
            key.setGeometry(0, top + place * (high + gap), wide, high)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_title(Pen(painter, self.skin), self, self.TITLE, self.NOTE)
        painter.end()


def unwatched(state: Observation) -> tuple[CriticalStanding, ...]:
    """Items with unseen watch steps and nothing recorded, attested ones included."""
    shown = evidence(state)
    return tuple(
        one
        for one in standings(shown).values()
        if one.unseen and one.finding in (Finding.NOT_WATCHED, Finding.CLEAR)
    )


def paint_watch(pen: Pen, box: QRectF, ink: Token, label: str, note: str) -> None:
    """An item on its key, with what was not seen of it."""
    px = pen.skin.px
    paint_line(pen, box.adjusted(px(16), 0, -px(14), 0), ink, label, note)


def events_said(state: Observation) -> str:
    """How far the critical events are: for the rail."""
    waiting = sum(one.verdict is None for one in state.occurrences)
    if waiting:
        return f"{waiting} open"
    return counted(len(reading.recorded(state)), "event")
