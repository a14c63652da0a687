"""The rating of one learner, in the order of rule D3; left and come back to at any time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, Row, word_face
from observe.desk.live import reading
from observe.desk.live.model import LiveModel
from observe.desk.paint import BOTTOM, MIDDLE, RIGHT, Pen, Style
from observe.desk.rating.events import CriticalsPane, WatchedPane, events_said, unwatched
from observe.desk.rating.scales import DimensionsPane, Point, ScalePane
from observe.desk.rating.summary import SummaryPane
from observe.desk.rating.words import WordsPane
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.observation import Observation, Slot
from observe.domain.words import counted
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

RAIL_SHARE = 0.32
"""Of the width, at most, for the rail where text is enlarged."""
TITLE = Style(18, Weight.BOLD, least=13, down=MIDDLE)
SAID = Style(15, least=11.5, down=MIDDLE)
"""A part of the rating in the rail."""


@dataclass(frozen=True)
class Ending:
    """What is said of how an observation ends. covered: why no score is seen, and shorter."""

    deed: str
    covered: str
    covered_short: str
    ready: str


_VOID = "Void: it counts neither as a decision nor as an attempt."
WHOLE = Ending(
    "rate the whole attempt",
    "The score stays covered until you seal.",
    "The score stays covered.",
    "Sealing shows the score and the decision.",
)
PART = Ending(
    "seal your part",
    "The score stays covered until every part is sealed.",
    "The score stays covered.",
    "Sealing ends your part. Whoever went on rates the attempt.",
)
VOIDED = Ending("a void attempt", _VOID, "Void: it counts as nothing.", _VOID)


@dataclass(frozen=True)
class Section:
    """One part of the rating. said: how far it is, for the rail."""

    title: str
    pane: QWidget
    needed: Callable[[int], int]
    refresh: Callable[[], None]
    said: Callable[[Observation], str]
    is_done: Callable[[Observation], bool]


class RatingPage(QWidget):
    """Sections at the left, the open one at the right, what is missing and the seal below."""

    back = Signal()
    sealed = Signal(int)

    def __init__(self, skin: Skin, model: LiveModel, seat: int) -> None:
        super().__init__()
        self.skin, self.model, self.seat = skin, model, seat
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.sections = self._make_sections()
        self.areas = [Tall(skin, self, one.pane, one.needed) for one in self.sections]
        rail = Rail(skin, len(self.sections))
        self.rows, self.rail = rail.rows, Tall(skin, self, rail, rail.needed)
        for place, row in enumerate(self.rows):
            row.struck.connect(partial(self.open_section, place))
        self.back_key = Key(skin, self, word_face("Back to the seats", size=17))
        self.back_key.struck.connect(self.leave)
        self.on_key = Key(skin, self)
        self.on_key.struck.connect(self.go_on)
        self.now = 0
        self._stilled: set[Key] = set()
        model.changed.connect(self._changed)
        model.trouble_changed.connect(self.refresh)
        skin.changed.connect(self.refresh)
        self.open_section(self._first_unfinished())

    @property
    def state(self) -> Observation:
        return self.model.state(self.seat)

    # sections

    def _make_sections(self) -> list[Section]:
        if self.state.void:
            return [self._summary_section()]
        if self.state.handed:
            return [*self._events_sections(), self._summary_section()]
        form = self.state.ground.form
        sections = [self._overall_section()]
        if form.dimensions:
            sections.append(self._dimensions_section())
        if form.independence:
            sections.append(self._independence_section())
        sections.extend(self._events_sections())
        if unwatched(self.state):
            watched = WatchedPane(self.skin, self.model, self.seat, self)
            sections.append(
                Section(
                    watched.TITLE,
                    watched,
                    watched.needed,
                    watched.refresh,
                    _watched_said,
                    lambda _: True,
                )
            )
        words = WordsPane(self.skin, self.model, self.seat, self)
        sections.append(
            Section(
                "Strength and change", words, words.needed, words.refresh, _words_said, _words_given
            )
        )
        sections.append(self._summary_section())
        return sections

    def _events_sections(self) -> list[Section]:
        """What became of each critical event; nothing where none was recorded (rule C3)."""
        if not self.state.occurrences:
            return []
        pane = CriticalsPane(self.skin, self.model, self.seat, self)
        return [
            Section(
                pane.TITLE, pane, pane.needed, pane.refresh, events_said, _events_are_classified
            )
        ]

    def _overall_section(self) -> Section:
        overall = self.state.ground.form.overall
        points = [
            Point(
                one.value,
                one.label,
                one.anchor,
                _tag(one.label, is_borderline=one.value == overall.borderline),
            )
            for one in overall.grades
        ]
        note = "Of the whole attempt, as you saw it. Required."
        pane = ScalePane(self.skin, overall.label, note, points, self._give_overall, self)
        labels = {one.value: one.label for one in overall.grades}

        def said(state: Observation) -> str:
            value = state.overall
            return "not yet" if value is None else f"{value} {labels[value]}"

        return Section(
            overall.label,
            pane,
            pane.needed,
            lambda: pane.show_value(self.state.overall),
            said,
            lambda state: state.overall is not None,
        )

    def _dimensions_section(self) -> Section:
        pane = DimensionsPane(self.skin, self.model, self.seat, self)
        count = len(self.state.ground.form.dimensions)
        return Section(
            pane.TITLE,
            pane,
            pane.needed,
            pane.refresh,
            lambda state: f"{len(state.dimensions)} of {count}, optional",
            lambda state: len(state.dimensions) == count,
        )

    def _independence_section(self) -> Section:
        points = [Point(one.level, one.label, "") for one in self.state.ground.form.independence]
        note = "How much help the attempt needed. Optional."
        pane = ScalePane(self.skin, "Independence", note, points, self._give_independence, self)
        return Section(
            "Independence",
            pane,
            pane.needed,
            lambda: pane.show_value(self.state.independence),
            lambda s: "optional" if s.independence is None else f"level {s.independence}",
            lambda state: state.independence is not None,
        )

    def _summary_section(self) -> Section:
        pane = SummaryPane(self.skin, self.model, self.seat, self)
        return Section(pane.TITLE, pane, pane.needed, pane.refresh, _missing_said, lambda _: False)

    def _first_unfinished(self) -> int:
        """Where an interrupted rating goes on: the first part that was begun with nothing."""
        state = self.state
        places = [n for n, one in enumerate(self.sections) if not one.is_done(state)]
        return places[0] if places else len(self.sections) - 1

    # deeds

    def _give_overall(self, value: int) -> None:
        fresh = self.state.overall is None
        if self.model.rate(self.seat, gestures.give_overall, value) is not None and fresh:
            self.go_on()

    def _give_independence(self, level: int) -> None:
        fresh = self.state.independence is None
        if self.model.rate(self.seat, gestures.give_independence, level) is not None and fresh:
            self.go_on()

    def open_section(self, place: int) -> None:
        """Open one part; what was typed in another is kept."""
        self.now = place
        self.model.seal_in_sight(self.seat)
        for number, area in enumerate(self.areas):
            area.setVisible(number == place)
            area.verticalScrollBar().setValue(0)
        self.refresh()

    def go_on(self) -> None:
        """To the next part; on the last one, seal, once it has been in sight for a moment.

        Where something could not be kept, try that again first.
        """
        if self.model.trouble is not None:
            self.model.try_again()
            if self.state.sealed:
                self.sealed.emit(self.seat)
            return
        if self.now < len(self.sections) - 1:
            self.open_section(self.now + 1)
        elif self.model.seal(self.seat) is not None:
            self.sealed.emit(self.seat)

    def leave(self) -> None:
        """Back to the seats; everything given stays given."""
        self.back.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if event.isAutoRepeat():
            return
        if key == Qt.Key.Key_Escape:
            self.leave()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.on_key.isEnabled():
                self.go_on()
        elif Qt.Key.Key_1 <= key <= Qt.Key.Key_9:
            self._press_number(key - Qt.Key.Key_1)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            there = self.now + (1 if key == Qt.Key.Key_Down else -1)
            if 0 <= there < len(self.sections):
                self.open_section(there)
        else:
            super().keyPressEvent(event)

    def _press_number(self, place: int) -> None:
        """The answer with this number in the open part."""
        pane = self.sections[self.now].pane
        keys = pane.keys if isinstance(pane, ScalePane | DimensionsPane | WatchedPane) else []
        if isinstance(pane, CriticalsPane):
            pane.panel.answer(place)
        elif place < len(keys) and keys[place].isVisible():
            keys[place].click()

    # showing

    def _changed(self, seat: int) -> None:
        if seat == self.seat:
            self.refresh()

    def refresh(self) -> None:
        """Show how far the rating is."""
        state = self.state
        if state.sealed:
            return
        for place, (row, section) in enumerate(zip(self.rows, self.sections, strict=True)):
            said, done = section.said(state), section.is_done(state)
            here = place == self.now
            content = (section.title, said, "done" if done else "", here)
            fill = Token.BAND if here else Token.SHEET
            row.show_face(Face(f"{section.title}, {said}", paint_section, content, fill=fill))
        self.rail.lay_out()
        self.rail.ensureWidgetVisible(self.rows[self.now], 0, self.skin.px(6))
        self.sections[self.now].refresh()
        self.areas[self.now].lay_out()
        self._show_whether_it_keeps(self.sections[self.now].pane)
        last = self.now == len(self.sections) - 1
        again = self.model.trouble is not None
        can = again or not last or not gestures.missing(state)
        words = "Try again" if again else "Seal" if last else "Go on"
        face = Face(
            words,
            paint_on,
            (words,),
            fill=Token.ACT,
            heel=Token.ACT,
            ink=Token.WELL,
            border=Token.ACT,
        )
        self.on_key.show_face(face.allowed(can=can))
        self.update()

    def _show_whether_it_keeps(self, pane: QWidget) -> None:
        """While nothing can be kept no answer has a heel; afterwards those get it back."""
        if self.model.trouble is None:
            for key in self._stilled:
                key.show_face(key.face.allowed(can=True))
            self._stilled.clear()
            return
        for key in pane.findChildren(Key):
            if key.face.can and not isinstance(key, Row):
                key.show_face(key.face.allowed(can=False))
                self._stilled.add(key)

    # geometry

    def _measures(self) -> tuple[int, int, int]:
        """Height of the head, of the foot, and width of the rail."""
        grows, wide = self.skin.grows, self.width()
        rail = self.skin.px(270)
        if self.skin.text > 1:
            rail = min(rail, max(round(wide * RAIL_SHARE), self.skin.still(270, 270)))
        return grows(70, 70, 0.5), max(grows(84, 84, 0.5), self.skin.mm(14)), rail

    def resizeEvent(self, event: QResizeEvent) -> None:
        px = self.skin.px
        head, foot, rail = self._measures()
        pad = px(8)
        room = self.height() - head - foot - pad
        self.rail.setGeometry(pad, head + pad, rail, room - pad)
        self.rail.lay_out()
        x = pad + rail + px(24)
        for area in self.areas:
            area.setGeometry(x, head + pad, self.width() - x - px(18), room - pad)
            area.lay_out()
        y = self.height() - foot + px(4)
        tall = foot - px(12)
        self.back_key.setGeometry(pad, y, self.skin.grows(190, 190, 0.5), tall)
        wide = self.skin.grows(230, 230, 0.4)
        self.on_key.setGeometry(self.width() - wide - pad, y, wide, tall)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        head, foot, rail = self._measures()
        box = QRectF(self.rect())
        pen.fill(box, Token.GROUND)
        body = QRectF(px(8) + rail + px(8), head + px(6), 0, 0)
        body.setRight(box.width() - px(6))
        body.setBottom(box.height() - foot - px(2))
        pen.fill(body, Token.SHEET)
        pen.frame(body, Token.RULE, 1)
        self._paint_head(pen, QRectF(0, 0, box.width(), head))
        self._paint_missing(pen)
        painter.end()

    @property
    def ending(self) -> Ending:
        """How this observation ends: void, as a part of a watch, or as a whole."""
        if self.state.void:
            return VOIDED
        return PART if self.state.handed else WHOLE

    def _paint_head(self, pen: Pen, box: QRectF) -> None:
        px = self.skin.px
        pen.fill(box, Token.BAND)
        inner = box.adjusted(px(16), 0, -px(16), 0)
        number = pen.text(
            inner,
            str(self.model.number(self.seat)),
            Style(30, Weight.BLACK, Token.ONBAND2, down=MIDDLE),
        )
        wide = min(px(360), box.width() * 0.42)
        right = QRectF(inner.right() - wide, 0, wide, box.height())
        above = right.adjusted(0, px(8), 0, -box.height() / 2)
        below = right.adjusted(0, box.height() / 2, 0, -px(8))
        pen.text(
            above,
            self.ending.covered,
            Style(16, Weight.BOLD, Token.ONBAND, 12, RIGHT, BOTTOM),
            shorter=(self.ending.covered_short,),
        )
        style = Style(15, ink=Token.ONBAND2, least=12, across=RIGHT)
        pen.text(below, self._seen(), style, shorter=(self._seen().split(",")[0],))
        name = inner.adjusted(number.width + px(12), 0, -right.width() - px(10), 0)
        style = Style(28, Weight.BOLD, Token.ONBAND, 16, down=MIDDLE)
        whole = self.model.name(self.seat)
        shorter = (whole, *reading.initials(whole))
        pen.text(name, f"{whole}, {self.ending.deed}", style, shorter=shorter)

    def _seen(self) -> str:
        state = self.state
        total = len(state.steps)
        seen = sum(state.mark(step.id).state.value != "not-seen" for step in state.steps)
        said = f"{seen} of {counted(total, 'step')} seen"
        events = len(reading.recorded(state))
        return f"{said}, {counted(events, 'critical event')}" if events else said

    def _paint_missing(self, pen: Pen) -> None:
        """What is missing, beside the key that waits for it."""
        px = self.skin.px
        key = self.back_key.geometry()
        left, right = key.right() + px(14), self.on_key.x() - px(14)
        box = QRectF(left, key.y(), right - left, key.height())
        if self.model.trouble is not None:
            words, ink = f"{self.model.trouble.what} {self.model.trouble.remedy}", Token.WRONG
        else:
            missing = gestures.missing(self.state)
            words = " ".join(missing) if missing else self.ending.ready
            ink = Token.INK2
        style = Style(16, ink=ink, least=11.5, down=MIDDLE, leading=1.2)
        pen.text(box, words, style, shorter=self._missing_shorter())

    def _missing_shorter(self) -> tuple[str, ...]:
        """What stands there where the sentences have no room: the last part has them all."""
        if self.model.trouble is not None:
            return (self.model.trouble.what,)
        missing = len(gestures.missing(self.state))
        return (_missing_said(self.state).capitalize() + ".",) if missing else ()


def paint_section(
    pen: Pen,
    box: QRectF,
    ink: Token,
    title: str,
    said: str,
    done: str,
    here: bool,  # noqa: FBT001 - content of a face
) -> None:
    """A part of the rating in the rail: its title, and how far it is."""
    px = pen.skin.px
    first, second = (Token.ONBAND, Token.ONBAND2) if here else (ink, Token.INK2)
    if not here:
        pen.frame(box, Token.RULE, 1)
    inner = box.adjusted(px(14), px(6), -px(12), -px(6))
    below = height_of(pen.skin, said, inner.width(), SAID)
    half = inner.height() / 2 if pen.skin.text == 1 else inner.height() - below - px(2)
    above = QRectF(inner.x(), inner.y(), inner.width(), half)
    pen.text(above, title, replace(TITLE, ink=first))
    rest = QRectF(inner.x(), inner.y() + half, inner.width(), inner.height() - half)
    weight = Weight.MEDIUM if done else Weight.REGULAR
    pen.text(rest, said, replace(SAID, ink=second, weight=weight))


class Rail(QWidget):
    """The parts of the rating one below the other."""

    def __init__(self, skin: Skin, count: int) -> None:
        super().__init__()
        self.skin = skin
        self.rows = [Row(skin, self) for _ in range(count)]

    def _high(self, width: int) -> int:
        """Px of height of each row."""
        px, wide = self.skin.px, width - self.skin.px(26)
        texts = [row.face.content[:2] for row in self.rows if row.face.content]
        needed = [
            height_of(self.skin, title, wide, TITLE) + height_of(self.skin, said, wide, SAID)
            for title, said in texts
        ]
        least = max(px(70) if self.skin.text == 1 else 0, self.skin.mm(ROUTINE_TARGET_MM))
        return max([least, *(one + px(16) for one in needed)])

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the rows give first."""
        return 0 if self.skin.text == 1 else len(self.rows) * (self._high(width) + self.skin.px(6))

    def resizeEvent(self, event: QResizeEvent) -> None:
        gap, count = self.skin.px(6), max(1, len(self.rows))
        high = min(self._high(self.width()), self.height() // count - gap)
        for place, row in enumerate(self.rows):
            row.setGeometry(0, place * (high + gap), self.width(), high)


def paint_on(pen: Pen, box: QRectF, ink: Token, words: str) -> None:
    """Go on, try again, or the seal with its sign."""
    px = pen.skin.px
    if words != "Seal":
        pen.text(box, words, Style(20, Weight.BOLD, ink, across=0.5, down=MIDDLE))
        return
    side = px(26)
    x = box.center().x() - px(50)
    pen.shapes(
        sign_shapes(SignLook.SEALED, side), round(x), round(box.center().y() - side / 2), ink
    )
    place = QRectF(x + side + px(14), box.y(), px(90), box.height())
    pen.text(place, words, Style(22, Weight.BOLD, ink, down=MIDDLE))


def _tag(label: str, *, is_borderline: bool) -> str:
    """The word beside the borderline grade; none where the grade is called so."""
    return "borderline" if is_borderline and "borderline" not in label.casefold() else ""


def _events_are_classified(state: Observation) -> bool:
    return all(one.verdict is not None for one in state.occurrences)


def _watched_said(state: Observation) -> str:
    found = unwatched(state)
    attested = sum(one.item.id in state.attested for one in found)
    return f"{attested} of {len(found)} attested"


def _words_said(state: Observation) -> str:
    given = sum(slot.value in state.texts for slot in (Slot.STRENGTH, Slot.CHANGE))
    return f"{given} of 2"


def _words_given(state: Observation) -> bool:
    return all(slot.value in state.texts for slot in (Slot.STRENGTH, Slot.CHANGE))


def _missing_said(state: Observation) -> str:
    missing = len(gestures.missing(state))
    return f"{missing} still to say" if missing else "nothing is missing"
