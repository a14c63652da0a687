"""Designs as text, their effects, and what is no design."""

from __future__ import annotations

import pytest

from observe.agreement.designs import design_from
from observe.domain.troubles import BadInput


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("p x i", ["p", "i", "p x i"]),
        ("p × r", ["p", "r", "p x r"]),
        ("p x i x r", ["p", "i", "r", "p x i", "p x r", "i x r", "p x i x r"]),
        ("i:p", ["p", "i:p"]),
        ("r:p", ["p", "r:p"]),
        ("p x (r:t)", ["p", "t", "p x t", "r:t", "p x (r:t)"]),
        ("P X (R : T)", ["p", "t", "p x t", "r:t", "p x (r:t)"]),
    ],
)
def test_the_effects_of_a_design(text: str, names: list[str]) -> None:
    design = design_from(text)
    assert [design.name(one) for one in design.effects] == names
    assert design.person == "p"
    assert design_from(design.text) == design


@pytest.mark.parametrize(
    "text",
    ["", "p", "p x p", "p x 1", "p x i x r x t x o", "p x (r:t:s)", "hello world", "i:r x r:p"],
)
def test_what_is_no_design_is_told(text: str) -> None:
    with pytest.raises(BadInput, match="no design"):
        design_from(text)
