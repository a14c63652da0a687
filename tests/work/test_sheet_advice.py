"""What a learner is told to keep and to change, each at a step that was seen."""

from typing import TYPE_CHECKING

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, Mark, State
from observe.domain.observation import Slot
from observe.look.marks import MarkLook
from observe.work.learner_screen import open_own
from observe.work.sheet_advice import day_in_words
from tests.work.test_sheet_content import composed, seal_both

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def test_the_steps_to_work_on_start_with_what_failed_the_decision(bench: "Bench") -> None:
    seal_both(bench, 1, LPX_03=INCORRECT, LPX_25=NOT_DONE, LPX_10=Mark(State.DONE, 3))
    numbers = [one.number for one in composed(bench, 1).advice.work_on]
    assert numbers == [25, 3]  # The observer's own change is the first of three.


def test_how_the_learner_saw_it_stands_beside_how_the_observer_did(bench: "Bench") -> None:
    seal_both(bench, 1)
    own = open_own(bench.logbook, bench.workshop, bench.workshop.seats[0])
    own.do(gestures.give_overall, 5)
    own.do(gestures.write, Slot.CHANGE, "Count the interspaces aloud.")
    content = composed(bench, 1)
    assert content.advice.self_view.startswith("You gave yourself 5 of 5; the observer gave 4.")
    assert content.advice.goal == "Count the interspaces aloud."


def test_at_most_three_strengths_and_three_changes_each_of_a_step_that_was_seen(
    bench: "Bench",
) -> None:
    session = bench.session(2, bench.workshop.seats[1].first)
    wrong = {f"LPX-{number:02}": INCORRECT for number in (3, 4, 5, 6)}
    for step in session.state.steps[:12]:
        session.do(gestures.mark, step.id, wrong.get(step.id, DONE))
    bench.seal(session)
    for observer in bench.workshop.seats[1].observers[1:]:
        bench.seal(bench.session(2, observer))
    content = composed(bench, 2)
    advice = content.advice
    assert bool(advice.strength) + len(advice.kept) == 3
    assert bool(advice.change) + len(advice.work_on) == 3
    seen = {one.number for one in content.steps if one.look is not MarkLook.NOT_SEEN}
    assert {one.number for one in advice.kept} | {one.number for one in advice.work_on} <= seen
    assert all(one.good and one.seen == "incorrect" for one in advice.work_on)
    assert all(one.seen.startswith("done alone") for one in advice.kept)


def test_the_observers_words_are_tied_to_the_step_they_name(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    label = bench.session(1, "o1").state.ground.form.step["LPX-16"].label
    for observer in seat.observers:
        session = bench.session(1, observer)
        bench.mark_all(session, but={"LPX-16": INCORRECT, "LPX-03": INCORRECT})
        session.do(gestures.give_overall, 3)
        session.do(gestures.write, Slot.STRENGTH, "Steady hands.")
        session.do(gestures.write, Slot.CHANGE, f"{label}: incorrect")
        session.do(gestures.seal)
    advice = composed(bench, 1).advice
    numbers = {one.label: one.number for one in composed(bench, 1).steps}
    assert (advice.strength_step, advice.change_step) == (0, numbers[label])
    assert label not in {one.label for one in advice.work_on}


def test_no_strength_is_named_where_something_critical_was_seen(bench: "Bench") -> None:
    for observer in bench.workshop.seats[0].observers:
        session = bench.session(1, observer)
        session.do(gestures.record_critical, "LPX-C2")
        session.do(gestures.classify, session.state.occurrences[0].id, Verdict.RECOVERED)
        bench.mark_all(session)
        bench.seal(session)
    content = composed(bench, 1)
    watched = bench.session(1, "o1").state.ground.form.critical["LPX-C2"].watch
    numbers = {bench.session(1, "o1").state.numbers[step] for step in watched}
    assert numbers.isdisjoint({one.number for one in content.advice.kept})


def test_remediation_names_what_to_practise(bench: "Bench") -> None:
    seal_both(bench, 1, LPX_25=NOT_DONE, LPX_03=INCORRECT)
    assert composed(bench, 1).advice.next_step.startswith("Practise steps 3 and 25, then")
    seal_both(bench, 2)
    assert composed(bench, 2).advice.next_step == ""


def test_a_day_is_written_as_a_person_does() -> None:
    assert day_in_words("2026-03-04") == "4 March 2026"
