"""Grades are on their scales."""

from observe.domain import gestures
from tests.domain.builders import Log
from tests.domain.trials import FORM, refused


def test_grades_must_be_on_their_scale() -> None:
    log = Log(FORM)
    assert "[1, 2, 3, 4, 5]" in refused(log, "6 is not on", gestures.give_overall, 6)
    refused(log, "0 is not on", gestures.give_overall, 0)
    refused(log, "4 is not on", gestures.rate_dimension, "touch", 4)
    refused(log, "no such dimension", gestures.rate_dimension, "taste", 1)
    refused(log, "3 is not on", gestures.give_independence, 3)
    log.do(gestures.give_independence, 2)
    log.do(gestures.rate_dimension, "touch", None)
    assert (log.state.independence, log.state.dimensions) == (2, {"touch": None})
    log.do(gestures.rate_dimension, "touch", 3)
    assert log.state.dimensions == {"touch": 3}
