"""Players who press places of the window: by mouse, and by touch."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QInputMethodEvent, QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPlainTextEdit, QWidget

from observe.desk.live.arrange import ArrangeView
from observe.desk.live.well import WellPanel
from observe.desk.rating.page import RatingPage
from observe.desk.rating.scales import ScalePane
from observe.desk.rating.words import WordsPane
from tests.desk.people import HandClock
from tests.desk.workshop.bench import Bench
from tests.desk.workshop.players import ITEMS, VERDICTS, Player
from tests.desk.workshop.script import STEPS, Act


class Pointing(Player):
    """Whoever presses places of the window; texts come from the keyboard on the screen."""

    @abstractmethod
    def press(self, widget: QWidget, at: QPoint | None = None) -> None: ...

    def type_text(self, text: str) -> None:
        field = QApplication.focusWidget()
        assert isinstance(field, QPlainTextEdit)
        written = QInputMethodEvent()
        written.setCommitString(text)
        QApplication.sendEvent(field, written)
        self.settle()

    def well(self, who: str) -> WellPanel:
        """The keys of a learner at full size; their seat is pressed first if it must be."""
        own = self.bench.own_well(who)
        if own is not None:
            return own
        if self.bench.front != who:
            self._look(Act("look", who))
        return self.bench.live.seats.wells[0]

    def _look(self, act: Act) -> None:
        card, own = self.bench.card(act.who), self.bench.own_well(act.who)
        head = card.head if card is not None else own.name_row if own is not None else None
        assert head is not None
        self.press(head)

    def _mark(self, act: Act) -> None:
        (code,) = act.more
        card = self.bench.card(act.who)
        if code == "D" and card is not None and card.sentence.isVisible():
            self.press(card.sentence)
            return
        well = self.well(act.who)
        keys = {"D": 0, "I": 1, "N": 2, "A": 3, "X": 3}
        if code == "U":
            self.press(well.not_seen)
        elif code == "V":
            self.press(well.prompts[4])
        elif code.isdigit():
            self.press(well.prompts[int(code) - 1])
        else:
            self.press(well.marks[keys[code]])
        if code == "A":
            self.press(well.offers.keys[0])

    def _now_here(self, act: Act) -> None:
        self.press_rod(self.well(act.who), act.step)

    def _visit(self, act: Act) -> None:
        self.press_rod(self.well(act.who), act.step)

    def press_rod(self, well: WellPanel, step: int) -> None:
        """The block of a step in the rod: the middle of where it can be pressed."""
        rod, places = well.rod, []
        for x in range(rod.width()):
            rod.at = QPointF(x, 1)
            if rod.pressed_place() == step - 1:
                places.append(x)
        self.press(rod, QPoint(places[len(places) // 2], rod.height() // 2))

    def _order(self, act: Act) -> None:
        self.press(self.well(act.who).extra)

    def _take_back(self, act: Act) -> None:
        well = self.well(act.who)
        asking = well.panel.isVisible()
        self.press(self.bench.named("Take back", well.panel) if asking else well.take_back)

    def _put_back(self, act: Act) -> None:
        self.press(self.well(act.who).extra)

    def _critical(self, act: Act) -> None:
        card = self.bench.card(act.who)
        if card is not None and card.critical.isVisible():
            self.press(card.critical)
            return
        self.press(self.well(act.who).critical)

    def _name(self, act: Act) -> None:
        self.press(self.well(act.who).panel.answers[ITEMS.index(act.more[0])])

    def _judge(self, act: Act) -> None:
        self.press(self.bench.named(VERDICTS[act.more[0]], self.well(act.who).panel))

    def _pause(self, act: Act) -> None:
        self.press(self.well(act.who).clock)

    _go_on = _pause

    def _pause_all(self, act: Act) -> None:
        self.press(self.bench.live.bar.keys["Pause all"])

    _all_go_on = _pause_all

    def _stop(self, act: Act) -> None:
        self.press(self.well(act.who).stop)

    def _lift(self, act: Act) -> None:
        self.press(self.well(act.who).go_on)

    def _void(self, act: Act) -> None:
        well = self.well(act.who)
        self.press(well.end)
        self.press(self.bench.named(act.more[0], well.panel))

    def _together(self, act: Act) -> None:
        code, *exceptions = act.more
        self.open("Together")
        view = self.bench.live.together
        assert view is not None
        for who in exceptions:
            card = self.bench.card(who)
            assert card is not None
            self.press(card.sentence if card.sentence.isVisible() else card.head)
        assert view.together.step == STEPS[act.step - 1]
        self.press(view.mark_keys[{"D": 0, "I": 1, "N": 2}[code]])

    def open(self, name: str) -> None:
        """A view or a deed of the room: by the bar, or by the room's panel if it is folded."""
        key = self.bench.live.bar.keys.get(name)
        if key is not None and key.isVisible():
            self.press(key)
        else:
            self.open_room(name)

    def open_room(self, *answers: str) -> None:
        self.press(self.bench.live.bar.keys["Room"])
        for answer in answers:
            self.press(self.bench.named(answer, self.bench.live.questions))

    def more(self, who: str, *answers: str) -> None:
        """What else can be done for a learner: one answer after another."""
        self.press(self.well(who).more_key)
        for answer in answers:
            self.press(self.bench.named(answer, self.bench.live.questions))

    def _time_is_up(self, act: Act) -> None:
        self.more(act.who, "Time is up", "Time is up")

    def _wrong_learner(self, act: Act) -> None:
        count, target = act.more
        self.more(act.who, "Wrong learner", f"The last {count}", target)

    def _note(self, act: Act) -> None:
        self.more(act.who, "Note on the attempt")
        self.type_text(act.more[0])
        self.press(self.bench.live.questions.texts.keep_key)

    def _phrase(self, act: Act) -> None:
        self.more(act.who, "Words to the learner")
        texts = self.bench.live.questions.texts
        self.press(texts.pick_keys[0])
        self.press(texts.keep_key)

    # seats

    def arranging(self, *presses: str) -> None:
        """Open the seats, press one thing after another by name, and go back."""
        self.open("Seats and arrivals")
        for one in presses:
            self.press_in_arrangement(one)
        self.press(self.arrangement.ways["Done"])

    @property
    def arrangement(self) -> ArrangeView:
        view = self.bench.live.arranging
        assert view is not None
        return view

    def press_in_arrangement(self, one: str) -> None:
        """An answer, where something is asked; a learner's seat; or a way."""
        questions = self.bench.live.questions
        if questions.is_open:
            self.press(self.bench.named(one, questions))
        elif one in self.arrangement.ways:
            self.press(self.arrangement.ways[one])
        else:
            card = self.bench.card(one)
            assert card is not None
            self.press(card.sentence if card.sentence.isVisible() else card.head)

    def _swap(self, act: Act) -> None:
        self.arranging(act.who, act.more[0])

    def _not_here(self, act: Act) -> None:
        self.arranging(act.who, "Not here")

    def _arrived(self, act: Act) -> None:
        self.arranging("Arrived", act.who)

    def _late_learner(self, act: Act) -> None:
        self.open("Seats and arrivals")
        self.press_in_arrangement("Late learner")
        self.type_text(act.who)
        self.press(self.bench.live.questions.texts.keep_key)
        self.press_in_arrangement("Side-lying")
        self.press(self.arrangement.ways["Done"])

    # rating

    def ask_rating(self, who: str) -> None:
        self.press(self.well(who).rate_key)

    def grade(self, page: RatingPage, value: int) -> None:
        pane = page.sections[page.now].pane
        assert isinstance(pane, ScalePane)
        self.press(pane.keys[value - 1])

    def words(self, page: RatingPage, column: int, text: str) -> None:
        pane = page.sections[page.now].pane
        assert isinstance(pane, WordsPane)
        self.press(pane.columns[column].field)
        self.type_text(text)

    def go_on(self, page: RatingPage) -> None:
        self.press(page.on_key)


