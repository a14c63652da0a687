"""Repair: each deed is on the disk before it shows, and a refusal is said in the strip."""

from __future__ import annotations

import pytest

from observe.desk.live.shield import shield_of
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT, NOT_SEEN
from observe.domain.troubles import Refused, Surroundings
from tests.desk.live.grid.fingers import OpenGrid
from tests.desk.people import HandClock, ready_to_seal

FULL = Surroundings("This disk is full.", remedy="Free some space.")


def test_a_wrong_mark_is_put_right_and_the_old_one_stays_in_the_log(open_grid: OpenGrid) -> None:
    """Rule M2: the last outcome stands."""
    fingers = open_grid(5)
    fingers.model.mark(4, INCORRECT)
    fingers.cell(0, 4)
    assert "5 Ravi Senapathi, step 1: incorrect" in fingers.view.strip.shown.title
    fingers.key("Done")
    assert fingers.state(4).mark("LPX-01") == DONE
    assert len(fingers.state(4).board.placed["LPX-01"]) == 2


def test_not_seen_takes_the_mark_back(open_grid: OpenGrid) -> None:
    fingers = open_grid(5)
    fingers.model.mark(4, INCORRECT)
    fingers.cell(0, 4)
    fingers.key("Not seen")
    assert fingers.state(4).mark("LPX-01") == NOT_SEEN


def test_a_late_mark_keeps_when_it_was_seen(open_grid: OpenGrid, clock: HandClock) -> None:
    """Rule E2: observed-at and entered-at differ for late marks."""
    fingers = open_grid(5)
    fingers.model.mark(2, DONE)
    clock.go(39)
    fingers.model.pass_unseen(2)
    clock.go(1)
    fingers.model.mark(2, DONE)
    fingers.view.lens.open_at(0)
    clock.go(200)
    fingers.cell(1, 2)
    fingers.key("seen about 0:20")
    assert "seen about 0:20, chosen" in fingers.names()
    fingers.key("Done")
    placed = fingers.state(2).board.placed["LPX-02"][0]
    assert placed.observed_ns == 20_000_000_000
    assert placed.entered_ns > 240_000_000_000


def test_why_a_step_does_not_apply_is_asked_in_the_strip(open_grid: OpenGrid) -> None:
    fingers = open_grid(5)
    steps = fingers.state(1).steps
    row = next(place for place, step in enumerate(steps) if step.not_applicable and not step.when)
    fingers.view.lens.open_at(row)
    fingers.cell(row, 1)
    fingers.key("Not appl.")
    assert fingers.view.strip.isVisible()
    assert fingers.view.strip.shown.told == "Why does it not apply?"
    fingers.key(fingers.names()[0])
    assert steps[row].id in fingers.state(1).reasons
    assert fingers.view.strip.isHidden()


def test_order_is_claimed_by_a_second_tap_and_never_by_itself(open_grid: OpenGrid) -> None:
    """Rule M5."""
    fingers = open_grid(5)
    fingers.cell(1, 1)
    fingers.key("Done")
    assert fingers.names() == ["Seen out of order", "No, leave it"]
    assert not fingers.state(1).board.claims
    fingers.key("Seen out of order")
    assert fingers.state(1).board.claims == {"LPX-02"}


def test_nothing_is_drawn_before_it_is_on_the_disk(
    open_grid: OpenGrid, monkeypatch: pytest.MonkeyPatch
) -> None:
    fingers = open_grid(5)
    logbook = fingers.model.room.logbook

    def full(*_: object, **__: object) -> None:
        raise FULL

    fingers.cell(0, 3)
    monkeypatch.setattr(logbook, "append", full)
    fingers.key("Done")
    assert fingers.view.grid.cell(0, 3).word == ""
    assert "Nothing can be kept now" in fingers.view.strip.shown.told
    assert fingers.names() == []


