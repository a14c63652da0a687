"""Taking back and putting back (rules E3, M6)."""

import pytest

from observe.domain import gestures
from observe.domain.marks import (
    DONE,
)
from observe.domain.troubles import Refused
from tests.domain.builders import Log, a_form, steps
from tests.domain.trials import FORM, refused


def test_e3_taking_back_names_what_it_would_take() -> None:
    log = Log(FORM)
    assert gestures.take_back_target(log.state) == ()
    refused(log, "nothing to take back", gestures.take_back)
    refused(log, "nothing to put back", gestures.put_back)
    log.mark("1")
    assert gestures.take_back_target(log.state) == (log.state.last,)
    log.do(gestures.take_back)
    refused(log, "not in force", gestures.take_back, log.events[-2].id)


def test_m6_a_void_can_be_taken_back_until_the_seal() -> None:
    log = Log(a_form(steps(3)))
    log.do(gestures.mark, "1", DONE)
    before = log.state
    log.do(gestures.void, "The trainer broke.")
    with pytest.raises(Refused):
        log.do(gestures.mark, "2", DONE)
    log.do(gestures.take_back)
    assert not log.state.void
    assert log.state.board == before.board
    log.do(gestures.mark, "2", DONE)
    log.do(gestures.void, "The trainer broke again.")
    log.do(gestures.seal)
    with pytest.raises(Refused):
        log.do(gestures.take_back)
