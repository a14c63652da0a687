"""Texts have their places."""

from collections.abc import Callable

from observe.domain import gestures
from observe.domain.gestures import Drafts
from tests.domain.builders import Log, a_form, a_step
from tests.domain.trials import FORM, refused


def test_texts_have_their_places() -> None:
    log = Log(FORM)
    for slot in ("margin", "1", "steps:1", ""):
        refused(log, "no place", gestures.write, slot, "x")
    refused(log, "no such step", gestures.write, "step:9", "x")
    draft = log.do_dry(gestures.write, "step:1", "  left hand ")[0]
    assert (draft.body, draft.texts) == ({"slot": "step:1"}, {"text": "left hand"})


PHRASES = a_form([a_step("1", errors=("Forgets the thumbs", "Touches the tap"))])


def test_a_phrase_of_the_form_is_added_to_what_was_typed_and_taken_out_again() -> None:
    log = Log(PHRASES)

    def written(gesture: Callable[..., Drafts], phrase: str, text: str) -> str:
        return log.do_dry(gesture, "1", phrase, text=text)[0].texts["text"]

    one = written(gestures.add_phrase, "Forgets the thumbs", "")
    assert one == "Forgets the thumbs"
    both = written(gestures.add_phrase, "Touches the tap", "slow today; Forgets the thumbs ")
    assert both == "slow today; Forgets the thumbs; Touches the tap"
    left = written(gestures.remove_phrase, "Forgets the thumbs", both)
    assert left == "slow today; Touches the tap"
    emptied = log.do_dry(gestures.remove_phrase, "1", "Touches the tap", text="Touches the tap")
    assert emptied[0].body == {"slot": "step:1", "cleared": True}


def test_a_phrase_is_one_of_the_forms_and_stands_once() -> None:
    log = Log(PHRASES)
    add, remove = gestures.add_phrase, gestures.remove_phrase
    refused(log, "no such phrase", add, "1", "Forgets the thumb", text="")
    refused(log, "no such step", add, "9", "Forgets the thumbs", text="")
    refused(log, "already", add, "1", "Touches the tap", text="a; Touches the tap")
    refused(log, "not written there", remove, "1", "Touches the tap", text="Touches the taps")
    assert not gestures.has_phrase("Touches the taps", "Touches the tap")
