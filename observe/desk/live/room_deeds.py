"""What can be done with the whole room while attempts run: offered over the well."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import partial

from PySide6.QtCore import QObject, Signal

from observe.desk.live.bar import GRID, SHIELD, TOGETHER
from observe.desk.live.model import LiveModel
from observe.desk.live.panels import Choice
from observe.desk.live.questions import Questions
from observe.domain.words import counted, listed
from observe.work.handing_over import HandingOver

ARRANGE, OTHER_ROOM, HAND_OVER, SWITCH = (
    "Seats and arrivals",
    "Other room",
    "Hand over",
    "Another observer",
)
INCIDENT, PAPER, WIPE, CUE = "Incident", "Type in paper", "Wipe the screen", "Look here"
SETTINGS, KEYS_TABLE, LIGHT_DARK = "Settings", "Keys", "Light or dark"

NOTES = {
    GRID: "every step of every seat",
    TOGETHER: "one mark for several",
    SHIELD: "hide every mark",
    ARRANGE: "swap, late, not here",
    OTHER_ROOM: "the learners next door",
    HAND_OVER: "you leave early",
    SWITCH: "on this tablet",
    INCIDENT: "a note apart from scores",
    PAPER: "marked without a screen",
    WIPE: "it takes no touch",
    SETTINGS: "text, hand, gloves",
    KEYS_TABLE: "what the keyboard does",
    LIGHT_DARK: "turn the colours over",
}
"""What each entry does, in a few words."""


class RoomDeeds(QObject):
    """Offers the deeds of the room; those that a page carries out are emitted by name.

    paper: whose papers are to be typed in, with their date and start as written.
    """

    struck = Signal(str)
    paper = Signal(str, str, str)

    def __init__(self, model: LiveModel, questions: Questions) -> None:
        super().__init__(questions)
        self.model, self.questions = model, questions
        self.cue_is_on = False

    def offer(self, folded: Collection[str]) -> None:
        """Show all deeds; those of the bar that have no room there come first."""
        deeds = {
            HAND_OVER: self.hand_over,
            INCIDENT: self.note_incident,
            PAPER: self.ask_whose_paper,
        }
        choices = [
            Choice(name, self._note(name), deeds.get(name, partial(self.struck.emit, name)))
            for name in self._names(folded)
        ]
        self.questions.about = None
        self.questions.choose("The room", choices, (self._back(),))

    def _names(self, folded: Collection[str]) -> Iterator[str]:
        yield from (name for name in (GRID, TOGETHER, SHIELD) if name in folded)
        yield ARRANGE
        if len(self.model.rooms) > 1:
            yield OTHER_ROOM
        if self._others():
            yield from (SWITCH, HAND_OVER)
        yield from (INCIDENT, WIPE, CUE, PAPER, SETTINGS, KEYS_TABLE, LIGHT_DARK)

    def _note(self, name: str) -> str:
        if name == CUE:
            return "it is on" if self.cue_is_on else "it is off"
        return NOTES[name]

    def _back(self) -> Choice:
        return Choice("Back", "to the marks", self.questions.close_it)

    def _others(self) -> list[str]:
        """The workshop's other observers."""
        room = self.model.room
        return [one for one in room.workshop.observers if one != room.observer]

    # handing over

    def hand_over(self) -> None:
        """To whom everything goes that is not sealed (rule T5)."""
        name = self.model.room.name
        choices = [
            Choice(name(one), "goes on from here", partial(self._hand_over, one))
            for one in self._others()
        ]
        self.questions.choose("You leave. Who goes on?", choices, (self._back(),))

    def _hand_over(self, to: str) -> None:
        told = self.model.hand_over(to)
        if told is None:
            self._refused()
            return
        done = Choice("Good", "to the marks", self.questions.close_it)
        self.questions.choose(handed_words(told, self.model.room.name(to)), (done,), ())

    # incidents

    def note_incident(self) -> None:
        """What happened that belongs to no score."""
        self.questions.write(
            "Incident: what happened? It enters no score, decision or sheet.",
            "",
            self._note_incident,
            keep_words="Keep the note",
        )

    def _note_incident(self, text: str) -> None:
        if not self.model.note_incident(text):
            self._refused()

    # paper

    def ask_whose_paper(self) -> None:
        """Who watched, and marked the papers at the time."""
        name = self.model.room.name
        choices = [
            Choice(name(one), "watched", partial(self._ask_when, one))
            for one in self.model.workshop.observers
        ]
        self.questions.choose("Who watched, with paper?", choices, (self._back(),))

    def _ask_when(self, observer: str) -> None:
        name = self.model.room.name(observer)
        self.questions.write(
            f"{name}: date and start on the paper, as 2026-03-02 09:40, or nothing",
            "",
            partial(self._type_in, observer),
            keep_words="Type in",
            always=True,
        )

    def _type_in(self, observer: str, text: str) -> None:
        date, _, start = text.partition(" ")
        self.paper.emit(observer, date.strip(), start.strip())

    def _refused(self) -> None:
        """Say what was refused, in the place where it was asked for."""
        refused = self.model.room_refusal
        if refused is not None:
            said = f"{refused.what} {refused.remedy}"
            self.questions.choose(said, (), (self._back(),))
        else:
            self.questions.close_it()


def handed_words(told: HandingOver, name: str) -> str:
    """What became of every seat, in a few sentences."""
    said = []
    if told.handed:
        said.append(f"{_seats(told.handed)}: {name} goes on; seal your part.")
    if told.given:
        said.append(f"{_seats(told.given)}: {name} watches from the start.")
    if told.theirs:
        said.append(f"{_seats(told.theirs)}: all steps passed; rate and seal yourself.")
    if told.typed:
        said.append(f"{_seats(told.typed)}: typed in from paper; finish that yourself.")
    if told.waiting:
        said.append(
            f"{_seats(told.waiting)}: {name} watches as many as may be at once; "
            "pause them, then hand over again."
        )
    if told.stopped:
        said.append(f"{_seats(told.stopped)}: stopped for safety; answer that first.")
    if told.shared:
        said.append(f"{_seats(told.shared)}: {name} watches already; choose somebody else.")
    return " ".join(said) or "Nothing is left to hand over."


def _seats(numbers: Collection[int]) -> str:
    word = counted(len(numbers), "seat").partition(" ")[2]
    return f"{word.capitalize()} {listed([str(one) for one in numbers])}"
