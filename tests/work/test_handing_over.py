"""An observer leaves early; another goes on; both stand on the sheet (rule T5)."""

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.decision import Outcome
from observe.domain.form import Mode
from observe.domain.marks import DONE
from observe.domain.troubles import Refused, Surroundings
from observe.domain.workshop import Seat, Workshop
from observe.sheets.content import Revision
from observe.work.agree import agreement
from observe.work.debrief import attempt_result, sealed_watches, sign_decision, standing_signature
from observe.work.handing_over import hand_over, hand_over_all
from observe.work.planning import Person, plan_workshop
from observe.work.seating import note_absent
from observe.work.session import Room
from observe.work.sheet_content import Composer
from observe.work.typing_room import TypingRoom
from tests.work.conftest import ANNA, BEN, CLEO, a_plan
from tests.work.test_sheet_content import SIGNER

if TYPE_CHECKING:
    from tests.work.conftest import Bench


@pytest.fixture
def alone(bench: "Bench") -> "Bench":
    """Three learners, all watched by Anna alone."""
    form = bench.workshop.forms[0].form
    places = a_plan(form).places
    third = replace(places[0], learner=replace(places[0].learner, id="l3", name="Mia Three"))
    plan = a_plan(form, title="Alone", looks=0, places=(*places, third))
    return replace(bench, workshop=plan_workshop(bench.logbook, plan))


def now(bench: "Bench") -> Workshop:
    return bench.logbook.workshops()[bench.workshop.id]


def room(bench: "Bench", person: str) -> Room:
    return Room(bench.logbook, now(bench), person)


def watch(bench: "Bench", seat: Seat, person: str, steps: slice) -> None:
    session = next(one for one in room(bench, person).sessions if one.seat.number == seat.number)
    for step in session.state.steps[steps]:
        bench.machine.seconds += 10
        session.do(gestures.mark, step.id, DONE)


def handed_on(bench: "Bench") -> Seat:
    """Anna watches twelve steps of seat 1, Ben the rest; both have sealed."""
    seat = bench.workshop.seats[0]
    watch(bench, seat, ANNA.id, slice(0, 12))
    anna = room(bench, ANNA.id)
    hand_over(anna.sessions[0], BEN.id)
    anna.sessions[0].do(gestures.seal)
    bench.machine.seconds += 20
    watch(bench, seat, BEN.id, slice(12, None))
    bench.seal(room(bench, BEN.id).sessions[0])
    return now(bench).seat_of(seat.attempt)


def test_t5_the_successor_opens_their_own_observation_where_the_learner_is(
    alone: "Bench",
) -> None:
    watch(alone, alone.workshop.seats[0], ANNA.id, slice(0, 12))
    anna = room(alone, ANNA.id).sessions[0]
    hand_over(anna, BEN.id)
    alone.machine.seconds += 20
    ben = room(alone, BEN.id).sessions[0]
    assert ben.state.id != anna.state.id
    assert ben.state.observer == BEN.id
    assert ben.state.board.front == ben.state.steps[12].id
    assert ben.state.continues is not None
    assert ben.state.continues.observation == anna.state.id
    assert ben.elapsed_ns() == anna.state.clock.spent_ns + 20 * 10**9
    assert now(alone).seats[0].watches == ((ANNA.id, BEN.id),)


def test_t5_both_parts_together_decide(alone: "Bench") -> None:
    seat = handed_on(alone)
    result = attempt_result(alone.logbook, now(alone), seat)
    assert result.outcome is Outcome.PASS
    assert result.pairing is None
    assert len(result.reveals) == 1
    assert [part.observer for part in result.reveals[0].parts] == [ANNA.id, BEN.id]
    assert result.reveals[0].evidence.overall == 4
    event = sign_decision(alone.logbook, now(alone), result, by=BEN.id)
    assert standing_signature(alone.logbook, result) == event


def test_t5_nothing_comes_out_while_one_part_is_open(alone: "Bench") -> None:
    seat = alone.workshop.seats[0]
    watch(alone, seat, ANNA.id, slice(0, 12))
    hand_over(room(alone, ANNA.id).sessions[0], BEN.id)
    watch(alone, seat, BEN.id, slice(12, None))
    alone.seal(room(alone, BEN.id).sessions[0])
    assert sealed_watches(alone.logbook, now(alone), now(alone).seats[0]) == ()
    assert attempt_result(alone.logbook, now(alone), now(alone).seats[0]).reveals == ()


def test_c2_what_was_fatal_in_the_first_part_is_fatal(alone: "Bench") -> None:
    seat = alone.workshop.seats[0]
    anna = room(alone, ANNA.id).sessions[0]
    anna.do(gestures.record_critical, "LPX-C1")
    hand_over(anna, BEN.id)
    with pytest.raises(Refused, match="cannot be sealed yet"):
        anna.do(gestures.seal)
    anna.do(gestures.classify, anna.state.occurrences[0].id, Verdict.FATAL)
    anna.do(gestures.seal)
    watch(alone, seat, BEN.id, slice(0, None))
    alone.seal(room(alone, BEN.id).sessions[0])
    result = attempt_result(alone.logbook, now(alone), now(alone).seats[0])
    assert result.outcome is Outcome.REMEDIATE