class Mouse(Pointing):
    """Presses with the left button."""

    name = "mouse"

    def press(self, widget: QWidget, at: QPoint | None = None) -> None:
        place = self.bench.where(widget, at)
        none = Qt.KeyboardModifier.NoModifier
        QTest.mouseClick(self.bench.window, Qt.MouseButton.LeftButton, none, place)
        self.settle()


class Touch(Pointing):
    """Presses with a finger; two seats that come one after the other, with two at once."""

    name = "touch"

    def __init__(self, bench: Bench, clock: HandClock, device: QPointingDevice) -> None:
        super().__init__(bench, clock)
        self.device = device
        self.pairs = 0

    def press(self, widget: QWidget, at: QPoint | None = None) -> None:
        place = self.bench.where(widget, at)
        QTest.touchEvent(self.bench.window, self.device).press(0, place).commit()
        QTest.touchEvent(self.bench.window, self.device).release(0, place).commit()
        self.settle()

    def play_all(self, acts: Sequence[Act]) -> None:
        """Do several acts; routine marks of two seats in a row by two fingers at once."""
        waiting = list(acts)
        while waiting:
            act = waiting.pop(0)
            if waiting and self.play_both(act, waiting[0]):
                waiting.pop(0)
            else:
                self.play(act)

    def play_both(self, act: Act, after: Act) -> bool:
        """Two routine marks by two fingers; False if they are none, or of one seat."""
        routine = act.deed == after.deed == "mark" and act.more == after.more == ("D",)
        if not routine or act.who == after.who:
            return False
        keys = [self.sentence(one.who) for one in (act, after)]
        if not all(keys):
            return False
        places = [self.bench.where(key) for key in keys if key is not None]
        for finger, place in enumerate(places):
            touch = QTest.touchEvent(self.bench.window, self.device)
            for down in range(finger):
                touch.stationary(down)
            touch.press(finger, place).commit()
        QTest.touchEvent(self.bench.window, self.device).release(0, places[0]).stationary(
            1
        ).commit()
        QTest.touchEvent(self.bench.window, self.device).release(1, places[1]).commit()
        self.settle()
        self.pairs += 1
        return True

    def sentence(self, who: str) -> QWidget | None:
        """The key of a seat that marks the step in front done; None where it has none."""
        card = self.bench.card(who)
        return card.sentence if card is not None and card.sentence.isVisible() else None
