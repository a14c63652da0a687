"""Marks set for the wrong learner go to the right one (rules E3, M2)."""

from collections.abc import Callable

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.form import Mode
from observe.domain.gestures.moving import home_of, replaced, seen_on, with_homecoming
from observe.domain.marks import DONE, INCORRECT, NOT_APPLICABLE, NOT_DONE, NOT_SEEN, Mark, State
from observe.domain.observation import Slot
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.troubles import Refused
from tests.domain.builders import a_critical, a_form, a_step, steps
from tests.domain.table import Across, Table
from tests.domain.trials import SIDES, VOICED

FORM = a_form(
    [*steps(4, not_applicable=True), a_step("5", after=(("4",),))],
    criticals=(a_critical("X", "1"),),
)
SECOND = 10**9

TestAcross = Across.TestCase
"""Live states are the fold of the whole log, whatever was done to whom."""


@pytest.fixture
def table() -> Table:
    return Table(FORM)


def refused(table: Table, what: str, deed: Callable[[], None]) -> str:
    """The remedy of a deed that is refused with these words; nothing has changed."""
    before, count = dict(table.states), len(table.events)
    with pytest.raises(Refused, match=what) as caught:
        deed()
    assert table.states == before
    assert len(table.events) == count
    return caught.value.remedy


def seal(table: Table, id: str) -> None:
    table.do(id, gestures.give_overall, 3)
    table.do(id, gestures.write, Slot.STRENGTH, "steady hands")
    table.do(id, gestures.write, Slot.CHANGE, "say it aloud")
    table.do(id, gestures.seal)


def test_e3_the_last_marks_go_to_the_other_learner_in_one_gesture(table: Table) -> None:
    for step_id in "123":
        table.do("o-1", gestures.mark, step_id, DONE)
    table.move("o-1", "o-2", 2)
    assert [*table["o-1"].marks.values()][:3] == [DONE, NOT_SEEN, NOT_SEEN]
    assert [*table["o-2"].marks.values()][:3] == [NOT_SEEN, DONE, DONE]
    written = table.events[-4:]
    assert [one.kind for one in written] == ["taken-back", "clock-started", "mark-set", "mark-set"]
    assert len({one.gesture for one in written}) == 1
    assert [one.observation for one in written] == ["o-1", "o-2", "o-2", "o-2"]
    taken = written[0].body
    assert taken["to"] == "o-2"
    assert [one.body["from"] for one in written[2:]] == taken["events"]
    assert {one.body["source"] for one in written[2:]} == {"o-1"}


def test_e3_both_times_of_a_moved_mark_stay(table: Table) -> None:
    """Seen at 0:20 of the other's clock, which had run 10 s, stood 30 s, and runs again."""
    table.do("o-2", gestures.start_clock)
    table.log.second += 9
    table.do("o-2", gestures.pause_clock)
    table.log.second += 29
    table.do("o-2", gestures.start_clock)
    table.log.second += 9
    table.do("o-1", gestures.mark, "1", DONE)
    table.log.second += 40
    table.move("o-1", "o-2")
    (placed,) = table["o-2"].board.placed["1"]
    assert (placed.observed_ns, placed.entered_ns) == (20 * SECOND, 61 * SECOND)
    assert placed.is_late


def test_e3_what_was_entered_late_was_seen_as_much_earlier_there_too(table: Table) -> None:
    for id in ("o-1", "o-2"):
        table.do(id, gestures.start_clock)
    table.log.second += 60
    table.do("o-1", gestures.mark, "1", DONE, observed_ns=20 * SECOND)
    entered = table["o-1"].entries[-1]
    assert entered.elapsed_ns == 62 * SECOND
    assert seen_on(table["o-2"], entered) == (61 - 42) * SECOND
    assert seen_on(table["o-3"], entered) == 0


def test_e3_a_critical_event_goes_with_its_name_verdict_and_time(table: Table) -> None:
    for id in ("o-1", "o-2"):
        table.do(id, gestures.start_clock)
    table.do("o-1", gestures.record_critical)
    (one,) = table["o-1"].occurrences
    table.do("o-1", gestures.name_critical, one.id, "X")
    table.do("o-1", gestures.classify, one.id, Verdict.AVERTED)
    before = table["o-1"]
    table.log.second += 100
    table.move("o-1", "o-2")
    assert table["o-1"].occurrences == ()
    assert table["o-1"].entries == ()
    (moved,) = table["o-2"].occurrences
    assert (moved.item, moved.verdict) == ("X", Verdict.AVERTED)
    assert moved.elapsed_ns == 1 * SECOND
    table.do("o-2", gestures.take_back)
    assert table["o-1"].board == before.board
    assert table["o-2"].occurrences == ()


