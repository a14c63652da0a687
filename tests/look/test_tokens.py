"""Contrast of every pair that the program puts together, and one source for colours."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

from observe.look.tokens import (
    CONTRAST,
    CONTRAST_DARK,
    DARK,
    DESK,
    HAND,
    LIGHT,
    TEXT_LARGE,
    THEMES,
    Density,
    Theme,
    Token,
    contrast,
    density,
    grown,
    luminance,
)

TEXT = [
    ("ink", "sheet"),
    ("ink", "key"),
    ("ink", "ground"),
    ("ink", "well"),
    ("ink", "panel"),
    ("ink", "lampbg"),
    ("ink2", "sheet"),
    ("ink2", "ground"),
    ("ink2", "key"),
    ("ink2", "well"),
    ("ink2", "panel"),
    ("ink2", "critbg"),
    ("onband", "band"),
    ("onband2", "band"),
    ("ondone", "done"),
    ("done", "sheet"),
    ("done", "well"),
    ("wrong", "sheet"),
    ("wrong", "key"),
    ("wrong", "wrongbg"),
    ("crit", "sheet"),
    ("crit", "critbg"),
    ("crit", "well"),
    ("act", "well"),
    ("act", "actbg"),
    ("act", "ground"),
    ("onlamp", "lamp"),
]
GRAPHICS = [
    ("prompt", "key"),
    ("prompt", "sheet"),
    ("prompt", "well"),
    ("line", "ground"),
    ("line", "sheet"),
    ("line", "well"),
    ("keyheel", "key"),
    ("done", "key"),
]


CONTRAST_TEXT = [
    ("done", "key"),
    ("done", "donebg"),
    ("ink", "donebg"),
    ("ink", "wrongbg"),
    ("ink", "critbg"),
    ("ink", "actbg"),
    ("ink2", "actbg"),
]
CONTRAST_GRAPHICS = [
    ("rule", "sheet"),
    ("rule", "ground"),
    ("ink2", "rule"),
    ("ink", "critbg"),
    ("act", "sheet"),
    ("wrong", "well"),
    ("band", "ground"),
]
HIGH = [CONTRAST, CONTRAST_DARK]


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize(("front", "back"), TEXT)
def test_text_has_contrast_of_at_least_four_and_a_half(theme: Theme, front: str, back: str) -> None:
    assert contrast(theme.colour(Token(front)), theme.colour(Token(back))) >= 4.5


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize(("front", "back"), GRAPHICS)
def test_graphics_have_contrast_of_at_least_three(theme: Theme, front: str, back: str) -> None:
    assert contrast(theme.colour(Token(front)), theme.colour(Token(back))) >= 3


@pytest.mark.parametrize("theme", HIGH, ids=lambda theme: theme.name)
@pytest.mark.parametrize(("front", "back"), [*TEXT, *CONTRAST_TEXT])
def test_text_in_high_contrast_has_at_least_seven(theme: Theme, front: str, back: str) -> None:
    """WCAG 2.2, 1.4.6: enhanced contrast."""
    assert contrast(theme.colour(Token(front)), theme.colour(Token(back))) >= 7


@pytest.mark.parametrize("theme", HIGH, ids=lambda theme: theme.name)
@pytest.mark.parametrize(("front", "back"), [*GRAPHICS, *CONTRAST_GRAPHICS])
def test_graphics_in_high_contrast_have_at_least_four_and_a_half(
    theme: Theme, front: str, back: str
) -> None:
    assert contrast(theme.colour(Token(front)), theme.colour(Token(back))) >= 4.5


def test_the_hairlines_are_a_meaning_of_their_own_only_in_high_contrast() -> None:
    """Grounds do not differ there, so outlines hold the parts of a page apart."""
    for theme in HIGH:
        assert len({theme.ground, theme.sheet, theme.well, theme.key}) == 1
    assert contrast(LIGHT.rule, LIGHT.sheet) < 3


def test_large_text_grows_by_as_many_px_as_text_of_eighteen() -> None:
    assert grown(14, 2) == 28
    assert grown(TEXT_LARGE, 2) == 36
    assert grown(25, 2) - 25 == grown(TEXT_LARGE, 2) - TEXT_LARGE
    assert [grown(size, 1) for size in (12, 18, 38)] == [12, 18, 38]


def test_the_lamp_is_outlined_in_ink_where_it_is_too_pale_for_its_ground() -> None:
    assert contrast(LIGHT.lamp, LIGHT.sheet) < 3
    assert contrast(LIGHT.ink, LIGHT.lamp) >= 3
    assert contrast(CONTRAST.ink, CONTRAST.lamp) >= 4.5
    assert contrast(DARK.lamp, DARK.sheet) >= 3


def test_the_measured_contrasts_of_the_look_are_these() -> None:
    assert round(contrast(LIGHT.ink, LIGHT.sheet), 1) == 15.6
    assert round(contrast(DARK.ink, DARK.sheet), 1) == 15.0
    assert round(contrast(LIGHT.wrong, LIGHT.wrongbg), 1) == 4.7
    assert round(contrast(DARK.prompt, DARK.key), 1) == 4.9


def test_contrast_runs_from_one_to_twenty_one() -> None:
    # WCAG 2.2, "contrast ratio": 21:1 for black on white, 1:1 for a colour on itself.
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#FFFFFF", "#000000") == pytest.approx(21)
    assert contrast("#4A37A6", "#4A37A6") == 1
    assert luminance("#FFFFFF") == pytest.approx(1)


def test_every_token_is_a_colour_of_every_theme_and_there_are_no_others() -> None:
    names = {field.name for field in fields(Theme)} - {"name"}
    assert names == {token.value for token in Token}
    for theme in THEMES:
        for token in Token:
            assert re.fullmatch(r"#[0-9A-F]{6}", theme.colour(token)), token


def test_no_other_file_of_the_program_writes_a_colour(checkout: Path) -> None:
    colour = re.compile(r"#[0-9A-Fa-f]{6}\b")
    found = {
        str(path.relative_to(checkout))
        for path in (checkout / "observe").rglob("*.py")
        if colour.search(path.read_text(encoding="utf-8"))
    }
    assert found == {"observe/look/tokens.py"}


def test_a_dense_screen_near_the_eyes_takes_hand_sizes() -> None:
    assert density(149) is HAND
    assert density(130) is HAND
    assert density(96) is DESK


@pytest.mark.parametrize("sizes", [HAND, DESK], ids=lambda sizes: sizes.name)
def test_no_size_is_under_the_least(sizes: Density) -> None:
    numbers = [getattr(sizes, field.name) for field in fields(HAND) if field.name != "name"]
    assert min(numbers) == sizes.least
