"""The questions about what waits for a person: forks, disputes, who and what is one."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from observe.desk import plan_closing
from observe.desk.asking import Answers, Choice, Field, Question
from observe.domain.adjudication import Ruling
from observe.domain.decision import Outcome
from observe.domain.workshop import Seat, Workshop
from observe.work.adjudicating import adjudicate
from observe.work.debrief import AttemptResult, Reveal
from observe.work.dropping import drop_look, restore_look
from observe.work.forks import Divided, ForkTail, adopt, choose_writer
from observe.work.known import Department, pin_department
from observe.work.linking import Pair, link_attempts, link_learners
from observe.work.logbooks import Logbook
from observe.work.naming import person_named
from observe.work.plans import OpenPlan, close

WHO = "Your name"
NAMED = "It is kept with your name and travels in packets."
KEPT = f"{NAMED} It cannot be undone."
STANDS, FALLS = "stands", "falls"


class Deciding:
    """Makes the questions for one logbook. me: who is at the machine. done: called after each."""

    def __init__(self, logbook: Logbook, me: str, done: Callable[[], None]) -> None:
        self.logbook, self.me, self.done = logbook, me, done

    def _question(
        self,
        title: str,
        sentences: tuple[str, ...],
        confirm: str,
        decide: Callable[[str, Answers], object],
        *choices: Choice,
        more: tuple[Field, ...] = (),
        kept: str = KEPT,
    ) -> Question:
        def answer(answers: Answers) -> None:
            decide(person_named(self.logbook, answers["who"]), answers)
            self.done()

        fields = (Field("who", WHO, self.me), *more)
        return Question(title, (*sentences, kept), confirm, answer, fields, choices)

    def adopt(self, tail: ForkTail) -> Question:
        """Whether a tail of a fork is put into force."""
        return self._question(
            "Adopt this tail of the fork?",
            (tail.sentence, "The other tails stay readable and count for nothing."),
            "Adopt it",
            lambda by, _: adopt(self.logbook, tail.hash, by=by),
        )

    def choose(self, each: Divided, device: str) -> Question:
        """Whose marks of a divided observation count."""
        marks = dict(zip(each.devices, each.marks, strict=True))[device]
        return self._question(
            f"Seat {each.seat.number}: count the marks of machine {device[:8]}?",
            (f"It set {marks}. Those of the other machine stay in the record, uncounted.",),
            "Count these marks",
            lambda by, _: choose_writer(self.logbook, each.observation, device, by=by),
        )

    def join_learners(self, workshop: Workshop, pair: Pair) -> Question:
        """Whether two learners are one person."""
        return self._question(
            f"Are the learners at seats {pair.kept.number} and {pair.other.number} one person?",
            (f"{pair.why[:1].upper()}{pair.why[1:]}. Their attempts are then counted on.",),
            "They are one person",
            lambda by, _: link_learners(
                self.logbook, workshop, pair.other.learner, pair.kept.learner, by=by
            ),
        )

    def join_attempts(self, workshop: Workshop, pair: Pair) -> Question:
        """Whether two attempts are one."""
        return self._question(
            f"Are seats {pair.kept.number} and {pair.other.number} one attempt?",
            (
                (
                    f"{pair.why[:1].upper()}{pair.why[1:]}. The second one then counts as a second "
                    "look, which agreement leaves out since it was not drawn before the day."
                ),
            ),
            "They are one attempt",
            lambda by, _: link_attempts(self.logbook, workshop, pair.other, pair.kept, by=by),
        )

    def drop(self, workshop: Workshop, seat: Seat, name: str) -> Question:
        """Whether a second look that is not sealed is given up."""
        return self._look(
            f"Give up the second look at seat {seat.number}?",
            f"{name} has not sealed it. The attempt is then decided by its other observer; marks "
            f"that {name} set stay in the record, uncounted.",
            "Give it up",
            lambda by, reason: drop_look(self.logbook, workshop, seat, reason=reason, by=by),
        )

    def restore(self, workshop: Workshop, seat: Seat) -> Question:
        """Whether a second look that was given up is taken back in."""
        return self._look(
            f"Take the second look at seat {seat.number} back in?",
            "Both observers' marks then decide it together.",
            "Take it back in",
            lambda by, reason: restore_look(self.logbook, workshop, seat, reason=reason, by=by),
        )

    def _look(
        self, title: str, said: str, confirm: str, decide: Callable[[str, str], None]
    ) -> Question:
        return self._question(
            title,
            (said,),
            confirm,
            lambda by, answers: decide(by, answers["reason"]),
            more=(Field("reason", "Why, in a sentence"),),
            kept=NAMED,
        )

    def close_plan(self, plan: OpenPlan, name: str) -> Question:
        """What became of a plan after remediation."""
        return self._question(
            plan_closing.title(name),
            (plan_closing.SAID,),
            plan_closing.CONFIRM,
            lambda by, answers: close(
                self.logbook,
                plan.workshop,
                plan.seat,
                plan_closing.ending_in(answers),
                answers["reason"],
                by=by,
            ),
            plan_closing.ENDINGS,
            more=(plan_closing.REASON,),
            kept=NAMED,
        )

    def confirm(self, department: Department) -> Question:
        """Whether a department is the one that the person knows."""

        def answer(answers: Answers) -> None:
            pin_department(self.logbook, answers["fingerprint"])
            self.done()

        return Question(
            f"Confirm “{department.name}” on this machine?",
            (
                (
                    "Ask the department for the fingerprint of its root, by telephone or on paper, "
                    "and type at least its first 16 digits. What you see here could be forged."
                ),
            ),
            "Confirm it",
            answer,
            (Field("fingerprint", "Fingerprint that the department gave you"),),
        )

    def rule(self, workshop: Workshop, result: AttemptResult, names: Mapping[str, str]) -> Question:
        """The adjudication of an attempt (rule T1)."""
        joint = result.pairing
        contested = joint.contested if joint else ()
        labels = {
            item.id: item.label
            for one in result.reveals[:1]
            for item in one.evidence.form.criticals
        }
        choices = [
            Choice(
                f"item {item}",
                f"{labels.get(item, item)}: was it fatal?",
                ((STANDS, "It was fatal"), (FALLS, "It was not fatal")),
            )
            for item in contested
        ]
        choices.append(
            Choice(
                "outcome",
                "Decision" if not contested else "Decision, where the findings leave it open",
                ((Outcome.PASS.value, "Pass"), (Outcome.REMEDIATE.value, "Remediate")),
            )
        )
        choices.append(
            Choice(
                "conflict",
                "Interest in how it ends",
                (("none", "I have none, and watched in neither look"),),
            )
        )

        def decide(by: str, answers: Answers) -> None:
            found = {
                how: frozenset(one for one in contested if answers[f"item {one}"] == how)
                for how in (STANDS, FALLS)
            }
            outcome = Outcome(answers["outcome"]) if answers["outcome"] else None
            ruling = Ruling(outcome, found[STANDS], found[FALLS], "", by)
            adjudicate(
                self.logbook,
                workshop,
                result.seat,
                ruling,
                reason=answers["reason"],
                no_conflict=answers["conflict"] == "none",
            )

        learner = names.get(result.seat.learner, result.seat.learner)
        return self._question(
            f"Rule on seat {result.seat.number}, {learner}",
            (result.sentence, *(_look(one, names) for one in result.reveals)),
            "Keep this ruling",
            decide,
            *choices,
            more=(Field("reason", "What decided it, in a sentence"),),
        )


def _look(one: Reveal, names: Mapping[str, str]) -> str:
    observer = one.observation.observer
    outcome = one.decision.outcome.value if one.decision.outcome else "no decision"
    return f"{names.get(observer, observer)}: {outcome}. {one.sentence}"