def test_e3_a_withdrawn_critical_event_stays(table: Table) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    table.do("o-1", gestures.record_critical, "X")
    (one,) = table["o-1"].occurrences
    table.do("o-1", gestures.classify, one.id, Verdict.WITHDRAWN, "mistaken")
    assert [entry.kind for entry in gestures.last_marks(table["o-1"], 1)] == ["mark-set"]


def test_m5_a_claim_of_order_goes_with_its_mark(table: Table) -> None:
    table.do("o-1", gestures.mark, "5", DONE)
    table.do("o-1", gestures.claim_order, "5")
    table.move("o-1", "o-2")
    assert table["o-1"].board.claims == frozenset()
    assert table["o-2"].board.claims == {"5"}


def test_m5_a_claim_stays_while_another_mark_stands_on_its_step(table: Table) -> None:
    table.do("o-1", gestures.mark, "5", DONE)
    table.do("o-1", gestures.claim_order, "5")
    table.do("o-1", gestures.mark, "5", INCORRECT)
    table.move("o-1", "o-2")
    assert table["o-1"].mark("5") == DONE
    assert table["o-1"].board.claims == {"5"}
    assert table["o-2"].board.claims == frozenset()


def test_m2_what_is_moved_onto_a_mark_stands_as_the_last_outcome(table: Table) -> None:
    table.do("o-2", gestures.mark, "1", Mark(State.DONE, 2))
    table.do("o-1", gestures.mark, "1", INCORRECT)
    entries = gestures.last_marks(table["o-1"], 1)
    assert replaced(table["o-2"], entries) == ("1",)
    assert replaced(table["o-3"], entries) == ()
    table.move("o-1", "o-2")
    assert table["o-2"].mark("1") == Mark(State.INCORRECT, 2)


def test_m1_a_reason_goes_with_the_step_that_is_not_applicable(table: Table) -> None:
    table.do("o-1", gestures.mark, "2", NOT_APPLICABLE)
    table.move("o-1", "o-2", reasons={"2": "no kit", "3": "not asked"})
    assert table.events[-1].body["step"] == "2"
    assert "2" in table["o-2"].reasons


def test_e3_one_chosen_mark_goes_and_the_later_ones_stay(table: Table) -> None:
    for step_id in "12":
        table.do("o-1", gestures.mark, step_id, DONE)
    (chosen,) = gestures.marks_on(table["o-1"], "1")
    table.write(gestures.move(table["o-1"], table["o-2"], [chosen.id]))
    assert (table["o-1"].mark("1"), table["o-1"].mark("2")) == (NOT_SEEN, DONE)
    assert (table["o-2"].mark("1"), table["o-2"].mark("2")) == (DONE, NOT_SEEN)


# Back


def test_e3_taking_back_what_was_moved_here_moves_it_back(table: Table) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    before = table["o-1"]
    table.move("o-1", "o-2")
    table.do("o-2", gestures.take_back)
    assert table["o-1"].board == before.board
    assert table["o-1"].moved == ()
    assert table["o-2"].mark("1") == NOT_SEEN
    assert table["o-2"].undone == ()
    put = table.events[-1]
    assert (put.kind, put.observation, put.body["from"]) == ("put-back", "o-1", "o-2")


def test_e3_putting_back_at_the_source_never_doubles_what_was_moved(table: Table) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    table.move("o-1", "o-2")
    refused(table, "nothing to put back", lambda: table.do("o-1", gestures.put_back))
    table.do("o-1", gestures.mark, "2", DONE)
    table.do("o-1", gestures.take_back)
    table.do("o-1", gestures.put_back)
    assert (table["o-1"].mark("1"), table["o-1"].mark("2")) == (NOT_SEEN, DONE)


def test_e3_what_went_on_to_a_third_learner_comes_back_by_the_way_it_went(table: Table) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    table.move("o-1", "o-2")
    table.move("o-2", "o-3")
    assert [table[id].mark("1") for id in table] == [NOT_SEEN, NOT_SEEN, DONE]
    table.do("o-3", gestures.take_back)
    assert [table[id].mark("1") for id in table] == [NOT_SEEN, DONE, NOT_SEEN]
    table.do("o-2", gestures.take_back)
    assert [table[id].mark("1") for id in table] == [DONE, NOT_SEEN, NOT_SEEN]


def test_e3_of_several_moved_marks_those_still_here_go_back(table: Table) -> None:
    for step_id in "12":
        table.do("o-1", gestures.mark, step_id, DONE)
    table.move("o-1", "o-2", 2)
    (second,) = gestures.marks_on(table["o-2"], "2")
    table.write(gestures.move(table["o-2"], table["o-3"], [second.id]))
    table.do("o-2", gestures.take_back)
    assert [table[id].mark("1") for id in table] == [DONE, NOT_SEEN, NOT_SEEN]
    assert [table[id].mark("2") for id in table] == [NOT_SEEN, NOT_SEEN, DONE]
    assert len(table["o-1"].moved) == 1