def test_t5_the_sheet_names_both_with_their_times(alone: "Bench") -> None:
    seat = handed_on(alone)
    result = attempt_result(alone.logbook, now(alone), seat)
    content = Composer(alone.logbook, now(alone), result).content(SIGNER, Revision(), "0" * 64)
    assert content.occasion.observers[0] == "Anna (00:00 to 01:50)"
    assert content.occasion.observers[1].startswith("Ben (02:10 to ")
    assert all(step.time for step in content.steps)
    assert content.scored is not None
    assert content.scored.unseen == 0


def test_everything_that_runs_is_handed_over_and_the_rest_given_or_left(alone: "Bench") -> None:
    watch(alone, alone.workshop.seats[0], ANNA.id, slice(0, 5))
    watch(alone, alone.workshop.seats[1], ANNA.id, slice(0, None))
    told = hand_over_all(room(alone, ANNA.id), BEN.id)
    assert (told.handed, told.theirs, told.given) == ((1,), (2,), (3,))
    assert told.is_whole
    assert [one.seat.number for one in room(alone, BEN.id).sessions] == [1, 3]
    assert [one.seat.number for one in room(alone, ANNA.id).sessions] == [1, 2]
    assert now(alone).seats[2].first == BEN.id
    ben = room(alone, BEN.id).sessions[1].state
    assert ben.continues is None
    assert ben.clock.started is None


def test_done_twice_it_changes_nothing_more(alone: "Bench") -> None:
    watch(alone, alone.workshop.seats[0], ANNA.id, slice(0, 5))
    here = room(alone, ANNA.id)
    told = hand_over_all(here, BEN.id)
    count = len(alone.logbook.log.read())
    assert told.given == (2, 3)
    assert [one.seat.number for one in here.every] == [1]
    for again in (hand_over_all(here, BEN.id), hand_over_all(room(alone, ANNA.id), BEN.id)):
        assert (again.handed, again.given) == ((1,), ())
    assert len(alone.logbook.log.read()) == count


def test_interrupted_it_goes_on_where_it_was(
    alone: "Bench", monkeypatch: pytest.MonkeyPatch
) -> None:
    for seat in alone.workshop.seats[:2]:
        watch(alone, seat, ANNA.id, slice(0, 5))
    append, calls = alone.logbook.append, []

    def fails_second(*args: object, **kwargs: object) -> object:
        calls.append(args)
        if len(calls) == 2:
            raise Surroundings("The disk is full.", remedy="Make room.")
        return append(*args, **kwargs)  # type: ignore[arg-type]  # as it was called

    here = room(alone, ANNA.id)
    monkeypatch.setattr(alone.logbook, "append", fails_second)
    with pytest.raises(Surroundings):
        hand_over_all(here, BEN.id)
    assert [seat.watches for seat in now(alone).seats[:2]] == [
        ((ANNA.id, BEN.id),),
        ((ANNA.id,),),
    ]
    told = hand_over_all(here, BEN.id)
    assert (told.handed, told.given) == ((1, 2), (3,))


def test_stopped_for_safety_is_answered_by_who_saw_it(alone: "Bench") -> None:
    watch(alone, alone.workshop.seats[0], ANNA.id, slice(0, 5))
    room(alone, ANNA.id).sessions[0].do(gestures.stop_for_safety)
    told = hand_over_all(room(alone, ANNA.id), BEN.id)
    assert told.stopped == (1,)
    assert not told.is_whole


