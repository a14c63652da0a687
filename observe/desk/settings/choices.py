"""What can be chosen: the words on the page, and what each of them sets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from observe.planning.looking import ON_BY_DEFAULT
from observe.work.settings import Motion, Settings, ThemeChoice, WritingHand


@dataclass(frozen=True, slots=True)
class Option:
    """One key: its word, and the value it sets."""

    word: str
    value: Any


@dataclass(frozen=True, slots=True)
class Choice:
    """One setting. name: its field; says: what it changes, in a sentence."""

    name: str
    title: str
    says: str
    options: tuple[Option, ...]

    def chosen(self, settings: Settings) -> Option | None:
        """The option that holds now; None where the file has a value of its own."""
        value = getattr(settings, self.name)
        if self.name == "cue" and value is None:
            value = ON_BY_DEFAULT
        return next((option for option in self.options if option.value == value), None)


CHOICES = (
    Choice(
        "text",
        "Size of the text",
        "Every text of the desk. Keys keep at least their size on the glass; at 200 % the seats "
        "become names along the side, and other learners are marked with two taps.",
        tuple(Option(f"{size} %", size) for size in (100, 125, 150, 200)),
    ),
    Choice(
        "theme",
        "Colours",
        "Dark for a dark room. High contrast has black and white only where nothing else is "
        "meant, and thicker outlines.",
        (
            Option("As the system", ThemeChoice.SYSTEM),
            Option("Light", ThemeChoice.LIGHT),
            Option("Dark", ThemeChoice.DARK),
            Option("High contrast", ThemeChoice.CONTRAST),
            Option("High contrast, dark", ThemeChoice.CONTRAST_DARK),
        ),
    ),
    Choice(
        "hand",
        "Hand that presses",
        "The keys for critical events and the safety stop stand on its side, Done and the first "
        "prompt beside them. The seats stay where they are in the room.",
        (Option("Right", WritingHand.RIGHT), Option("Left", WritingHand.LEFT)),
    ),
    Choice(
        "gloves",
        "Gloves",
        "Mark keys of 19 mm. With more than 8 learners the seats become names along the side: "
        "tap the name, then the mark.",
        (Option("Off", False), Option("On", True)),
    ),
    Choice(
        "motion",
        "Motion",
        "Reduced: everything appears at once, and the table edge moves every ten seconds.",
        (
            Option("As the system", Motion.SYSTEM),
            Option("Full", Motion.FULL),
            Option("Reduced", Motion.REDUCED),
        ),
    ),
    Choice(
        "cue",
        "Where to look next",
        "The lamp lights the seat that was longest unseen at a step that weighs much.",
        (Option("On", True), Option("Off", False)),
    ),
    Choice(
        "edge_full_s",
        "Table edge is full after",
        "A stretch of the edge fills with the time since you last looked at that learner.",
        (Option("2 minutes", 120), Option("3 minutes", 180), Option("5 minutes", 300)),
    ),
)