@pytest.mark.parametrize("end", ["seal", "void", "hand over"])
def test_e3_nothing_moves_back_to_a_learner_who_is_closed(table: Table, end: str) -> None:
    """The mark is taken back here all the same, and can be put back here."""
    table.do("o-1", gestures.mark, "1", DONE)
    table.move("o-1", "o-2")
    if end == "seal":
        seal(table, "o-1")
    elif end == "void":
        table.do("o-1", gestures.void, "an alarm")
    else:
        table.do("o-1", gestures.hand_over, "p-2", last=table.events[-1].id)
    before = table["o-1"]
    assert home_of(table["o-2"], table["o-2"].entries, table.states) is None
    table.do("o-2", gestures.take_back)
    assert table["o-1"] is before
    assert table["o-2"].mark("1") == NOT_SEEN
    table.do("o-2", gestures.put_back)
    assert table["o-2"].mark("1") == DONE


def test_e3_without_the_other_learner_at_hand_it_is_taken_back_here_only(table: Table) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    table.move("o-1", "o-2")
    drafts = gestures.take_back(table["o-2"])
    assert with_homecoming(drafts, table["o-2"], {}) == drafts


# Refusals


@pytest.mark.parametrize("sealed", ["o-1", "o-2"])
def test_e3_moving_is_refused_once_either_is_sealed(table: Table, sealed: str) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    seal(table, sealed)
    entry = table["o-1"].entries[0].id
    remedy = refused(
        table,
        "once one of them is sealed",
        lambda: table.write(gestures.move(table["o-1"], table["o-2"], [entry])),
    )
    assert "amendment" in remedy


@pytest.mark.parametrize("void", ["o-1", "o-2"])
def test_m6_nothing_moves_from_or_to_a_void_attempt(table: Table, void: str) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    table.do(void, gestures.void, "an alarm")
    refused(table, "is void", lambda: table.move("o-1", "o-2"))


def test_m6_late_marks_may_come_to_an_attempt_that_is_stopped(table: Table) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    table.do("o-2", gestures.stop_for_safety)
    table.move("o-1", "o-2")
    assert table["o-2"].mark("1") == DONE
    assert not table["o-2"].clock.is_running


def test_f5_a_mark_is_refused_where_the_other_variant_has_no_such_step() -> None:
    table = Table(SIDES, variants=("left", "right", ""))
    table.do("o-1", gestures.mark, "1", DONE)
    table.do("o-1", gestures.mark, "2L", DONE)
    refused(table, "no such step", lambda: table.move("o-1", "o-2", 2))
    refused(table, "none is chosen", lambda: table.move("o-1", "o-3", 2))


def test_w1_a_mark_is_refused_where_the_profile_does_not_allow_it_there() -> None:
    voiced = Departure("1", Doing.VOICE, "no antiseptic", "left")
    profile = Profile(SIDES.whole_digest, (voiced,))
    table = Table(SIDES, profile=profile, variants=("left", "right"))
    table.do("o-1", gestures.mark, "1", VOICED)
    refused(table, "must be performed", lambda: table.move("o-1", "o-2"))


def test_only_marks_that_stand_move(table: Table) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    table.do("o-1", gestures.move_to, "4")
    moved_to = table["o-1"].entries[-1].id

    def move(*events: str) -> None:
        table.write(gestures.move(table["o-1"], table["o-2"], events))

    refused(table, "not in force", move)
    refused(table, "not in force", lambda: move("d1/99"))
    refused(table, "Only marks", lambda: move(moved_to))
    refused(table, "not so many", lambda: table.move("o-1", "o-2", 2))
    refused(table, "not so many", lambda: table.move("o-1", "o-2", 0))
    refused(table, "there already", lambda: table.move("o-1", "o-1"))


def test_marks_move_between_learners_of_one_observer_and_one_form_only(table: Table) -> None:
    table.do("o-1", gestures.mark, "1", DONE)
    other = Table(a_form(steps(4)))
    entry = table["o-1"].entries[0].id
    with pytest.raises(Refused, match="different forms"):
        gestures.move(table["o-1"], other["o-2"], [entry])


def test_the_time_that_was_called_does_not_move(table: Table) -> None:
    """M4: that an attempt ran out of time is said of that learner alone."""
    table.do("o-1", gestures.mark, "1", DONE)
    table.do("o-1", gestures.call_time)
    assert table["o-1"].mark("2") == NOT_DONE
    assert [one.body["step"] for one in gestures.last_marks(table["o-1"], 1)] == ["1"]


def test_w3_moving_is_the_same_in_every_mode() -> None:
    for mode in Mode:
        table = Table(FORM, mode=mode)
        table.do("o-1", gestures.mark, "1", DONE)
        table.move("o-1", "o-2")
        assert table["o-2"].mark("1") == DONE
