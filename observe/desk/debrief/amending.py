"""Amending after the seal, as questions: what, to what, and why (rule D3)."""

from __future__ import annotations

from collections.abc import Callable

from observe.desk.asking import Answers, Choice, Field, Question
from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, NOT_SEEN, Mark, State
from observe.domain.markwords import mark_words
from observe.domain.observation import Observation
from observe.domain.troubles import Refused
from observe.domain.words import VERDICTS
from observe.work.session import Session

Show = Callable[[Question], None]
STEP, CRITICAL, OVERALL, DIMENSION = "step", "critical", "overall", "dimension"
WHOSE = "whose"
REASON = Field("reason", "Why (it stands on the sheet beside both values)")
STAYS = "What was recorded stays; the new value and your reason stand beside it."
MARKS = {
    "done": DONE,
    "prompt-1": Mark(State.DONE, 1),
    "prompt-2": Mark(State.DONE, 2),
    "prompt-3": Mark(State.DONE, 3),
    "prompt-4": Mark(State.DONE, 4),
    "incorrect": INCORRECT,
    "not-done": NOT_DONE,
    "not-applicable": Mark(State.NOT_APPLICABLE),
}


class Amending:
    """Asks what of one's own sealed observation is amended, and keeps it.

    show: shows the next question; done: something was kept. others: id and name of people who
    may countersign. exchange: asks whose attempt it was.
    """

    def __init__(
        self,
        session: Session,
        others: tuple[tuple[str, str], ...],
        show: Show,
        done: Callable[[], None],
        exchange: Callable[[], None],
    ) -> None:
        self.session, self.others, self.show, self.done = session, others, show, done
        self.exchange = exchange

    @property
    def state(self) -> Observation:
        """The observation as it is now."""
        return self.session.state

    def begin(self) -> Question:
        """The first question: what is to be amended."""
        options = [(STEP, "A step"), (CRITICAL, "A critical event"), (OVERALL, "The overall grade")]
        if self.state.ground.form.dimensions:
            options.append((DIMENSION, "A dimension"))
        options.append((WHOSE, "Whose attempt it was"))
        return Question(
            "Amend after the seal",
            (STAYS, "The decision is then made anew and has to be signed anew."),
            "Go on",
            self._chosen,
            (),
            (Choice("what", "What is amended?", tuple(options)),),
        )

    def _chosen(self, answers: Answers) -> None:
        if answers["what"] == WHOSE:
            self.exchange()
            return
        next_ = {
            STEP: self._ask_step,
            CRITICAL: self._ask_critical,
            OVERALL: self._ask_overall,
            DIMENSION: self._ask_dimension,
        }.get(answers["what"])
        if next_ is None:
            raise Refused("It is open what is amended.", remedy="Choose one of these.")
        self.show(next_())

    # steps

    def _ask_step(self) -> Question:
        numbers = self.state.numbers
        steps = tuple((step.id, str(numbers[step.id])) for step in self.state.steps)

        def answer(answers: Answers) -> None:
            if not answers["step"]:
                raise Refused("It is open which step.", remedy="Choose its number.")
            self.show(self._ask_mark(answers["step"]))

        return Question("Which step?", (), "Go on", answer, (), (Choice("step", "Step", steps),))

    def _ask_mark(self, step_id: str) -> Question:
        step = next(one for one in self.state.steps if one.id == step_id)
        before = self.state.mark(step_id)
        options = tuple(
            (name, _first_large(mark_words(mark))) for name, mark in MARKS.items() if mark != before
        )
        choices = [Choice("mark", "What it was", options)]
        said = f"It stands as: {mark_words(before)}."
        if before == NOT_SEEN:
            said += " A step that was not seen needs a director's countersignature."
            choices.append(Choice("countersigned", "Countersigned by", self.others))

        def answer(answers: Answers) -> None:
            mark = MARKS.get(answers["mark"])
            if mark is None:
                raise Refused("It is open what the step was.", remedy="Choose a mark.")
            self.session.do(
                gestures.amend_step,
                step_id,
                mark,
                reason=answers["reason"],
                countersigned=answers.get("countersigned", ""),
            )
            self.done()

        title = f"Step {self.state.numbers[step_id]}: {step.label}"
        return Question(title, (said,), "Amend it", answer, (REASON,), tuple(choices))

    # critical events

    def _ask_critical(self) -> Question:
        form = self.state.ground.form
        labels = {item.id: item.label for item in form.criticals}
        known = [
            (one.id, f"Recorded: {labels.get(one.item, 'a critical event')}")
            for one in self.state.occurrences
        ]
        new = [(f"+{item.id}", f"Not recorded: {item.label}") for item in form.criticals]

        def answer(answers: Answers) -> None:
            verdict = next((one for one in Verdict if one.value == answers["verdict"]), None)
            if verdict is None or not answers["which"]:
                raise Refused("It is open which event, or what it was.", remedy="Choose both.")
            which = answers["which"]
            self.session.do(
                gestures.amend_occurrence,
                "" if which.startswith("+") else which,
                verdict,
                reason=answers["reason"],
                item=which[1:] if which.startswith("+") else "",
            )
            self.done()

        return Question(
            "Which critical event?",
            (),
            "Amend it",
            answer,
            (REASON,),
            (
                Choice("which", "Event", (*known, *new)),
                Choice(
                    "verdict",
                    "What it was",
                    tuple((one.value, _first_large(VERDICTS[one])) for one in Verdict),
                ),
            ),
        )

    # grades

    def _ask_overall(self) -> Question:
        grades = self.state.ground.form.overall.grades
        options = tuple((str(one.value), f"{one.value} {one.label}") for one in grades)

        def answer(answers: Answers) -> None:
            if not answers["grade"]:
                raise Refused("It is open which grade.", remedy="Choose one.")
            grade = int(answers["grade"])
            self.session.do(gestures.amend_overall, grade, reason=answers["reason"])
            self.done()

        said = f"It stands as {self.state.overall}."
        choice = Choice("grade", "Grade", options)
        return Question("The overall grade", (said,), "Amend it", answer, (REASON,), (choice,))

    def _ask_dimension(self) -> Question:
        dimensions = self.state.ground.form.dimensions
        grades = {one.value for each in dimensions for one in each.grades}

        def answer(answers: Answers) -> None:
            if not answers["dimension"] or not answers["grade"]:
                raise Refused("It is open which dimension or grade.", remedy="Choose both.")
            self.session.do(
                gestures.amend_dimension,
                answers["dimension"],
                int(answers["grade"]),
                reason=answers["reason"],
            )
            self.done()

        return Question(
            "A dimension",
            (),
            "Amend it",
            answer,
            (REASON,),
            (
                Choice("dimension", "Dimension", tuple((one.id, one.label) for one in dimensions)),
                Choice("grade", "Grade", tuple((str(one), str(one)) for one in sorted(grades))),
            ),
        )


def _first_large(words: str) -> str:
    return words[:1].upper() + words[1:]