def test_t3_nobody_takes_over_who_already_watches_the_same_learner(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    watch(bench, seat, seat.first, slice(0, 5))
    told = hand_over_all(room(bench, seat.first), seat.second)
    assert 1 in told.shared
    assert not told.is_whole
    with pytest.raises(Refused, match="already"):
        hand_over(room(bench, seat.first).sessions[0], seat.second)


def test_only_somebody_known_and_somebody_else_takes_over(alone: "Bench") -> None:
    with pytest.raises(Refused, match="known"):
        hand_over_all(room(alone, ANNA.id), "nobody")
    with pytest.raises(Refused, match="That is you"):
        hand_over_all(room(alone, ANNA.id), ANNA.id)


def test_t1_a_second_look_stands_beside_the_two_parts_of_the_first(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    third = next(one.id for one in (ANNA, BEN, CLEO) if one.id not in seat.observers)
    watch(bench, seat, seat.first, slice(0, 12))
    left = room(bench, seat.first).sessions[0]
    hand_over(left, third)
    left.do(gestures.seal)
    watch(bench, seat, third, slice(12, None))
    bench.seal(room(bench, third).sessions[0])
    watch(bench, seat, seat.second, slice(0, None))
    session = next(s for s in room(bench, seat.second).sessions if s.seat.number == 1)
    bench.seal(session)
    result = attempt_result(bench.logbook, now(bench), now(bench).seats[0])
    assert [len(one.parts) for one in result.reveals] == [2, 1]
    assert result.outcome is Outcome.PASS
    found = agreement(bench.logbook, now(bench))
    assert (len(found.complete), found.handed_over) == (0, 1)


def test_who_leaves_hands_over_the_learners_of_the_other_room_too(two_forms: "Bench") -> None:
    form = two_forms.workshop.forms[0]
    places = a_plan(form.form).places
    next_door = replace(places[1], room=2)
    plan = a_plan(form.form, title="Rooms", looks=0, places=(places[0], next_door))
    bench = replace(two_forms, workshop=plan_workshop(two_forms.logbook, plan))
    shown = Room(bench.logbook, now(bench), ANNA.id, 1)
    assert len(shown.sessions) == 1
    assert hand_over_all(shown, BEN.id).given == (1, 2)
    assert [seat.first for seat in now(bench).seats] == [BEN.id, BEN.id]


def test_who_is_typed_in_or_absent_keeps_nobody_from_being_handed_over(alone: "Bench") -> None:
    """One seat that cannot be handed over never stops those after it."""
    first, second, _ = alone.workshop.seats
    typing = TypingRoom(alone.logbook, alone.workshop, ANNA.id, typist=CLEO.id)
    typing.sessions[0].do(gestures.mark, typing.sessions[0].state.steps[0].id, DONE)
    away = room(alone, ANNA.id).sessions[1]
    away.do(gestures.start_clock)
    away.do(gestures.pause_clock)
    note_absent(alone.logbook, now(alone), second.attempt, by=ANNA.id)
    watch(alone, alone.workshop.seats[2], ANNA.id, slice(0, 5))
    told = hand_over_all(room(alone, ANNA.id), BEN.id)
    assert (told.typed, told.given, told.handed) == ((1,), (2,), (3,))
    assert now(alone).seat_of(first.attempt).observers == (ANNA.id,)
    assert [one.seat.number for one in room(alone, BEN.id).every] == [2, 3]


def test_all_is_handed_over_as_it_is_on_the_disk(alone: "Bench") -> None:
    """What another window began meanwhile is continued, not begun anew by the other."""
    here = room(alone, ANNA.id)
    watch(alone, alone.workshop.seats[0], ANNA.id, slice(0, 5))
    assert hand_over_all(here, BEN.id).handed == (1,)
    assert room(alone, BEN.id).sessions[0].state.continues is not None


def test_w3_no_more_clocks_are_handed_over_than_one_may_watch_at_once(bench: "Bench") -> None:
    form = bench.workshop.forms[0].form
    one = a_plan(form).places[0]
    places = tuple(
        replace(one, learner=Person(f"s{n}", f"S {n}"), first=first)
        for n, first in enumerate((ANNA.id, ANNA.id, BEN.id), start=1)
    )
    plan = a_plan(form, title="Sum", mode=Mode.SUMMATIVE, looks=0, places=places)
    summed = replace(bench, workshop=plan_workshop(bench.logbook, plan))
    for seat in summed.workshop.seats:
        watch(summed, seat, seat.first, slice(0, 3))
    anna = room(summed, ANNA.id)
    told = hand_over_all(anna, BEN.id)
    assert (told.handed, told.waiting) == ((1,), (2,))
    assert not told.is_whole
    with pytest.raises(Refused, match="as many learners as may be at once"):
        hand_over(anna.every[1], BEN.id)
    anna.every[1].do(gestures.pause_clock)
    assert hand_over_all(anna, BEN.id).handed == (1, 2)
    ben = room(summed, BEN.id)
    assert [session.state.clock.is_running for session in ben.every] == [True, False, True]


def test_w3_who_was_handed_over_counts_before_their_room_is_opened(bench: "Bench") -> None:
    form = bench.workshop.forms[0].form
    one = a_plan(form).places[0]
    places = tuple(
        replace(one, learner=Person(f"s{n}", f"S {n}"), first=first)
        for n, first in enumerate((ANNA.id, BEN.id, BEN.id), start=1)
    )
    plan = a_plan(form, title="Sum", mode=Mode.SUMMATIVE, looks=0, places=places)
    summed = replace(bench, workshop=plan_workshop(bench.logbook, plan))
    ben = room(summed, BEN.id)
    watch(summed, summed.workshop.seats[0], ANNA.id, slice(0, 3))
    ben.every[0].do(gestures.start_clock)
    hand_over(room(summed, ANNA.id).every[0], BEN.id)
    with pytest.raises(Refused, match="2 clocks run already") as refused:
        ben.every[1].do(gestures.start_clock)
    assert "S 1, seat 1 or S 2, seat 2" in refused.value.remedy


def test_a_learner_does_not_take_over(alone: "Bench") -> None:
    with pytest.raises(Refused, match="a learner of this workshop"):
        hand_over_all(room(alone, ANNA.id), "l1")


def test_t5_who_types_papers_in_gives_nobody_away(alone: "Bench") -> None:
    typing = TypingRoom(alone.logbook, alone.workshop, ANNA.id, typist=CLEO.id)
    before = alone.logbook.log.read()
    with pytest.raises(Refused, match="nobody is watched"):
        hand_over_all(typing, BEN.id)
    assert alone.logbook.log.read() == before