def test_a_refusal_is_said_in_the_strip(
    open_grid: OpenGrid, monkeypatch: pytest.MonkeyPatch
) -> None:
    fingers = open_grid(5)

    def refuse(*_: object, **__: object) -> None:
        raise Refused("That cannot be.", remedy="Do another thing.")

    fingers.cell(0, 3)
    monkeypatch.setattr(gestures, "mark", refuse)
    fingers.key("Done")
    assert fingers.view.strip.shown.told == "That cannot be. Do another thing."
    assert fingers.view.strip.shown.refused
    assert fingers.state(3).mark("LPX-01") == NOT_SEEN


def test_a_sealed_learner_has_no_keys_but_the_reason(open_grid: OpenGrid) -> None:
    """Rule D3: after the seal there are only amendments."""
    fingers = open_grid(4)
    fingers.model.mark(1, DONE)
    ready_to_seal(fingers.model, 1)
    fingers.model.do(1, gestures.seal)
    fingers.cell(0, 1)
    assert fingers.names() == []
    assert "amendments" in fingers.view.strip.shown.told


def test_a_mark_goes_to_the_learner_whose_head_or_cell_is_pressed_next(
    open_grid: OpenGrid,
) -> None:
    """Rule E3: marks may go to another learner until either observation is sealed."""
    fingers = open_grid(4)
    fingers.model.mark(1, DONE)
    fingers.model.mark(2, INCORRECT)
    fingers.cell(0, 1)
    fingers.key("Wrong learner")
    assert "Press the learner" in fingers.view.strip.shown.told
    fingers.head(3)
    assert (fingers.state(1).mark("LPX-01"), fingers.state(3).mark("LPX-01")) == (NOT_SEEN, DONE)
    fingers.cell(0, 2)
    fingers.key("Wrong learner")
    fingers.cell(3, 0)
    assert fingers.state(0).mark("LPX-01") == INCORRECT
    assert fingers.open() is None


def test_the_same_learner_keeps_the_mark(open_grid: OpenGrid) -> None:
    fingers = open_grid(4)
    fingers.model.mark(1, DONE)
    fingers.cell(0, 1)
    fingers.key("Wrong learner")
    fingers.cell(0, 1)
    assert fingers.state(1).mark("LPX-01") == DONE
    assert fingers.open() == (0, 1)


def test_nothing_moves_to_a_sealed_learner_and_the_strip_says_why(open_grid: OpenGrid) -> None:
    """Rule E3."""
    fingers = open_grid(3)
    ready_to_seal(fingers.model, 2)
    fingers.model.do(2, gestures.seal)
    fingers.model.mark(1, DONE)
    fingers.cell(0, 1)
    fingers.key("Wrong learner")
    fingers.head(2)
    assert fingers.state(1).mark("LPX-01") == DONE
    assert fingers.view.strip.shown.refused
    assert "sealed" in fingers.view.strip.shown.told


def test_under_the_shield_no_mark_is_said_and_none_is_repaired(open_grid: OpenGrid) -> None:
    """Rule P2."""
    fingers = open_grid(4)
    fingers.model.mark(1, INCORRECT)
    shield_of(fingers.model).turn()
    fingers.cell(0, 1)
    assert fingers.view.strip.shown.title == "2 Idris Kalnin, step 1: covered."
    assert fingers.names() == []
    shield_of(fingers.model).turn()
    assert "incorrect" in fingers.view.strip.shown.title
    assert fingers.names()


def test_a_moved_mark_keeps_its_time(open_grid: OpenGrid, clock: HandClock) -> None:
    """Rule E3; of several marks only the one of the cell goes."""
    fingers = open_grid(3)
    fingers.model.mark(1, DONE)
    fingers.model.mark(2, DONE)
    clock.go(30)
    fingers.model.mark(1, INCORRECT)
    fingers.cell(1, 1)
    fingers.key("Wrong learner")
    fingers.head(2)
    assert fingers.state(1).mark("LPX-02") == NOT_SEEN
    assert fingers.state(1).mark("LPX-01") == DONE
    cell = fingers.view.grid.cell(1, 2)
    assert (cell.word, cell.time) == ("incorrect", "00:30")
