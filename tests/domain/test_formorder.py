"""Whether prerequisites can be met at all: an AND of ORs without a circle (F3, F5, M5)."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.formorder import circles
from tests.domain.smallform import changed, form_of, line_of, only_fault

FIRST = "weight = 2\nessential = true"


def test_a_circle_names_its_way_and_stands_at_its_first_step() -> None:
    text = changed(
        'weight = 1\nvariants = ["left"]\nafter = ["S1"]',
        'weight = 1\nvariants = ["left"]\nafter = ["S3"]',
    )
    text = changed('["S2L", "S2R"]', '"S2L"', text)
    fault = only_fault(text)
    assert fault.sentence == (
        "Steps wait for each other in a circle: S2L waits for S3 waits for S2L."
    )
    assert fault.line == line_of('after = ["S3"]', text)
    assert fault.entry == 'after = ["S3"]'


def test_a_circle_of_every_variant_is_told_once() -> None:
    fault = only_fault(changed(FIRST, f'{FIRST}\nafter = ["S3"]'))
    assert fault.sentence.startswith("Steps wait for each other in a circle: S1 waits for S3")


def test_a_step_that_waits_for_itself() -> None:
    assert only_fault(changed(FIRST, f'{FIRST}\nafter = ["S1"]')).sentence == (
        "Step S1 waits for itself."
    )


def test_a_prerequisite_of_nothing() -> None:
    fault = only_fault(changed('["S2L", "S2R"]', '["S2L", "S2Q"]'))
    assert fault.sentence == "Step S3 waits for “S2Q”, which is not a step."
    assert fault.remedy.startswith("Did you mean “S2")
    assert fault.entry == '"S2Q"'


def test_f5_a_prerequisite_that_no_variant_of_the_step_has() -> None:
    fault = only_fault(
        changed('variants = ["right"]\nafter = ["S1"]', 'variants = ["right"]\nafter = ["S2L"]')
    )
    assert fault.sentence == "Step S2R waits for a step that none of its own variants has."


def test_m5_a_common_step_may_wait_for_a_step_of_one_variant() -> None:
    assert form_of(changed('["S2L", "S2R"]', '"S2L"')).id == "SMALL"


@pytest.mark.parametrize(
    ("groups", "found"),
    [
        ({"a": (), "b": (("a",),)}, []),
        ({"a": (("b",),), "b": (("a",),)}, [("a", "b")]),
        ({"a": (("b", "c"),), "b": (("a",),), "c": ()}, []),
        ({"a": (("b", "c"),), "b": (("a",),), "c": (("a",),)}, [("a", "b")]),
        ({"a": (("a",),), "b": (("a",),)}, [("a",)]),
        (
            {"a": (("b",),), "b": (("a",),), "c": (("d",),), "d": (("c",),)},
            [("a", "b"), ("c", "d")],
        ),
    ],
)
def test_an_alternative_outside_the_circle_frees_it(
    groups: dict[str, tuple[tuple[str, ...], ...]], found: list[tuple[str, ...]]
) -> None:
    assert list(circles(groups)) == found


STEPS = "abcde"
graphs = st.fixed_dictionaries(
    {
        step: st.lists(
            st.lists(st.sampled_from(STEPS), min_size=1, max_size=3).map(tuple), max_size=2
        ).map(tuple)
        for step in STEPS
    }
)


def can_be_done(groups: dict[str, tuple[tuple[str, ...], ...]]) -> bool:
    """Brute force: some order of all steps meets every prerequisite."""
    return any(
        all(
            any(order.index(one) < order.index(step) for one in group)
            for step, after in groups.items()
            for group in after
        )
        for order in permutations(groups)
    )


@given(graphs)
def test_there_is_a_circle_exactly_where_no_order_exists(
    groups: dict[str, tuple[tuple[str, ...], ...]],
) -> None:
    found = list(circles(groups))
    assert bool(found) != can_be_done(groups)
    for circle in found:
        for step, after in zip(circle, (*circle[1:], circle[0]), strict=True):
            assert any(after in group for group in groups[step])
