from dataclasses import FrozenInstanceError

import pytest

from observe.look.marks import MarkLook
from tests.sheets.samples import remediate


def test_steps_are_those_of_all_phases_in_order() -> None:
    content = remediate()
    assert [step.number for step in content.steps] == list(range(1, 31))
    assert content.steps[4].look is MarkLook.INCORRECT


def test_a_content_cannot_be_changed_once_made() -> None:
    with pytest.raises(FrozenInstanceError):
        remediate().disagree = "never"  # type: ignore[misc] # that is what is tested
