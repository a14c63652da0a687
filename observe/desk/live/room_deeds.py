"""What can be done with the whole room while attempts run: offered over the well."""

from __future__ import annotations

from collections.abc import Callable, Collection
from functools import partial

from PySide6.QtCore import QObject, Signal

from observe.desk.live.bar import GRID, SHIELD, TOGETHER
from observe.desk.live.model import LiveModel
from observe.desk.live.panels import Choice
from observe.desk.live.questions import Questions
from observe.look.tokens import Token

ARRANGE, OTHER_ROOM = "Seats and arrivals", "Other room"
KEYS_TABLE, LIGHT_DARK = "Keys", "Light or dark"

NOTES = {
    GRID: "every step of every seat",
    TOGETHER: "one mark for several",
    SHIELD: "hide every mark",
    KEYS_TABLE: "what the keyboard does",
    ARRANGE: "swap, late, not here",
    OTHER_ROOM: "the learners next door",
    LIGHT_DARK: "turn the colours over",
}
"""What each entry does, in a few words."""


class RoomDeeds(QObject):
    """Offers the deeds of the room; those that a page carries out are emitted by name."""

    struck = Signal(str)

    def __init__(self, model: LiveModel, questions: Questions) -> None:
        super().__init__(questions)
        self.model, self.questions = model, questions

    def offer(self, folded: Collection[str]) -> None:
        """Show all deeds; those of the bar that have no room there come first."""
        names = [name for name in (GRID, TOGETHER, SHIELD) if name in folded]
        names.append(ARRANGE)
        if len(self.model.rooms) > 1:
            names.append(OTHER_ROOM)
        names += [KEYS_TABLE, LIGHT_DARK]
        choices = [Choice(name, NOTES[name], partial(self.struck.emit, name)) for name in names]
        self.questions.choose("The room", choices, (self._back(),))

    def _back(self) -> Choice:
        return Choice("Back", "to the marks", self.questions.close_it)

    @staticmethod
    def _choice(words: str, note: str, deed: Callable[[], None]) -> Choice:
        return Choice(words, note, deed, Token.KEYHEEL)
