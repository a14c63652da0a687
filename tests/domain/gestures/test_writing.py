"""Texts have their places."""

from observe.domain import gestures
from tests.domain.builders import Log
from tests.domain.trials import FORM, refused


def test_texts_have_their_places() -> None:
    log = Log(FORM)
    for slot in ("margin", "1", "steps:1", ""):
        refused(log, "no place", gestures.write, slot, "x")
    refused(log, "no such step", gestures.write, "step:9", "x")
    draft = log.do_dry(gestures.write, "step:1", "  left hand ")[0]
    assert (draft.body, draft.texts) == ({"slot": "step:1"}, {"text": "left hand"})
