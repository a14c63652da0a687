"""Gentle readings after the seal: ratings all alike, marks entered at once after a silence."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain import gestures
from observe.domain.form import Dimension
from observe.domain.honesty import Kind, Note, notes
from observe.domain.marks import DONE, INCORRECT
from tests.domain.builders import GRADES, Log, a_form, steps

FORM = a_form(steps(12), dimensions=tuple(Dimension(f"d{n}", f"D{n}", GRADES) for n in range(7)))
IDS = [one.id for one in FORM.steps]


def marked(*seconds: int, looks: Sequence[int] = (), late: int | None = None) -> Log:
    """An observation whose steps are marked in turn at these seconds of its clock.

    looks: seconds of looks without a mark. late: the second at which all the marks
    say that they were seen.
    """
    log = Log(FORM)
    log.do(gestures.start_clock)
    begun = log.second
    moments = sorted([(at, "mark") for at in seconds] + [(at, "look") for at in looks])
    todo = iter(IDS)
    for at, what in moments:
        log.second = begun + at - 1
        if what == "look":
            log.do(gestures.look)
        else:
            seen = None if late is None else late * 10**9
            log.do(gestures.mark, next(todo), DONE, observed_ns=seen)
    return log


def read(log: Log) -> tuple[Note, ...]:
    log.seal()
    return notes(log.state)


def test_d3_before_the_seal_there_is_nothing_to_read() -> None:
    log = marked(10, 370, 374, 378, 381, 384)
    assert notes(log.state) == ()
    assert len(read(log)) == 1


def test_marks_at_once_after_a_silence_are_said_with_both_times() -> None:
    (note,) = read(marked(10, 370, 374, 378, 381, 384))
    assert note.kind is Kind.FROM_MEMORY
    assert note.steps == ("2", "3", "4", "5", "6")
    assert note.sentence == (
        "Five steps were entered within 14 seconds after 6 minutes without a mark; "
        "marks from memory are less sure."
    )


def test_a_silence_may_be_that_from_the_start() -> None:
    (note,) = read(marked(300, 304, 308, 311, 314))
    assert "after the first 5 minutes without a mark" in note.sentence


@pytest.mark.parametrize(
    "seconds",
    [
        (10, 370, 374, 378, 381),  # four are soon done
        (10, 250, 260, 270, 280, 290),  # slowly enough to have been watched
        (10, 180, 183, 186, 189, 192),  # no silence
        (10, 70, 130, 190, 250, 310, 370),
    ],
)
def test_what_may_well_have_been_watched_is_not_said(seconds: tuple[int, ...]) -> None:
    assert read(marked(*seconds)) == ()


def test_a_mark_that_keeps_the_time_at_which_it_was_seen_is_no_memory_of_a_burst() -> None:
    assert read(marked(370, 374, 378, 381, 384, late=200)) == ()


def test_a_step_marked_again_and_again_is_one_step() -> None:
    log = marked(10)
    log.second += 400
    for mark in (DONE, INCORRECT) * 3:
        log.mark("2", mark=mark)
    assert read(log) == ()


def test_many_marks_without_a_look_before_are_said_and_a_look_silences_it() -> None:
    slow = (10, 400, 410, 420, 430, 440)
    (note,) = read(marked(*slow))
    assert note.kind is Kind.NOT_LOOKED
    assert note.sentence.startswith("Five steps were entered within 40 seconds after 6 minutes ")
    assert "or a look at this learner" in note.sentence
    assert read(marked(*slow, looks=(380,))) == ()


def test_a_burst_is_told_once() -> None:
    assert [one.kind for one in read(marked(10, 400, 401, 402, 403, 404))] == [Kind.FROM_MEMORY]


@pytest.mark.parametrize(
    ("values", "told"),
    [((4,) * 7, True), ((4,) * 4, True), ((4,) * 3, False), ((4, 4, 4, 4, 3), False), ((), False)],
)
def test_ratings_that_are_all_alike_are_said(values: tuple[int, ...], told: bool) -> None:
    log = marked(10)
    for place, value in enumerate(values):
        log.do(gestures.rate_dimension, f"d{place}", value)
    found = read(log)
    assert [one.kind for one in found] == [Kind.STRAIGHT_LINE] * told
    if told:
        assert "dimensions that were rated were given 4;" in found[0].sentence


def test_a_void_attempt_has_nothing_to_read() -> None:
    log = marked(10, 370, 374, 378, 381, 384)
    log.do(gestures.stop_for_safety)
    log.do(gestures.void, "the trainer broke")
    assert notes(log.state) == ()


@given(st.lists(st.integers(1, 900), min_size=1, max_size=12, unique=True))
def test_every_note_is_true_of_the_marks_it_names(seconds: list[int]) -> None:
    log = marked(*sorted(seconds))
    at = dict(zip(IDS, sorted(seconds), strict=False))
    told: list[str] = []
    for note in read(log):
        times = [at[one] for one in note.steps]
        assert len(times) >= 5
        assert max(times) - min(times) <= 60
        earlier = [one for one in at.values() if one < min(times)]
        assert min(times) - max(earlier, default=0) >= 180
        assert note.sentence.endswith("marks from memory are less sure.")
        told.extend(note.steps)
    assert len(told) == len(set(told))
