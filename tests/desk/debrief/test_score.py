"""The score in one sentence: whether what was missed can change it (rules S3, S4)."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.debrief.score import DomainsPanel, ScorePanel, missed_sentence
from observe.desk.live.model import LiveModel
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE, NOT_DONE, Mark
from observe.work.debrief import Reveal, reveal
from tests.desk.people import HandClock, painted, ready_to_seal


@pytest.fixture
def sealed(make_model: Callable[..., LiveModel], clock: HandClock) -> Callable[..., Reveal]:
    """Seal an attempt with these marks, the rest not seen."""

    def make(*marks: Mark | None) -> Reveal:
        model = make_model(1)
        for one in marks:
            clock.go(1)
            if one is None:
                model.pass_unseen(0)
            else:
                model.mark(0, one)
        ready_to_seal(model, 0)
        model.do(0, gestures.seal)
        return reveal(model.state(0))

    return make


def test_when_all_was_seen_nothing_can_change(sealed: Callable[..., Reveal]) -> None:
    said = missed_sentence(sealed(*[DONE] * 31))
    assert said == "Every step that applies was seen, so nothing can change the score."


def test_one_missed_step_that_cannot_matter(sealed: Callable[..., Reveal]) -> None:
    said = missed_sentence(sealed(None, *[DONE] * 30))
    assert "if the step not seen had failed" in said
    assert said.endswith("Nothing missed can bring it under the cut.")


def test_many_missed_steps_that_can_matter(sealed: Callable[..., Reveal]) -> None:
    assert missed_sentence(sealed(DONE, DONE)).endswith("What was missed can decide this line.")


def test_too_much_was_not_done_for_the_rest_to_help(sealed: Callable[..., Reveal]) -> None:
    said = missed_sentence(sealed(*[NOT_DONE] * 12))
    assert said.endswith("Nothing missed can bring it up to the cut.")


def test_nothing_seen_is_no_score(
    sealed: Callable[..., Reveal], skin: Skin, parent: QWidget
) -> None:
    found = sealed()
    assert missed_sentence(found) == "Nothing was seen, so there is no score."
    panel, domains = ScorePanel(skin, parent), DomainsPanel(skin, parent)
    panel.show_score(found)
    domains.show_domains(found)
    painted(parent, 800, 400)
    assert "not seen" in domains.accessibleName()
    assert "nan" not in domains.accessibleName().lower()
