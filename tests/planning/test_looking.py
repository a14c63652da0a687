"""Where to look next: what is due, at whom, and why; never the same seat by chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from observe import places
from observe.domain import formtext
from observe.domain.bodies import Because
from observe.planning.looking import Learner, Stage, stages_of, suggested

S = 1_000_000_000
PLAIN = tuple(Stage(f"S{place}") for place in range(20))


def with_stage(place: int, *, critical: bool = False, essential: bool = False) -> tuple[Stage, ...]:
    stages = list(PLAIN)
    stages[place] = Stage(f"S{place}", critical=critical, essential=essential)
    return tuple(stages)


def learner(
    seat: int,
    stages: Sequence[Stage] = PLAIN,
    *,
    front: int = 5,
    since_s: float = 140,
    now_s: float = 160,
    looked_s: float | None = None,
) -> Learner:
    """A learner at the usual pace, marked in full up to the step they are at."""
    return Learner(
        seat=seat,
        running=True,
        stages=stages,
        marked=frozenset(range(front)),
        front=front,
        since_ns=round(since_s * S),
        seen=[(place, round((place + 1) * since_s / front * S)) for place in range(front)],
        now_ns=round(now_s * S),
        looked_ns=round((since_s if looked_s is None else looked_s) * S),
    )


def test_a_critical_step_that_is_due_goes_before_a_plain_one() -> None:
    others = [learner(seat) for seat in range(7)]
    found = suggested([*others, learner(7, with_stage(5, critical=True))])
    assert found is not None
    assert (found.seat, found.step, found.because) == (7, "S5", Because.CRITICAL)
    assert found.waited_ns == 20 * S


def test_critical_goes_before_essential_and_essential_before_the_rest() -> None:
    plain, essential = learner(0), learner(1, with_stage(5, essential=True))
    critical = learner(2, with_stage(5, critical=True))
    first = suggested([plain, essential, critical])
    assert first is not None
    assert first.seat == 2
    second = suggested([plain, essential])
    assert second is not None
    assert (second.seat, second.because) == (1, Because.ESSENTIAL)


def test_a_critical_step_far_ahead_is_not_due_yet() -> None:
    far = learner(0, with_stage(15, critical=True))
    due = learner(1, with_stage(5, essential=True))
    found = suggested([far, due])
    assert found is not None
    assert found.seat == 1


def test_a_critical_step_that_must_be_over_by_now_is_not_due_any_more() -> None:
    over = learner(0, with_stage(5, critical=True), since_s=140, now_s=500, looked_s=495)
    due = learner(1, with_stage(5, critical=True))
    found = suggested([over, due])
    assert found is not None
    assert found.seat == 1


def test_the_learners_own_pace_says_what_is_due() -> None:
    """Both are 60 s past the same mark; the fast one is at the critical step, the slow not yet."""
    stages = with_stage(9, critical=True)
    fast = learner(0, stages, front=6, since_s=90, now_s=147)
    slow = learner(1, stages, front=6, since_s=480, now_s=537)
    found = suggested([slow, fast])
    assert found is not None
    assert (found.seat, found.step) == (0, "S9")


def test_a_marked_step_is_not_due() -> None:
    stages = with_stage(6, critical=True)
    one = learner(0, stages)
    seen_early = replace(one, marked=one.marked | {6})
    found = suggested([seen_early])
    assert found is None or found.step != "S6"


def test_long_unseen_a_learner_is_suggested_before_all_others() -> None:
    due = with_stage(5, critical=True)
    fresh = [learner(seat, due, front=5, since_s=590, now_s=600) for seat in range(5)]
    forgotten = learner(5, front=5, since_s=100, now_s=700, looked_s=100)
    found = suggested([*fresh, forgotten])
    assert found is not None
    assert (found.seat, found.because) == (5, Because.UNSEEN)
    assert found.step


def test_who_does_not_run_or_has_every_step_marked_is_not_suggested() -> None:
    standing = replace(learner(0, with_stage(5, critical=True)), running=False)
    assert suggested([standing]) is None
    complete = replace(learner(1), front=20, marked=frozenset(range(20)), now_ns=9000 * S)
    assert suggested([complete]) is None
    assert suggested([]) is None


learners = st.builds(
    Learner,
    seat=st.integers(0, 11),
    running=st.booleans(),
    stages=st.lists(
        st.builds(Stage, st.text(max_size=3), st.booleans(), st.booleans()), max_size=25
    ),
    marked=st.frozensets(st.integers(0, 59)),
    front=st.integers(0, 60),
    since_ns=st.integers(0, 10**13),
    seen=st.lists(st.tuples(st.integers(0, 59), st.integers(0, 10**13)), max_size=20),
    now_ns=st.integers(0, 10**13),
    looked_ns=st.integers(0, 10**13),
)


@settings(max_examples=40)
@given(st.lists(learners, max_size=4))
def test_whatever_is_asked_the_answer_is_one_of_those_who_run_and_the_same_again(
    asked: list[Learner],
) -> None:
    found = suggested(asked)
    assert found == suggested(asked)
    if found is not None:
        one = next(one for one in asked if one.running and one.seat == found.seat)
        assert found.worth > 0
        assert found.waited_ns >= 0
        same = [other for other in asked if other.running and other.seat == one.seat]
        assert any(stage.id == found.step for other in same for stage in other.stages)


def test_what_it_knows_of_a_shipped_form_is_what_the_form_says() -> None:
    source = (places.forms() / "lumbar-puncture-adult.toml").read_text(encoding="utf-8")
    form, _ = formtext.read(source)
    assert form is not None
    stages = stages_of(form, form.steps_of("side-lying"))
    assert {one.id for one in stages if one.critical} >= {"LPX-15", "LPX-21", "LPX-23"}
    assert {one.id for one in stages if one.essential} >= {"LPX-02", "LPX-08"}
    assert not next(one for one in stages if one.id == "LPX-01").critical
