"""Texts that were written elsewhere, as they may be shown: a name in a key, a file's name.

Nothing in them may pass for words of the program: they end no line, steer no terminal
and turn no direction of writing.
"""

from __future__ import annotations

LONGEST_PATH = 200
_BLANKS = "\u00a0\u202f"


def seen(text: str) -> str:
    """The text with each sign that is not seen made one that is."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() or sign in _BLANKS else "�" for sign in text)


def one_line(text: str, longest: int) -> str:
    """Text as it may stand in a sentence: on one line, shortened, nothing unseen in it."""
    shown = seen(" ".join(text.split()))
    return shown if len(shown) <= longest else shown[: longest - 1] + "…"


def shown_path(path: object, longest: int = LONGEST_PATH) -> str:
    """A file's name with its folders; of a long one the end, where files differ."""
    shown = seen(str(path))
    return shown if len(shown) <= longest else "…" + shown[1 - longest :]
