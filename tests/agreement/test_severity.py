"""Observers' severity: a worked additive table, recovery in simulation, refusals (rule A4)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.agreement.severity import Severity, Table, parts, severity
from observe.domain.troubles import BadInput, Refused

# Twelve scores, eight learners, three observers; least squares with the observers adding up to 0
# by hand: A +1/3, B -14/3, C +13/3; learners 71.1667, 79.6667, 64.6667 and so on.
ROWS = [
    ("1", "A", 72.0), ("1", "B", 66.0), ("2", "A", 80.0), ("3", "A", 65.0), ("3", "C", 69.0),
    ("4", "B", 58.0), ("4", "C", 66.0), ("5", "B", 74.0), ("6", "B", 61.0), ("7", "C", 83.0),
    ("8", "C", 75.0), ("8", "A", 70.0),
]  # fmt: skip


def drawn(seed: int, *, spread: float, learners: int = 24, observers: int = 4) -> list:  # type: ignore[type-arg]
    """Every learner seen by two observers, in turn."""
    draw = np.random.default_rng(seed)
    lean = draw.normal(0, spread, observers)
    rows = []
    for learner in range(learners):
        good = draw.normal(70, 8)
        both = (learner % observers, (learner + 1 + learner // observers) % observers)
        rows += [
            (f"l{learner}", f"o{place}", good + lean[place] + draw.normal(0, 3)) for place in both
        ]
    return rows


def effects(found: Severity) -> dict[str, float]:
    return {one.observer: one.effect for one in found.observers}


def test_the_worked_table_by_least_squares() -> None:
    found = severity(Table.of(ROWS))
    fixed = {one.observer: one.fixed for one in found.observers}
    assert fixed == pytest.approx({"A": 1 / 3, "B": -14 / 3, "C": 13 / 3}, abs=1e-6)
    assert [one.shared for one in found.observers] == [3, 2, 3]


def test_shrunken_effects_lie_nearer_to_nothing_and_add_up_to_it() -> None:
    found = severity(Table.of(ROWS))
    assert sum(effects(found).values()) == pytest.approx(0, abs=1e-6)
    for one in found.observers:
        assert abs(one.effect) <= abs(one.fixed) + 0.02
        assert one.effect * one.fixed > 0
        assert 0 <= one.shrinkage <= 1
    assert any("fewer than 3 shared" in note and "B" in note for note in found.notes)


def test_a_tie_of_plain_scores_is_told_apart() -> None:
    """Learner 5 was seen by the severe observer only, learner 7 by the lenient one only."""
    found = severity(Table.of(ROWS))
    assert found.raw["7"] - found.raw["5"] == 9
    assert found.learners["7"] - found.learners["5"] == pytest.approx(0, abs=0.7)


def test_observers_who_share_nobody_are_refused_and_named() -> None:
    rows = [("1", "A", 5.0), ("1", "B", 4.0), ("2", "C", 3.0), ("2", "D", 6.0)]
    assert parts(Table.of(rows)) == (("A", "B"), ("C", "D"))
    with pytest.raises(Refused, match="2 parts that share no learner: A and B; C and D"):
        severity(Table.of(rows))


@pytest.mark.parametrize(
    ("rows", "error", "said"),
    [
        ([("1", "A", 5.0), ("2", "A", 4.0)], BadInput, "One observer"),
        (
            [("1", "A", 5.0), ("1", "B", 4.0), ("2", "A", 4.0)],
            Refused,
            "by more than one observer: 1;",
        ),
        ([(str(n), one, 4.0) for n in range(4) for one in "AB"], BadInput, "no variance"),
    ],
)
def test_what_cannot_be_told_is_refused(
    rows: list[tuple[str, str, float]], error: type[Exception], said: str
) -> None:
    with pytest.raises(error, match=said):
        severity(Table.of(rows))


def test_observers_who_are_alike_are_all_drawn_to_nothing() -> None:
    sizes = [
        abs(one)
        for seed in range(6)
        for one in effects(severity(Table.of(drawn(seed, spread=0)))).values()
    ]
    assert float(np.mean(sizes)) < 0.6


def test_the_interval_holds_what_was_drawn_about_as_often_as_it_says() -> None:
    """Of 95 % intervals in 120 simulated workshops, those that hold the observer's true lean."""
    held = []
    for seed in range(120):
        draw = np.random.default_rng(seed)
        lean = draw.normal(0, 4.0, 4)
        found = severity(Table.of(drawn(seed, spread=4.0)))
        true = {f"o{place}": float(one - lean.mean()) for place, one in enumerate(lean)}
        held += [(one.low or 0) <= true[one.observer] <= (one.high or 0) for one in found.observers]
    assert 0.92 <= float(np.mean(held)) <= 0.98


@settings(max_examples=25)
@given(st.integers(0, 10_000), st.floats(-20, 20), st.permutations(["o0", "o1", "o2", "o3"]))
def test_a_shift_of_all_scores_or_other_names_change_nothing(
    seed: int, shift: float, names: list[str]
) -> None:
    rows = drawn(seed, spread=3.0)
    other = dict(zip(["o0", "o1", "o2", "o3"], names, strict=True))
    moved = [(learner, other[observer], value + shift) for learner, observer, value in rows]
    one, two = effects(severity(Table.of(rows))), effects(severity(Table.of(moved)))
    assert {other[name]: value for name, value in one.items()} == pytest.approx(two, abs=1e-3)


@settings(max_examples=25)
@given(st.integers(0, 10_000), st.floats(1, 15))
def test_who_gives_more_to_everybody_is_found_more_lenient_by_as_much(
    seed: int, more: float
) -> None:
    rows = drawn(seed, spread=3.0)
    moved = [(l, o, value + more if o == "o1" else value) for l, o, value in rows]  # noqa: E741 - learner
    before, after = severity(Table.of(rows)), severity(Table.of(moved))
    fixed = [{one.observer: one.fixed for one in found.observers} for found in (before, after)]
    assert fixed[1]["o1"] - fixed[0]["o1"] == pytest.approx(more * 3 / 4, abs=1e-6)
    assert fixed[1]["o2"] - fixed[0]["o2"] == pytest.approx(-more / 4, abs=1e-6)
