"""Incidents stand apart from every score, decision and sheet."""

from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.marks import DONE
from observe.domain.troubles import Refused
from observe.work.incidents import incidents, note_incident

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def test_an_incident_is_noted_for_the_workshop_or_for_one_attempt(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    first = note_incident(bench.logbook, bench.workshop, "o1", " A needle stick. ")
    bench.machine.seconds += 60
    second = note_incident(bench.logbook, bench.workshop, "o2", "Fainted.", attempt=seat.attempt)
    assert incidents(bench.logbook, bench.workshop) == (first, second)
    assert (first.text, first.by, first.attempt) == ("A needle stick.", "o1", "")
    assert (second.text, second.attempt) == ("Fainted.", seat.attempt)
    assert second.at > first.at


def test_e4_its_words_stand_beside_the_event(bench: "Bench") -> None:
    note_incident(bench.logbook, bench.workshop, "o1", "A needle stick.")
    (event,) = bench.logbook.log.read(kinds=("incident-noted",))
    assert list(event.body) == ["texts"]
    assert "needle" not in str(event.body)


def test_it_enters_no_observation_and_is_noted_after_the_seal_too(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    session.do(gestures.mark, "LPX-01", DONE)
    bench.seal(session)
    attempt = session.seat.attempt
    note_incident(bench.logbook, bench.workshop, "o1", "A needle stick.", attempt=attempt)
    (event,) = bench.logbook.log.read(kinds=("incident-noted",))
    assert event.observation == ""
    assert bench.session(1, "o1").state == session.state


def test_it_needs_words_and_a_learner_of_this_workshop(bench: "Bench") -> None:
    with pytest.raises(Refused, match="needs words"):
        note_incident(bench.logbook, bench.workshop, "o1", "  ")
    with pytest.raises(Refused, match="no such attempt"):
        note_incident(bench.logbook, bench.workshop, "o1", "Fainted.", attempt="a-9")
    assert incidents(bench.logbook, bench.workshop) == ()
