"""Variance components of published tables (Brennan 2001), and what must not change them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.agreement.designs import design_from
from observe.agreement.gstudy import EMS, REML, GStudy, g_study
from observe.domain.troubles import BadInput
from tests.agreement.scores_of_brennan import NEGATIVE, SET_2, SET_3, SET_4, long


def study(table: object, letters: str, design: str) -> GStudy:
    values, levels = long(table, letters)
    return g_study(values, levels, design_from(design))


@pytest.mark.parametrize(
    ("table", "letters", "design", "squares", "components"),
    [
        (  # Brennan (2001), Table 3.2 and pp. 116 ff.; checked with R 4.2.2 aov.
            SET_4,
            "ptr",
            "p x (r:t)",
            {"p": 10.2963, "t": 24.1, "p x t": 4.6185, "r:t": 8.8556, "p x (r:t)": 2.3802},
            {"p": 0.4731, "t": 0.3252, "p x t": 0.5596, "r:t": 0.6475, "p x (r:t)": 2.3802},
        ),
        (  # Brennan (2001), Table 3.1; checked with R 4.2.2 aov.
            SET_3,
            "pio",
            "p x i x o",
            {"p": 6.9111, "i": 12.4833, "o": 3.2, "p x i": 2.0852, "p x o": 1.3389, "i x o": 2.5,
             "p x i x o": 0.9352},
            {"p": 0.5528, "i": 0.4417, "o": 0.0074, "p x i": 0.575, "p x o": 0.1009,
             "i x o": 0.1565, "p x i x o": 0.9352},
        ),
        (SET_2, "pi", "i:p", {"p": 6.9111, "i:p": 2.025}, {"p": 0.6108, "i:p": 2.025}),
    ],
)  # fmt: skip
def test_published_mean_squares_and_components(
    table: object,
    letters: str,
    design: str,
    squares: dict[str, float],
    components: dict[str, float],
) -> None:
    found = study(table, letters, design)
    assert found.method == EMS
    assert {one.name: one.mean_square for one in found.components} == pytest.approx(
        squares, abs=5e-5
    )
    assert {one.name: one.estimate for one in found.components} == pytest.approx(
        components, abs=5e-5
    )


def test_degrees_of_freedom_of_nested_facets() -> None:
    found = study(SET_4, "ptr", "p x (r:t)")
    assert [one.df for one in found.components] == [9, 2, 18, 9, 81]


def test_a_component_below_0_is_shown_and_counts_as_0() -> None:
    found = study(NEGATIVE, "pr", "p x r")
    raters = found.components[1]
    assert raters.estimate == pytest.approx(-0.0666667, abs=1e-7)
    assert raters.used == 0
    assert "below 0" in found.notes[0]
    assert found.of(("p",)) == pytest.approx(0.9)


def test_an_incomplete_table_is_taken_by_reml_and_says_so() -> None:
    values, levels = long(SET_3, "pio")
    some = {letter: words[1:] for letter, words in levels.items()}
    found = g_study(values[1:], some, design_from("p x i x o"))
    assert found.method == REML
    assert "REML" in found.notes[0]
    assert all(one.estimate >= 0 for one in found.components)
    assert found.of(("p",)) == pytest.approx(0.55, abs=0.2)


def test_items_of_different_number_within_persons_are_taken_by_reml() -> None:
    values, levels = long(SET_2, "pi")
    found = g_study(
        values[3:], {one: words[3:] for one, words in levels.items()}, design_from("i:p")
    )
    assert found.method == REML
    assert found.levels["i"] == pytest.approx(10 / (9 / 8 + 1 / 5))


@pytest.mark.parametrize(
    ("values", "levels", "said"),
    [
        ([1, 2, 3], {"p": ["a", "a", "b"], "i": ["1", "1", "1"]}, "scored twice"),
        ([1, 2], {"p": ["a", "b"], "i": ["1", "1"]}, "one level"),
        ([1, 1, 1, 1], {"p": list("aabb"), "i": list("1212")}, "no variance"),
    ],
)
def test_what_cannot_be_studied_is_told(
    values: list[float], levels: dict[str, list[str]], said: str
) -> None:
    with pytest.raises(BadInput, match=said):
        g_study(values, levels, design_from("p x i"))


tables = st.tuples(st.integers(2, 6), st.integers(2, 4), st.integers(2, 3)).flatmap(
    lambda shape: st.lists(
        st.integers(0, 9), min_size=int(np.prod(shape)), max_size=int(np.prod(shape))
    ).map(lambda drawn: np.reshape(drawn, shape).astype(float))
)


@given(tables, st.sampled_from(["p x i x r", "p x (r:i)"]), st.floats(-50, 50), st.floats(0.1, 9))
def test_shift_scale_and_order_of_persons(
    table: np.ndarray, design: str, shift: float, scale: float
) -> None:
    if np.ptp(table) == 0:
        return
    one = study(table, "pir", design)
    other = study((table * scale + shift)[::-1], "pir", design)
    expected = [part.estimate * scale**2 for part in one.components]
    assert [part.estimate for part in other.components] == pytest.approx(
        expected, rel=1e-6, abs=1e-6 * scale**2 * (1 + abs(shift))
    )


@given(tables)
def test_the_sums_of_squares_are_all_there_is(table: np.ndarray) -> None:
    if np.ptp(table) == 0:
        return
    parts = study(table, "pir", "p x i x r").components
    total = sum((one.mean_square or 0) * (one.df or 0) for one in parts)
    assert total == pytest.approx(float(((table - table.mean()) ** 2).sum()), rel=1e-9)
