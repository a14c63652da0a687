"""What the page offers is what the settings file understands, and all of it."""

from __future__ import annotations

from dataclasses import fields

import pytest

from observe.desk.settings.choices import CHOICES, Choice
from observe.work.settings import TEXT_SIZES, Settings, ThemeChoice, from_record


def test_every_setting_can_be_chosen() -> None:
    assert {one.name for one in CHOICES} == {field.name for field in fields(Settings)} - {"unknown"}


@pytest.mark.parametrize("choice", CHOICES, ids=lambda one: one.name)
def test_what_is_offered_is_understood_when_it_is_read_again(choice: Choice) -> None:
    for option in choice.options:
        assert from_record({choice.name: option.value})[1] == ()
    assert choice.chosen(Settings()) in choice.options
    assert choice.says.endswith(".")


def test_every_size_of_text_and_every_set_of_colours_is_offered() -> None:
    offered = {one.name: tuple(option.value for option in one.options) for one in CHOICES}
    assert offered["text"] == TEXT_SIZES
    assert offered["theme"] == tuple(ThemeChoice)


def test_a_value_of_ones_own_is_left_as_it_is() -> None:
    edge = next(one for one in CHOICES if one.name == "edge_full_s")
    assert edge.chosen(Settings(edge_full_s=45)) is None
