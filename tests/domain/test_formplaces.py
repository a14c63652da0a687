"""Every entry of a text is found on the line where its key stands."""

import json
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.formplaces import LONGEST_ENTRY, Path, Place, Places

HARD = '''\
# a remark with [brackets] and = signs
title = "a # that is no remark"   # and one that is
"quoted key" = 1
'literal.key' = 2
a.b . "c d" = 3
text = """
first [line]
key = "value" \\""" still
"""
literal = \'\'\'
it''s
x = 1\'\'\'
list = [ # why
  "one", ["two", "th]ree"], # [
  { inner = [1, 2], other.deep = "}" },
  1979-05-27 07:32:00,
]
empty = []
none = {}

[table] # remark
key = true

[table.sub]
key = -inf

[[many]]
name = "first"
[[many.inner]]
name = "first of first"
[[many.inner]]
name = "second of first"
[[many]]
name = "second"
[many.detail]
name = "detail of second"
[[many.inner]]
name = "first of second"
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("title",), 2),
        (("quoted key",), 3),
        (("literal.key",), 4),
        (("a",), 5),
        (("a", "b", "c d"), 5),
        (("text",), 6),
        (("literal",), 10),
        (("list",), 13),
        (("list", 0), 14),
        (("list", 1, 1), 14),
        (("list", 2, "inner", 1), 15),
        (("list", 2, "other", "deep"), 15),
        (("list", 3), 16),
        (("empty",), 18),
        (("none",), 19),
        (("table",), 21),
        (("table", "key"), 22),
        (("table", "sub", "key"), 25),
        (("many",), 27),
        (("many", 0), 27),
        (("many", 0, "name"), 28),
        (("many", 0, "inner", 1), 31),
        (("many", 0, "inner", 1, "name"), 32),
        (("many", 1), 33),
        (("many", 1, "detail", "name"), 36),
        (("many", 1, "inner", 0, "name"), 38),
    ],
)
def test_hard_texts(path: Path, line: int) -> None:
    assert tomllib.loads(HARD)
    assert Places(HARD).find(path).line == line


def test_an_entry_is_its_own_text_on_one_line() -> None:
    places = Places(HARD)
    assert places.find(("table", "key")).entry == "key = true"
    assert places.find(("many", 1)).entry == "[[many]]"
    assert places.find(("list", 1)).entry == '["two", "th]ree"]'
    assert "\n" not in places.find(("list",)).entry
    assert len(places.find(("list",)).entry) <= LONGEST_ENTRY


def test_what_is_missing_is_found_at_the_table_around_it() -> None:
    places = Places(HARD)
    assert places.find(("many", 1, "nothing")).line == 33
    assert places.find(("table", "nothing", 3)).line == 21
    assert places.find(("nothing",)) == Place(1, "")
    assert Places("").find(()) == Place(1, "")


# ------------------------------------------------- any document, any spelling

bare_keys = st.text("abcXYZ019_-", min_size=1, max_size=6)
any_keys = st.one_of(bare_keys, st.text(st.characters(codec="utf-8"), max_size=5))
strings = st.text(st.characters(codec="utf-8", exclude_characters="\r"), max_size=12)
scalars = st.one_of(strings, st.integers(-999, 999), st.booleans())
values = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(any_keys, inner, max_size=3)
    ),
    max_leaves=6,
)
documents = st.dictionaries(
    any_keys,
    st.one_of(
        values, st.lists(st.dictionaries(any_keys, values, max_size=3), min_size=1, max_size=3)
    ),
    max_size=5,
)


class Writer:
    """Writes a document as TOML, each time in another spelling."""

    def __init__(self, draw: st.DataObject) -> None:
        self._draw = draw
        self._lines: list[str] = []

    def write(self, document: dict[str, Any]) -> str:
        tables = {key: value for key, value in document.items() if self._as_table(value)}
        for key, value in document.items():
            if key not in tables:
                self._lines.append(
                    f"{self._key(key)}{self._gap()}={self._gap()}{self._value(value)}"
                )
                self._filler()
        for key, value in tables.items():
            many = isinstance(value, list)
            for table in value if many else [value]:
                head = self._key(key)
                self._lines.append(f"[[ {head} ]] # [x]" if many else f"[{head}]")
                for name, entry in table.items():
                    self._lines.append(f"\t{self._key(name)}={self._value(entry)} # = ")
                    self._filler()
        return "\n".join(self._lines) + "\n"

    def _as_table(self, value: object) -> bool:
        if isinstance(value, dict):
            return self._chance()
        return (
            isinstance(value, list)
            and bool(value)
            and all(isinstance(one, dict) for one in value)
            and self._chance()
        )

    def _chance(self) -> bool:
        return self._draw.draw(st.booleans())

    def _gap(self) -> str:
        return self._draw.draw(st.sampled_from(["", " ", "\t "]))

    def _filler(self) -> None:
        self._lines.extend(self._draw.draw(st.sampled_from([[], [""], ["# key = 1"], ["", " "]])))

    def _key(self, key: str) -> str:
        bare = bool(key) and all(sign in "abcXYZ019_-" for sign in key)
        return key if bare and self._chance() else _basic(key)

    def _value(self, value: object) -> str:
        if isinstance(value, bool):
            return str(value).lower()
        if isinstance(value, int):
            return str(value)
        if isinstance(value, str):
            return self._string(value)
        if isinstance(value, dict):
            pairs = (f"{self._key(key)} = {self._value(entry)}" for key, entry in value.items())
            return "{ " + ", ".join(pairs) + " }"
        assert isinstance(value, list)
        if not value:
            return "[ # none\n]"
        line = ",\n" if self._chance() else ", "
        end = ",\n]" if self._chance() else " ]"
        return "[" + line.join(self._value(one) for one in value) + end

    def _string(self, value: str) -> str:
        plain = value.isprintable() and "'" not in value
        if plain and self._chance():
            return f"'{value}'"
        if self._chance():
            return '"""\n' + _basic(value)[1:-1].replace("\\n", "\n") + '"""'
        return _basic(value)


def _basic(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def walk(value: object, path: Path = ()) -> Iterator[Path]:
    """Every path of a document that ends in a key."""
    entries: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        entries = list(value.items())
        yield from ((*path, key) for key in value)
    elif isinstance(value, list):
        entries = list(enumerate(value))
    for key, entry in entries:
        yield from walk(entry, (*path, key))


@given(st.data(), documents)
def test_every_key_is_found_on_a_line_that_holds_it(
    data: st.DataObject, document: dict[str, Any]
) -> None:
    text = Writer(data).write(document)
    assert tomllib.loads(text) == document
    places = Places(text)
    lines = text.split("\n")
    found = set(places.paths())
    for path in walk(document):
        assert path in found
        key = path[-1]
        line = lines[places.find(path).line - 1]
        assert str(key) in line or _basic(str(key)) in line


@given(st.data(), documents)
def test_every_path_that_has_a_place_is_one_of_the_document(
    data: st.DataObject, document: dict[str, Any]
) -> None:
    places = Places(Writer(data).write(document))
    for path in places.paths():
        value: Any = document
        for part in path:
            value = value[part]
