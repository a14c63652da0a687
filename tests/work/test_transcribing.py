"""Paper typed in: who watched, who typed, when each (rules D2, T3)."""

from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.decision import Outcome
from observe.domain.marks import DONE
from observe.domain.troubles import Refused
from observe.sheets.content import Revision, SheetContent
from observe.work.agree import agreement
from observe.work.debrief import attempt_result
from observe.work.session import Room, Session
from observe.work.sheet_content import Composer
from observe.work.transcribing import mark_live_again, open_transcription
from observe.work.watching import watch_sentence
from tests.work.test_sheet_content import SIGNER

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def typing(bench: "Bench", observer: str = "", *, typist: str = "o3", **paper: str) -> Session:
    seat = bench.workshop.seats[0]
    by = observer or seat.first
    return open_transcription(
        bench.logbook, bench.workshop, seat, watched_by=by, typist=typist, **paper
    )


def typed_and_sealed(bench: "Bench") -> SheetContent:
    """Both papers of seat 1 typed in by Cleo, three days later."""
    seat = bench.workshop.seats[0]
    bench.machine.seconds += 3 * 24 * 3600
    for observer in seat.observers:
        session = typing(bench, observer, date="2026-03-02", start="09:40")
        bench.mark_all(session)
        session.do(gestures.type_time, 754 * 10**9)
        bench.seal(session)
    result = attempt_result(bench.logbook, bench.workshop, seat)
    return Composer(bench.logbook, bench.workshop, result).content(SIGNER, Revision(), "0" * 64)


def test_d2_the_observer_is_who_watched_and_each_event_is_by_who_typed(bench: "Bench") -> None:
    session = typing(bench, date="2026-03-02", start="09:40")
    session.do(gestures.mark, session.state.steps[0].id, DONE)
    events = bench.logbook.observation(session.state.id)
    assert session.state.observer == bench.workshop.seats[0].first
    assert {event.by for event in events} == {"o3"}
    opening = events[0].body
    assert opening["transcribed"] is True
    assert opening["watched_by"] == session.state.observer
    assert (opening["date"], opening["start"]) == ("2026-03-02", "09:40")
    assert opening["source"] == "paper marked at the time"
    assert session.state.typists == ("o3",)


def test_typing_is_resumed_where_it_was_by_another_person_too(bench: "Bench") -> None:
    first = typing(bench)
    first.do(gestures.mark, first.state.steps[0].id, DONE)
    again = typing(bench, typist="o2")
    assert again.state == first.state
    again.do(gestures.mark, again.state.steps[1].id, DONE)
    assert again.state.typists == ("o3", "o2")


def test_an_observation_that_was_opened_and_not_begun_can_be_typed(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    Room(bench.logbook, bench.workshop, seat.first)
    session = typing(bench)
    assert session.state.is_typed
    assert session.state.typists == ("o3",)


def test_what_was_marked_live_is_not_typed_over(bench: "Bench") -> None:
    live = bench.session(1, bench.workshop.seats[0].first)
    live.do(gestures.mark, live.state.steps[0].id, DONE)
    with pytest.raises(Refused, match="marked live"):
        typing(bench)
    assert bench.logbook.observation(live.state.id)[-1].kind == "mark-set"


def test_what_is_typed_is_not_marked_live_unless_it_is_opened_again(bench: "Bench") -> None:
    first = bench.workshop.seats[0].first
    paper = typing(bench)
    paper.do(gestures.mark, paper.state.steps[0].id, DONE)
    with pytest.raises(Refused, match="typed in from paper"):
        bench.session(1, first).do(gestures.mark, paper.state.steps[1].id, DONE)
    mark_live_again(paper, "The attempt went on.")
    live = bench.session(1, first)
    live.do(gestures.mark, live.state.steps[1].id, DONE)
    assert [len(one) for one in live.state.board.placed.values()] == [1, 1]
    assert live.state.clock.is_running
    with pytest.raises(Refused, match="marked live"):
        paper.do(gestures.mark, paper.state.steps[2].id, DONE)
    with pytest.raises(Refused, match="marked live"):
        typing(bench)


def test_after_the_seal_only_who_watched_amends(bench: "Bench") -> None:
    session = typing(bench)
    bench.mark_all(session)
    bench.seal(session)
    step = session.state.steps[0].id
    with pytest.raises(Refused, match="sealed"):
        session.do(gestures.amend_overall, 2, reason="why")
    watcher = bench.session(1, session.state.observer)
    watcher.do(gestures.amend_overall, 2, reason="Misread.")
    assert watcher.state.amendments[0].by == session.state.observer
    assert watcher.state.mark(step) == DONE


def test_only_who_was_planned_has_a_paper_and_only_somebody_known_types(bench: "Bench") -> None:
    outside = next(
        one for one in ("o1", "o2", "o3") if one not in bench.workshop.seats[0].observers
    )
    with pytest.raises(Refused, match="planned for another"):
        typing(bench, outside)
    with pytest.raises(Refused, match="known"):
        typing(bench, typist="nobody")
    with pytest.raises(Refused, match="cannot be read"):
        typing(bench, start="9.40")


def test_the_sheet_says_who_watched_who_typed_and_when_each(bench: "Bench") -> None:
    content = typed_and_sealed(bench)
    names = bench.logbook.names()
    first = names[bench.workshop.seats[0].first]
    assert content.occasion.observers[0] == f"{first} (on paper, typed by Cleo on 5 March 2026)"
    assert (content.occasion.date, content.occasion.start) == ("2 March 2026", "09:40")
    assert content.occasion.end == ""
    assert not any(step.time for step in content.steps)
    assert content.decision.word == "Pass so far"


def test_the_debrief_and_the_trace_say_it_too(bench: "Bench") -> None:
    typed_and_sealed(bench)
    result = attempt_result(bench.logbook, bench.workshop, bench.workshop.seats[0])
    assert result.outcome is Outcome.PASS
    said = watch_sentence(result.reveals[0].parts, bench.logbook.names())
    assert said.startswith("Watched by ")
    assert said.endswith("(on paper, typed by Cleo on 5 March 2026).")
    kept = result.reveals[0].as_record()["transcripts"]
    assert kept[0]["typed_by"] == ["o3"]
    assert kept[0]["source"] == "paper marked at the time"
    assert result.reveals[0].evidence.elapsed_s == 754


def test_t3_agreement_is_between_who_watched_not_who_typed(bench: "Bench") -> None:
    typed_and_sealed(bench)
    found = agreement(bench.logbook, bench.workshop)
    assert len(found.complete) == 1
    pair = [one.observation.observer for one in found.complete[0].reveals]
    assert pair == list(bench.workshop.seats[0].observers)
