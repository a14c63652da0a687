"""Order of steps: claimed, not inferred (rule M5)."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations, pairwise, permutations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from observe.domain import gestures
from observe.domain.form import Form, Step
from observe.domain.marks import (
    DID_NOT_ARISE,
    DONE,
    INCORRECT,
    NOT_APPLICABLE,
    NOT_DONE,
    Mark,
    State,
)
from observe.domain.order import MOST_CHOICES, entered_order, fewest_moves, open_prerequisites
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.succession import Continuation
from tests.domain.builders import Log, a_form, a_step


def chain(count: int) -> Form:
    """Steps "1" to "count", each after the one before it."""
    after = {n: ((str(n - 1),),) if n > 1 else () for n in range(1, count + 1)}
    return a_form([a_step(str(n), after=after[n]) for n in after])


def moves(form: Form, sequence: str, variant: str = "") -> int | None:
    return fewest_moves(form, variant, list(sequence))


@pytest.mark.parametrize(
    ("sequence", "fewest"),
    [("123456", 0), ("124356", 1), ("612345", 1), ("654321", 5), ("214365", 3), ("", 0), ("3", 0)],
)
def test_f14b_fewest_moves_under_a_total_order(sequence: str, fewest: int) -> None:
    """Worked by hand: one late step is one move, however many it was overtaken by."""
    assert moves(chain(6), sequence) == fewest


def legal_orders(form: Form, ids: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """All orders in which each step comes after one of each of its groups, if any happened."""
    here = set(ids)
    for order in permutations(ids):
        place = {id: index for index, id in enumerate(order)}
        if all(
            any(place[one] < place[id] for one in group if one in here)
            for id in ids
            for group in form.groups(form.step[id], "")
            if here & set(group)
        ):
            yield order


def kept(sequence: Sequence[str], order: Sequence[str]) -> int:
    """How many steps at most can stay where they are: the longest common subsequence."""
    place = {id: index for index, id in enumerate(order)}
    for size in range(len(sequence), 0, -1):
        for chosen in combinations(sequence, size):
            if all(place[a] < place[b] for a, b in pairwise(chosen)):
                return size
    return 0


@st.composite
def orders(draw: st.DrawFn) -> tuple[Form, list[str]]:
    """A form with prerequisites and a sequence of some of its steps.

    An alternative may close a circle where another one spares it.
    """
    ids = [str(n) for n in range(1, 6)]
    made: list[Step] = []
    for id in ids:
        others = [one for one in ids if one != id]
        group = st.lists(st.sampled_from(others), min_size=1, max_size=3, unique=True)
        made.append(a_step(id, after=tuple(map(tuple, draw(st.lists(group, max_size=2))))))
    form = a_form(made)
    happened = draw(st.lists(st.sampled_from(ids), unique=True, min_size=2))
    assume(any(True for _ in legal_orders(form, happened)))
    return form, happened


@given(orders())
def test_m5_fewest_moves_agree_with_all_allowed_orders(drawn: tuple[Form, list[str]]) -> None:
    """The fewest steps to move, over every order that the prerequisites allow."""
    form, sequence = drawn
    best = max(kept(sequence, order) for order in legal_orders(form, sequence))
    assert fewest_moves(form, "", sequence) == len(sequence) - best


@given(orders(), st.data())
def test_m5_an_allowed_order_costs_nothing(
    drawn: tuple[Form, list[str]], data: st.DataObject
) -> None:
    form, ids = drawn
    order = data.draw(st.sampled_from(list(legal_orders(form, ids))))
    assert fewest_moves(form, "", order) == 0


def test_m5_of_alternatives_the_kindest_choice_counts() -> None:
    form = a_form([a_step("1"), a_step("2"), a_step("3", after=(("1", "2"),))])
    assert [moves(form, order) for order in ("132", "231", "312", "321")] == [0, 0, 1, 1]


def test_m5_a_choice_that_closes_a_circle_is_none() -> None:
    """2 must follow 3 here, since 1 follows 2; both have to move behind 3."""
    form = a_form([a_step("1", after=(("2",),)), a_step("2", after=(("1", "3"),)), a_step("3")])
    assert moves(form, "321") == 0
    assert moves(form, "123") == 2
    assert moves(form, "12") == moves(form, "21") == 1


def test_m5_too_many_choices_are_not_counted() -> None:
    made_of = [a_step("a"), a_step("b")]
    made_of += [a_step(str(n), after=(("a", "b"),)) for n in range(13)]
    form = a_form(made_of)
    ids = [step.id for step in made_of]
    assert MOST_CHOICES == 2**12
    assert fewest_moves(form, "", ids[:-1]) == 0
    assert fewest_moves(form, "", ids) is None


def test_m5_a_prerequisite_that_did_not_happen_moves_nothing() -> None:
    assert moves(chain(4), "241") == 1
    assert moves(chain(4), "42") == 0


def test_m5_what_another_variant_asks_is_ignored() -> None:
    form = a_form(
        [a_step("1", variants=("left",)), a_step("2", after=(("1",),))], variants=("left", "right")
    )
    assert (moves(form, "21", "left"), moves(form, "21", "right")) == (1, 0)


# What a tap would break


ALTERNATIVES = a_form(
    [
        a_step("1", not_applicable=True, when="bone is met"),
        a_step("2"),
        a_step("3", after=(("1", "2"),)),
        a_step("4", after=(("3",), ("2",))),
    ]
)


def open_before(step: str, *marked: tuple[str, Mark], form: Form = ALTERNATIVES) -> tuple[str, ...]:
    log = Log(form)
    for id, mark in marked:
        log.mark(id, mark=mark)
    return open_prerequisites(log.state, step)


def test_m5_a_tap_before_its_prerequisites_names_them_in_the_forms_order() -> None:
    assert open_before("4") == ("2", "3")
    assert open_before("3") == ("1", "2")


@pytest.mark.parametrize("mark", [DONE, INCORRECT])
def test_m5_one_alternative_that_happened_is_enough(mark: Mark) -> None:
    assert open_before("3", ("2", mark)) == ()


def test_m5_not_done_is_an_omission_and_asks_nothing() -> None:
    assert open_before("4", ("3", NOT_DONE), ("2", NOT_DONE)) == ()


def test_m5_what_the_observer_before_saw_is_not_asked_of_the_successor() -> None:
    """Rule T5: a successor knows which steps were watched, not how they went."""
    earlier = Continuation("o-9", "p-9", "4", ("2", "3"), None, running=False)
    later = replace(Log(ALTERNATIVES).state, continues=earlier)
    assert open_prerequisites(later, "4") == ()
    assert open_prerequisites(later, "3") == ()


def test_m5_an_omitted_alternative_leaves_the_other_one_to_be_asked() -> None:
    assert open_before("3", ("2", NOT_DONE)) == ("1",)


@pytest.mark.parametrize("mark", [NOT_APPLICABLE, DID_NOT_ARISE])
def test_m5_what_does_not_apply_is_ignored(mark: Mark) -> None:
    assert open_before("3", ("1", mark)) == ("2",)
    assert open_before("3", ("1", mark), ("2", DONE)) == ()


def test_m5_what_is_left_out_today_is_ignored() -> None:
    form = chain(2)
    profile = Profile(form.whole_digest, (Departure("1", Doing.NOT_TODAY, "no kit"),))
    assert open_prerequisites(Log(form, profile=profile).state, "2") == ()


def test_m5_what_the_other_variant_has_is_ignored() -> None:
    form = a_form(
        [a_step("1", variants=("left",)), a_step("2", after=(("1",),))], variants=("left", "right")
    )
    assert open_prerequisites(Log(form, variant="left").state, "2") == ("1",)
    assert open_prerequisites(Log(form, variant="right").state, "2") == ()


# The order as entered


def test_m5_steps_stand_in_the_order_in_which_they_were_marked() -> None:
    log = Log(chain(4))
    log.mark("2", "1")
    log.mark("3", mark=INCORRECT)
    assert entered_order(log.state) == ("2", "1", "3")


def test_m5_only_marks_entered_as_they_happened_count() -> None:
    log = Log(chain(3))
    log.mark("2")
    log.do(gestures.mark, "1", DONE, observed_ns=0)
    assert entered_order(log.state) == ("2",)
    log.mark("1", mark=Mark(State.DONE, 1))
    assert entered_order(log.state) == ("2",)


def test_m5_a_step_that_did_not_happen_has_no_place() -> None:
    log = Log(chain(3))
    log.mark("1", "2", "3")
    log.mark("1", mark=NOT_DONE)
    assert entered_order(log.state) == ("2", "3")


def test_m5_a_step_stands_where_it_happened_not_where_it_was_thought_omitted() -> None:
    log = Log(chain(3))
    log.mark("1", mark=NOT_DONE)
    log.mark("2", "1")
    assert entered_order(log.state) == ("2", "1")


def test_m5_a_mark_taken_back_has_no_place() -> None:
    log = Log(chain(3))
    log.mark("2", "1")
    log.do(gestures.take_back, next(e.id for e in log.events if e.kind == "mark-set"))
    log.mark("2")
    assert entered_order(log.state) == ("1", "2")


def test_m5_time_out_gives_no_place() -> None:
    log = Log(chain(3))
    log.mark("1")
    log.do(gestures.call_time)
    assert entered_order(log.state) == ("1",)


def test_m5_order_never_lowers_a_score() -> None:
    one, other = Log(chain(2)), Log(chain(2))
    one.mark("1", "2")
    other.mark("2")
    other.do(gestures.claim_order, "2")
    other.mark("1")
    assert one.state.marks == other.state.marks
    assert other.state.board.claims == {"2"}
