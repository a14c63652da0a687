"""The faults found in one form's text, and the words they are told in."""

from __future__ import annotations

import difflib
from collections.abc import Collection

from observe.domain.faults import Fault
from observe.domain.foreign import one_line
from observe.domain.formplaces import Path, Places

LONGEST_ID = 40
LONGEST_COMPARED = 100


class Findings:
    """The faults found so far in one text.

    First each entry is read by itself (`add`), then the entries are compared
    (`misfit`, `remark`). What cannot be read is not compared, so that one slip of
    the pen is one fault.
    """

    def __init__(self, places: Places) -> None:
        self._places = places
        self._faults: list[Fault] = []
        self._unread: set[Path] = set()

    def add(self, path: Path, sentence: str, remedy: str) -> None:
        """Note an entry that cannot be read; a missing one at the table around it."""
        self._unread.add(path)
        self._note(path, sentence, remedy, blocking=True)

    def overlook(self, path: Path) -> None:
        """Take an entry as unread without a fault: another fault tells of it."""
        self._unread.add(path)

    def unread(self, *paths: Path) -> bool:
        """Whether one of these entries could not be read."""
        return not self._unread.isdisjoint(paths)

    def misfit(
        self, path: Path, sentence: str, remedy: str, *, rests_on: tuple[Path, ...] = ()
    ) -> None:
        """Note an entry that does not fit others, unless one of them could not be read."""
        if not self.unread(path, *rests_on):
            self._note(path, sentence, remedy, blocking=True)

    def remark(self, path: Path, sentence: str, remedy: str) -> None:
        """Note what does not stop the form from being used."""
        if not self.unread(path):
            self._note(path, sentence, remedy, blocking=False)

    def _note(self, path: Path, sentence: str, remedy: str, *, blocking: bool) -> None:
        place = self._places.find(path)
        self._faults.append(Fault(place.line, sentence, remedy, place.entry, blocking))

    def sorted(self) -> tuple[Fault, ...]:
        """All of them, by line."""
        return tuple(sorted(self._faults))


def meant(word: object, known: Collection[str]) -> str:
    """A closing question " Did you mean …?" where one known word comes close, else nothing."""
    near = nearest(str(word), known)
    return f" Did you mean “{near}”?" if near else ""


def nearest(word: str, known: Collection[str]) -> str:
    """The known word that comes closest to one; empty where none comes close."""
    near = difflib.get_close_matches(word[:LONGEST_COMPARED], known, n=1, cutoff=0.6)
    return near[0] if near else ""


def shorten(text: str) -> str:
    """A name from the file as it may stand in a sentence."""
    return one_line(text, LONGEST_ID)
