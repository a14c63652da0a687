"""The record is all that the sheet prints, there and back (rule P1)."""

import json
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.canonical import canonical
from observe.domain.troubles import BadInput
from observe.sheets.blocks import Line
from observe.sheets.compose import compose
from observe.sheets.content import SheetContent
from observe.sheets.record import FORMAT, digest_of, read, written
from observe.sheets.setting import Paper
from observe.sheets.typeset import prepared
from tests.sheets.samples import ALL, remediate, scored_of


@pytest.mark.parametrize("name", ALL)
def test_a_record_gives_back_the_content_it_was_written_from(name: str) -> None:
    content = ALL[name]()
    assert read(written(content)) == content


def test_a_record_is_canonical_json_with_exact_numbers() -> None:
    content = remediate()
    record = written(content)
    assert canonical(json.loads(record)) == record
    assert b'"value":"849/1000"' in record
    assert digest_of(record) == digest_of(written(remediate()))


NOT_SHOWN_AS_WRITTEN = {"look", "sign", "source"}
"""Shown as a picture or a word of the sheet's own, not as the record spells it."""
SHORTENED = {"form_digest", "events_digest", "fingerprint"}
"""Shown by their first 16 letters."""


def texts(value: object, name: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, entry in value.items():
            yield from texts(entry, key)
    elif isinstance(value, list):
        for entry in value:
            yield from texts(entry, name)
    elif isinstance(value, str) and value:
        yield name, value


def is_number(text: str) -> bool:
    return text.replace("/", "").isdigit()


@pytest.mark.parametrize("name", ["remediate", "undecided", "void", "fatal", "practice"])
def test_p1_a_record_holds_only_what_the_sheet_prints(name: str) -> None:
    content = ALL[name]()
    lines = [
        item.text
        for page in compose(content, Paper.A4)
        for item in page.items
        if isinstance(item, Line)
    ]
    shown = letters(" ".join(lines))
    for field, text in texts(json.loads(written(content))["sheet"]):
        if field in NOT_SHOWN_AS_WRITTEN or is_number(text):
            continue
        wanted = text[:16] if field in SHORTENED else text
        assert letters(wanted) in shown, (field, text)


def letters(text: str) -> str:
    """Without blanks, hyphens and full stops: lines break, lists end in their own way."""
    return prepared(text).translate(str.maketrans("", "", " \u00a0-."))


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=5),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
        max_leaves=10,
    )
)
def test_anything_else_is_refused_in_words(value: object) -> None:
    for record in (json.dumps(value), json.dumps({"format": FORMAT, "sheet": value})):
        with pytest.raises(BadInput):
            read(record.encode())


@given(st.binary(max_size=40))
def test_bytes_of_any_kind_are_refused_in_words(record: bytes) -> None:
    with pytest.raises(BadInput):
        read(record)


def changed(content: SheetContent, field: str, value: object) -> bytes:
    outer = json.loads(written(content))
    outer["sheet"]["occasion"][field] = value
    return canonical(outer)


@pytest.mark.parametrize("value", [None, 3, ["Ravi"], {"name": "Ravi"}])
def test_a_field_of_another_kind_is_refused(value: object) -> None:
    with pytest.raises(BadInput):
        read(changed(remediate(), "learner", value))


def test_what_a_record_does_not_know_is_refused() -> None:
    with pytest.raises(BadInput):
        read(changed(remediate(), "secret", "of another learner"))


def test_a_newer_format_is_named() -> None:
    with pytest.raises(BadInput, match=f"format {FORMAT + 1}"):
        read(canonical({"format": FORMAT + 1, "sheet": {}}))


def test_numbers_are_never_floats() -> None:
    content = remediate()
    halved = replace(content, scored=replace(scored_of(content), value=Fraction(1, 3)))
    assert b'"value":"1/3"' in written(halved)
    outer = json.loads(written(content))
    outer["sheet"]["scored"]["value"] = 0.849
    with pytest.raises(BadInput):
        read(json.dumps(outer).encode())
