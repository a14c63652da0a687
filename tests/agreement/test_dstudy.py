"""What scores would be worth (Brennan 2001), and how many levels that takes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.agreement.designs import design_from
from observe.agreement.dstudy import d_study, needed
from observe.agreement.gstudy import GStudy, g_study
from observe.domain.troubles import BadInput
from tests.agreement.scores_of_brennan import NEGATIVE, SET_2, SET_3, SET_4, long


def study(table: object, letters: str, design: str) -> GStudy:
    values, levels = long(table, letters)
    return g_study(values, levels, design_from(design))


TASKS = study(SET_4, "ptr", "p x (r:t)")
CROSSED = study(SET_3, "pio", "p x i x o")
NESTED = study(SET_2, "pi", "i:p")


@pytest.mark.parametrize(
    ("tasks", "raters", "relative", "absolute", "g", "phi"),
    [  # Brennan (2001), Table 3.2 ff. prints .55 and .46 for 3 tasks with 4 raters; rest by R aov.
        (3, 4, 0.3848765432, 0.5472222222, 0.5514388489, 0.4637023593),
        (3, 2, 0.5832304527, 0.799537037, 0.4478963771, 0.3717715533),
        (1, 1, 2.939814815, 3.9125, 0.1386326641, 0.1078855695),
        (6, 4, 0.1924382716, 0.2736111111, 0.7108741016, 0.6336019839),
        (12, 1, 0.2449845679, 0.3260416667, 0.6588589234, 0.5920347574),
    ],
)
def test_raters_within_tasks(
    tasks: int, raters: int, relative: float, absolute: float, g: float, phi: float
) -> None:
    found = d_study(TASKS, {"t": tasks, "r": raters})
    assert (found.relative, found.absolute) == pytest.approx((relative, absolute), abs=1e-8)
    assert (found.g, found.phi) == pytest.approx((g, phi), abs=1e-8)


@pytest.mark.parametrize(
    ("items", "occasions", "g", "phi"),
    [  # By R 4.2.2 aov on Brennan's data set No. 3.
        (4, 2, 0.6398713826, 0.5541246084),
        (1, 1, 0.2554557125, 0.1995987964),
        (8, 1, 0.6561340844, 0.5978220053),
        (8, 2, 0.7535500158, 0.6890283488),
        (16, 2, 0.827012987, 0.7845263028),
    ],
)
def test_two_crossed_facets(items: int, occasions: int, g: float, phi: float) -> None:
    found = d_study(CROSSED, {"i": items, "o": occasions})
    assert (found.g, found.phi) == pytest.approx((g, phi), abs=1e-8)
    assert found.sem_absolute == pytest.approx(math.sqrt(found.absolute))


@pytest.mark.parametrize(
    ("items", "g"), [(8, 0.7069935691), (1, 0.2317217758), (4, 0.5467827168), (16, 0.8283494231)]
)
def test_items_within_persons_have_one_error(items: int, g: float) -> None:
    found = d_study(NESTED, {"i": items})
    assert found.relative == found.absolute
    assert (found.g, found.phi) == pytest.approx((g, g), abs=1e-8)


def test_a_negative_component_counts_as_nothing() -> None:
    found = d_study(study(NEGATIVE, "pr", "p x r"))
    assert found.relative == found.absolute == pytest.approx(0.1333333333)
    assert found.phi == pytest.approx(0.8709677419)


def test_a_fixed_facet_moves_its_share_into_what_is_true() -> None:
    """Brennan (2001), chapter 4: σ²(τ) = σ²(p) + σ²(pi)/n(i) with i fixed."""
    found = d_study(CROSSED, fixed=["i"])
    assert found.universe == pytest.approx(0.5527777778 + 0.575 / 4)
    assert found.relative == pytest.approx(0.1009259259 / 2 + 0.9351851852 / 8)
    assert found.absolute == pytest.approx(
        0.007407407407 / 2 + 0.1009259259 / 2 + 0.1564814815 / 8 + 0.9351851852 / 8
    )


def test_a_cut_far_from_the_mean_is_decided_more_surely() -> None:
    at_mean = d_study(CROSSED, cut=CROSSED.mean)
    far = d_study(CROSSED, cut=CROSSED.mean + 3)
    assert at_mean.phi_cut == pytest.approx(at_mean.phi)
    assert far.phi_cut is not None
    distance = 9 - CROSSED.mean_variance
    expected = (far.universe + distance) / (far.universe + distance + far.absolute)
    assert far.phi_cut == pytest.approx(expected)


def test_how_many_items_it_takes_and_where_no_number_does() -> None:
    found = needed(CROSSED, "i", 0.8)
    assert found.n is not None
    assert found.raw is not None
    assert found.n == math.ceil(found.raw)
    assert (d_study(CROSSED, {"i": found.n}).phi or 0) >= 0.8
    assert (d_study(CROSSED, {"i": found.n - 1}).phi or 1) < 0.8
    never = needed(CROSSED, "o", 0.8)
    assert never.n is None
    assert "other facets" in never.why


@pytest.mark.parametrize(
    ("n", "fixed"), [({"x": 2}, ()), ({"i": 0}, ()), ({"i": 5}, ("i",)), ({}, ("p",))]
)
def test_what_cannot_be_asked_is_told(n: dict[str, float], fixed: tuple[str, ...]) -> None:
    with pytest.raises(BadInput):
        d_study(CROSSED, n, fixed=fixed)


@pytest.mark.parametrize(("facet", "target"), [("p", 0.8), ("i", 1.0), ("x", 0.8)])
def test_what_cannot_be_needed_is_told(facet: str, target: float) -> None:
    with pytest.raises(BadInput):
        needed(CROSSED, facet, target)


@given(st.integers(1, 40), st.integers(1, 40))
def test_more_is_never_worth_less_and_phi_is_never_above_g(items: int, occasions: int) -> None:
    found = d_study(CROSSED, {"i": items, "o": occasions})
    more = d_study(CROSSED, {"i": items + 1, "o": occasions})
    assert (found.phi or 0) <= (found.g or 0)
    assert (found.phi or 0) <= (more.phi or 0)


@given(st.floats(0.05, 0.95), st.sampled_from(["i", "o"]))
def test_the_number_needed_is_the_least_that_does(target: float, facet: str) -> None:
    found = needed(CROSSED, facet, target)
    if found.n is None:
        assert (d_study(CROSSED, {facet: 1e9}).phi or 0) <= target + 1e-6
        return
    assert (d_study(CROSSED, {facet: found.n}).phi or 0) >= target - 1e-9
    if found.n > 1:
        assert (d_study(CROSSED, {facet: found.n - 1}).phi or 0) < target
