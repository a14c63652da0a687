"""An event as a row, and back."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import Doubtful
from observe.store.rows import COLUMNS, event_from, row_of, text_of
from tests.store.builders import EVENT


def test_a_row_gives_back_its_event() -> None:
    assert event_from([*row_of(EVENT).values()]) == EVENT


def test_a_row_names_its_columns_in_order() -> None:
    assert [*row_of(EVENT)] == [*COLUMNS]


def test_the_body_is_stored_in_the_one_way_to_write_it() -> None:
    assert row_of(EVENT)["body"] == '{"list":[1,null,true],"step":"drapé","texts":{"note":"c"}}'


@pytest.mark.parametrize("body", ["[]", "null", "{", "", "1"])
def test_a_body_that_is_no_object_is_no_event(body: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - its message is for nobody
        event_from([*{**row_of(EVENT), "body": body}.values()])


@given(st.sampled_from(sorted(row_of(EVENT))), st.sampled_from([None, b"x", 1.5, True]))
def test_a_column_of_another_kind_is_no_event(name: str, value: Any) -> None:  # noqa: ANN401 - anything at all
    with pytest.raises(ValueError, match="stored as something else"):
        event_from([*{**row_of(EVENT), name: value}.values()])


def test_what_is_no_text_is_told_with_its_place() -> None:
    assert text_of("Ana", "name") == "Ana"
    with pytest.raises(Doubtful) as told:
        text_of(b"Ana", "name")
    assert told.value.where == "name"
