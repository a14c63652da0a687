"""What every gesture asks first is asked in words that say what to do."""

import pytest

from observe.domain import gestures
from observe.domain.gestures import guards
from observe.domain.marks import DONE
from observe.domain.troubles import Refused
from tests.domain.builders import Log
from tests.domain.trials import FORM, kinds, rated


def test_d3_sealed_and_not_sealed_exclude_each_other() -> None:
    log = rated()
    guards.require_open(log.state)
    with pytest.raises(Refused, match="not sealed yet"):
        guards.require_sealed(log.state, "why")
    log.do(gestures.seal)
    guards.require_sealed(log.state, "why")
    with pytest.raises(Refused, match="is sealed"):
        guards.require_open(log.state)


def test_m6_what_is_void_is_open_only_to_what_ends_it() -> None:
    log = Log(FORM)
    log.do(gestures.void, "an alarm")
    guards.require_open(log.state, void_allowed=True)
    with pytest.raises(Refused, match="is void"):
        guards.require_open(log.state)


def test_the_clock_is_started_once_and_never_during_a_stop() -> None:
    log = Log(FORM)
    assert kinds(guards.clock_if_needed(log.state)) == ["clock-started"]
    log.do(gestures.mark, "1", DONE)
    assert guards.clock_if_needed(log.state) == ()
    stopped = Log(FORM)
    stopped.do(gestures.stop_for_safety)
    assert guards.clock_if_needed(stopped.state) == ()
