"""The player who has no pointer: keys of the keyboard only, Tab where a key has no letter."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPlainTextEdit, QWidget

from observe.desk.keys import Key
from observe.desk.live.keyboard import SEAT_KEYS
from observe.desk.rating.page import RatingPage
from observe.desk.rating.words import WordsPane
from tests.desk.workshop.players import ITEMS, VERDICTS, Player
from tests.desk.workshop.script import STEPS, Act

K, M = Qt.Key, Qt.KeyboardModifier
MOST_TABS = 120
"""More than this from one key to another is not to be asked of anybody."""

TAKEN_BY_KEYS = (K.Key_Space, K.Key_Return)


class Keyboard(Player):
    """Strikes keys; what has the keyboard gets them, as from the system."""

    name = "keyboard"

    def strike(self, key: Qt.Key, modifier: Qt.KeyboardModifier = M.NoModifier) -> None:
        QTest.keyClick(self.bench.window, key, modifier)
        self.settle()

    def stroke(self, key: Qt.Key, modifier: Qt.KeyboardModifier = M.NoModifier) -> None:
        """Strike a key for the room; one that a key takes itself, only once Esc has left it."""
        if key in TAKEN_BY_KEYS and isinstance(QApplication.focusWidget(), Key):
            self.strike(K.Key_Escape)
        self.strike(key, modifier)

    def number(self, number: int) -> None:
        self.stroke(SEAT_KEYS[number - 1])

    def press(self, widget: QWidget) -> None:
        """Go there with Tab, and press it with the space bar."""
        self.go_with_tab(widget)
        self.strike(K.Key_Space)

    def go_with_tab(self, widget: QWidget) -> None:
        for _ in range(MOST_TABS):
            if QApplication.focusWidget() is widget:
                return
            QTest.keyClick(self.bench.window, K.Key_Tab)
            QApplication.processEvents()
            assert QApplication.focusWidget() is not None
        raise AssertionError(f"Tab does not reach {widget.accessibleName()!r}")

    def type_text(self, text: str) -> None:
        field = QApplication.focusWidget()
        assert isinstance(field, QPlainTextEdit)
        QTest.keyClicks(field, text)
        self.settle()

    # marks

    def front(self, who: str) -> None:
        if self.bench.front != who:
            self._look(Act("look", who))

    def _look(self, act: Act) -> None:
        self.number(self.bench.model.number(self.bench.seat(act.who)))

    def _mark(self, act: Act) -> None:
        (code,) = act.more
        self.front(act.who)
        keys = {"D": K.Key_Space, "I": K.Key_I, "N": K.Key_N, "A": K.Key_X, "X": K.Key_X}
        keys |= {"V": K.Key_V, "U": K.Key_U}
        if code.isdigit():
            self.stroke((K.Key_F1, K.Key_F2, K.Key_F3, K.Key_F4)[int(code) - 1])
        else:
            self.stroke(keys[code])
        if code == "A":
            self.stroke(K.Key_Y)
            self.number(1)

    def _now_here(self, act: Act) -> None:
        self.front(act.who)
        self.stroke(K.Key_Slash)
        for digit in str(act.step):
            self.strike(SEAT_KEYS[int(digit) - 1])
        self.strike(K.Key_Return)

    _visit = _now_here

    def _in_front(self, who: str, key: Qt.Key, modifier: Qt.KeyboardModifier) -> None:
        self.front(who)
        self.stroke(key, modifier)

    def _order(self, act: Act) -> None:
        self._in_front(act.who, K.Key_O, M.NoModifier)

    def _take_back(self, act: Act) -> None:
        self._in_front(act.who, K.Key_Backspace, M.NoModifier)

    def _put_back(self, act: Act) -> None:
        self._in_front(act.who, K.Key_Backspace, M.ShiftModifier)

    def _critical(self, act: Act) -> None:
        self._in_front(act.who, K.Key_C, M.NoModifier)

    def _name(self, act: Act) -> None:
        self.number(ITEMS.index(act.more[0]) + 1)

    def _judge(self, act: Act) -> None:
        self.answer_in_well(VERDICTS[act.more[0]])

    def answer_in_well(self, said: str) -> None:
        """The number of what the well asks itself."""
        answers = self.bench.live.well.panel.answers
        words = [key.accessibleName() for key in answers if key.isVisible()]
        self.number(1 + next(n for n, one in enumerate(words) if one.startswith(said)))

    def _pause(self, act: Act) -> None:
        self._in_front(act.who, K.Key_P, M.NoModifier)

    _go_on = _pause

    def _pause_all(self, act: Act) -> None:
        self.stroke(K.Key_P, M.ShiftModifier)

    _all_go_on = _pause_all

    def _stop(self, act: Act) -> None:
        self._in_front(act.who, K.Key_F12, M.NoModifier)

    def _lift(self, act: Act) -> None:
        self._in_front(act.who, K.Key_F12, M.NoModifier)
        self.answer("Go on")

    def _void(self, act: Act) -> None:
        self._in_front(act.who, K.Key_F12, M.NoModifier)
        self.answer("End attempt")
        self.answer_in_well(act.more[0])

    # what is asked over the well

    def answer(self, said: str) -> None:
        """The number of an answer; where seats are the answers, it is theirs."""
        questions = self.bench.live.questions
        keys = [key for key in questions.choices.answers if key.isVisible()]
        place = next(n for n, key in enumerate(keys) if key.accessibleName().startswith(said))
        seats = [self.bench.model.name(seat) for seat in range(len(self.bench.model))]
        names = [key.accessibleName().split(". ")[0] for key in keys]
        if set(names) <= set(seats) and "seat" in keys[place].accessibleName():
            self.number(self.bench.model.number(self.bench.seat(names[place])))
        else:
            self.number(place + 1)

    def more(self, who: str, *answers: str) -> None:
        self.front(who)
        self.stroke(K.Key_A)
        for said in answers:
            self.answer(said)

    def _time_is_up(self, act: Act) -> None:
        self.more(act.who, "Time is up", "Time is up")

    def _wrong_learner(self, act: Act) -> None:
        count, target = act.more
        self.more(act.who, "Wrong learner", f"The last {count}", target)

    def _note(self, act: Act) -> None:
        self.more(act.who, "Note on the attempt")
        self.type_text(act.more[0])
        self.strike(K.Key_Escape)

    def _phrase(self, act: Act) -> None:
        self.more(act.who, "Words to the learner")
        self.press(self.bench.live.questions.texts.pick_keys[0])
        self.strike(K.Key_Escape)

    # the room

    def _together(self, act: Act) -> None:
        code, *exceptions = act.more
        self.stroke(K.Key_T)
        view = self.bench.live.together
        assert view is not None
        for who in exceptions:
            self._look(Act("look", who))
        assert view.together.step == STEPS[act.step - 1]
        self.stroke({"D": K.Key_Space, "I": K.Key_I, "N": K.Key_N}[code])

    def open_room(self, *answers: str) -> None:
        self.stroke(K.Key_Q)
        for said in answers:
            self.answer(said)

    def open_seats(self) -> None:
        self.open_room("Seats and arrivals")

    def way(self, name: str) -> None:
        view = self.bench.live.arranging
        assert view is not None
        self.press(view.ways[name])

    def _swap(self, act: Act) -> None:
        self.open_seats()
        for who in (act.who, *act.more):
            self._look(Act("look", who))
        self.strike(K.Key_Escape)

    def _not_here(self, act: Act) -> None:
        self.open_seats()
        self._look(act)
        self.way("Not here")
        self.strike(K.Key_Escape)

    def _arrived(self, act: Act) -> None:
        self.open_seats()
        self.way("Arrived")
        self.answer(act.who)
        self.strike(K.Key_Escape)

    def _late_learner(self, act: Act) -> None:
        self.open_seats()
        self.way("Late learner")
        self.type_text(act.who)
        self.press(self.bench.live.questions.texts.keep_key)
        self.answer("Side-lying")
        self.strike(K.Key_Escape)

    # rating

    def ask_rating(self, who: str) -> None:
        self.front(who)
        self.stroke(K.Key_R)

    def grade(self, page: RatingPage, value: int) -> None:
        self.strike(SEAT_KEYS[value - 1])

    def words(self, page: RatingPage, column: int, text: str) -> None:
        pane = page.sections[page.now].pane
        assert isinstance(pane, WordsPane)
        self.go_with_tab(pane.columns[column].field)
        self.type_text(text)

    def go_on(self, page: RatingPage) -> None:
        if isinstance(QApplication.focusWidget(), QPlainTextEdit):
            self.press(page.on_key)
        else:
            self.strike(K.Key_Return)
