"""Amending after the seal, question by question (rule D3)."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from observe.desk.asking import Question
from observe.desk.debrief.amending import Amending
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.marks import INCORRECT
from observe.domain.troubles import Refused
from tests.desk.people import HandClock, ready_to_seal, work_through

MakeModel = Callable[..., LiveModel]


class Asked:
    """Keeps what is asked, and that something was kept."""

    def __init__(self, model: LiveModel) -> None:
        self.questions: list[Question] = []
        self.kept = 0
        others = (("o-2", "Dr Quill"),)
        self.exchanges = 0
        self.amending = Amending(
            model.sessions[0], others, self.questions.append, self._keep, self._exchange
        )

    def _keep(self) -> None:
        self.kept += 1

    def _exchange(self) -> None:
        self.exchanges += 1

    def go(self, **answers: str) -> Question | None:
        """Answer the newest question; what is asked next, if anything."""
        count = len(self.questions)
        self.questions[-1].answer(answers)
        return self.questions[-1] if len(self.questions) > count else None


@pytest.fixture
def asked(make_model: MakeModel, clock: HandClock) -> Asked:
    model = make_model(1)
    work_through(model, clock)
    ready_to_seal(model, 0)
    assert model.do(0, gestures.seal) is not None
    found = Asked(model)
    found.questions.append(found.amending.begin())
    return found


def test_d3_a_step_is_amended_with_a_reason_and_both_values_stay(asked: Asked) -> None:
    state = asked.amending.state
    step = next(one for one in state.steps if state.mark(one.id).state.is_outcome)
    before = state.mark(step.id)
    assert asked.go(what="step") is not None
    question = asked.go(step=step.id)
    assert question is not None
    assert step.label in question.title
    with pytest.raises(Refused):
        asked.go(mark="incorrect", reason=" ")
    with pytest.raises(Refused, match="open what the step was"):
        asked.go(mark="", reason="Wrong key.")
    asked.go(mark="incorrect", reason="Wrong key.")
    assert asked.kept == 1
    assert asked.amending.state.mark(step.id) == INCORRECT
    (note,) = asked.amending.state.amendments
    assert note.before != note.after
    assert before != INCORRECT


def test_d2_a_step_that_was_not_seen_asks_who_countersigns(asked: Asked) -> None:
    state = asked.amending.state
    unseen = next((one for one in state.steps if not state.mark(one.id).state.is_outcome), None)
    if unseen is None:
        pytest.skip("everything was seen")
    asked.go(what="step")
    question = asked.go(step=unseen.id)
    assert question is not None
    names = [one.name for one in question.choices]
    assert ("countersigned" in names) == ("not seen" in question.sentences[0])


def test_the_overall_grade_and_critical_events_can_be_amended(asked: Asked) -> None:
    asked.go(what="overall")
    asked.go(grade="2", reason="Typed the wrong one.")
    assert asked.amending.state.overall == 2
    asked.questions.append(asked.amending.begin())
    question = asked.go(what="critical")
    assert question is not None
    which = next(value for value, _ in question.choices[0].options if value.startswith("+"))
    with pytest.raises(Refused, match="which event"):
        asked.go(which="", verdict="fatal", reason="Seen on the way out.")
    asked.go(which=which, verdict="fatal", reason="Seen on the way out.")
    assert any(one.item == which[1:] for one in asked.amending.state.occurrences)


def test_nothing_chosen_is_told(asked: Asked) -> None:
    with pytest.raises(Refused, match="open what is amended"):
        asked.go(what="")
    asked.go(what="step")
    with pytest.raises(Refused, match="which step"):
        asked.go(step="")


def test_e3_whose_attempt_it_was_is_asked_elsewhere(asked: Asked) -> None:
    assert asked.go(what="whose") is None
    assert asked.exchanges == 1
