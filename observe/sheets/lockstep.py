"""Two documents walked side by side: where the first of them is not what the second is.

The second is our own and small; the first may have been made by anybody. The walk
never goes where ours does not go, so nothing in theirs makes it long.
"""

from __future__ import annotations

from pyhanko.pdf_utils import generic

from observe.sheets.reading import guarded

Path = tuple[str, ...]

_DEEPEST = 60
_OF_WRITING = frozenset({"/Length"})


@guarded
def difference(
    theirs: generic.PdfObject, ours: generic.PdfObject, leave: frozenset[str] = frozenset()
) -> Path | None:
    """The way to the first place where theirs is not like ours; None where all is alike.

    Alike means the same kinds, entries, values and decoded streams, whatever their
    object numbers. leave: entries that are not looked at, wherever they are. What stands
    in place of one of our signatures is not looked at either. Raises `Damaged`.
    """
    return _Walk(leave).differ(theirs, ours, ())


class _Walk:
    """_met: pairs of objects that were met before, kept so that no identity is used twice."""

    def __init__(self, leave: frozenset[str]) -> None:
        self._leave = leave
        self._met: dict[tuple[int, int], tuple[object, object]] = {}

    def differ(self, theirs: object, ours: object, way: Path) -> Path | None:
        theirs, ours = _followed(theirs), _followed(ours)
        if type(theirs) is not type(ours):
            return way
        if isinstance(ours, generic.DictionaryObject | generic.ArrayObject):
            pair = (id(theirs), id(ours))
            if pair in self._met:
                return None
            self._met[pair] = (theirs, ours)
            if len(way) > _DEEPEST:
                return way
        if isinstance(theirs, generic.DictionaryObject) and isinstance(
            ours, generic.DictionaryObject
        ):
            return self._in_dictionary(theirs, ours, way)
        if isinstance(theirs, generic.ArrayObject) and isinstance(ours, generic.ArrayObject):
            return self._in_array(theirs, ours, way)
        return None if theirs == ours else way

    def _in_dictionary(
        self, theirs: generic.DictionaryObject, ours: generic.DictionaryObject, way: Path
    ) -> Path | None:
        left = self._leave | (_OF_WRITING if isinstance(ours, generic.StreamObject) else set())
        names = set(ours) - left
        strange = sorted((set(theirs) - left) ^ names)
        if strange:
            return (*way, strange[0])
        for name in sorted(names):
            if _is_signature(_followed(ours.raw_get(name))):
                continue
            found = self.differ(theirs.raw_get(name), ours.raw_get(name), (*way, name))
            if found is not None:
                return found
        if isinstance(theirs, generic.StreamObject) and isinstance(ours, generic.StreamObject):
            return None if theirs.data == ours.data else way
        return None

    def _in_array(
        self, theirs: generic.ArrayObject, ours: generic.ArrayObject, way: Path
    ) -> Path | None:
        if len(theirs) != len(ours):
            return way
        for place in range(len(ours)):
            found = self.differ(theirs.raw_get(place), ours.raw_get(place), (*way, str(place + 1)))
            if found is not None:
                return found
        return None


def _followed(value: object) -> object:
    """What an object is, where it only refers to another."""
    for _ in range(_DEEPEST):
        if not isinstance(value, generic.IndirectObject):
            return value
        value = value.reference.get_object()
    raise ValueError("a reference leads nowhere")


def _is_signature(value: object) -> bool:
    return isinstance(value, generic.DictionaryObject) and value.get("/Type") == "/Sig"
