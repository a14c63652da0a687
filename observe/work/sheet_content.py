"""From the record of an attempt to what its sheet prints: chooses and words, computes nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from fractions import Fraction
from functools import cached_property
from itertools import groupby, takewhile

from observe import __version__
from observe.domain.board import Occurrence, Verdict, replay
from observe.domain.decision import Outcome, Standing, share_standing
from observe.domain.form import CriticalKind, Grade, Mode, Step
from observe.domain.marks import Mark, State
from observe.domain.markwords import STATES
from observe.domain.observation import Amendment, Observation
from observe.domain.printing import clock
from observe.domain.profile import Doing
from observe.domain.words import OUTCOMES, VERDICTS, listed, ordinal
from observe.domain.workshop import Workshop
from observe.look.marks import DecisionLook, LineLook, MarkLook
from observe.look.signs import SignLook
from observe.sheets import content as sheet
from observe.work import watching
from observe.work.approving import is_not, standards_in
from observe.work.debrief import AttemptResult, Reveal, attempt_result
from observe.work.logbooks import Logbook
from observe.work.measured import Measuring
from observe.work.sheet_advice import Advising, day_in_words

APPEAL_DAYS = 14


def disagree(day: str) -> str:
    """How to respond or appeal, and by when. day: of the attempt, ISO."""
    last = (date.fromisoformat(day) + timedelta(days=APPEAL_DAYS)).isoformat()
    return (
        "If you see it differently, tell the observer or the director by"
        f" {day_in_words(last)}."
        " Nothing in this record is deleted when you do: your view is kept beside it."
    )


_LINE = {
    Standing.MET: LineLook.MET,
    Standing.FAILED: LineLook.FAILED,
    Standing.OPEN: LineLook.OPEN,
    Standing.NOT_ASKED: LineLook.NOT_ASKED,
}

_DECISION = {
    Outcome.PASS: DecisionLook.PASS,
    Outcome.REMEDIATE: DecisionLook.REMEDIATE,
    Outcome.UNDECIDED: DecisionLook.UNDECIDED,
}

_SIGN = {
    Verdict.FATAL: SignLook.ABSOLUTE,
    Verdict.RECOVERED: SignLook.RECOVERED,
    Verdict.AVERTED: SignLook.AVERTED,
    Verdict.COUNTED: None,
    Verdict.WITHDRAWN: None,
}


class Composer:
    """One attempt on its way to the sheet: what decided it, in its first observer's words.

    Where the evidence of two observers was pooled, marks and numbers are those of
    both together. result: of an attempt that all its observers have sealed.
    """

    def __init__(
        self,
        logbook: Logbook,
        workshop: Workshop,
        result: AttemptResult,
        measuring: Measuring | None = None,
    ) -> None:
        self.measuring = measuring or Measuring(logbook)
        self.logbook = logbook
        self.workshop = workshop
        self.result = result
        self.seat = result.seat
        self.shown = result.together or result.reveals[0]
        self.state = self.shown.observation
        self.form = self.shown.evidence.form
        self.names = logbook.names()
        self.numbers = self.state.numbers

    def content(
        self, signer: sheet.Signer, revision: sheet.Revision, events_digest: str
    ) -> sheet.SheetContent:
        void = self.result.is_void
        return sheet.SheetContent(
            occasion=self._occasion(),
            decision=self._decision(),
            lines=self._lines(),
            scored=None if void else self._scored(),
            standard=None if void else self._standard(),
            domains=() if void else tuple(self._domains()),
            critical_items=len(self.form.criticals),
            criticals=tuple(self._criticals()),
            unwatched=() if void else self._unwatched(),
            phases=tuple(self._phases()),
            overall=None if void else self._overall(),
            dimensions=() if void else tuple(self._dimensions()),
            independence="" if void else self._independence(),
            advice=Advising(self.logbook, self.result, self._notes).written(),
            settling=self._settling(),
            deviations=tuple(self._deviations()),
            amendments=tuple(
                self._amendment(note) for part in self.shown.parts for note in part.amendments
            ),
            cautions=self.form.cautions,
            disagree=disagree(self.workshop.date),
            earlier=tuple(self._earlier()),
            origin=self._origin(events_digest),
            signer=signer,
            revision=revision,
        )

    def _name(self, person: str) -> str:
        return self.names.get(person, person)

    def _occasion(self) -> sheet.Occasion:
        first = self.shown.parts[0]
        started, paper = first.clock.started, first.transcript
        ended = None if self.state.is_typed else self.state.sealed
        variant = next(
            (v.label for v in self.form.variants if v.id == self.state.board.variant), ""
        )
        return sheet.Occasion(
            learner=self._name(self.seat.learner),
            procedure=self.form.title,
            variant=variant,
            date=day_in_words((paper and paper.date) or self.workshop.date),
            start=_time(started.at) if started else paper.start if paper else "",
            end=_time(ended.at) if ended else "",
            ordinal=f"{ordinal(self.seat.ordinal)} attempt",
            mode=self.workshop.mode.value,
            place=self.workshop.place,
            observers=tuple(
                said
                for one in self.result.reveals
                for said in watching.watched(one.parts, self.names)
            ),
            attempt=self.seat.attempt,
        )

    def _decision(self) -> sheet.Decision:
        if self.result.is_void:
            reason = self.logbook.log.text(self._void().void, "reason") or "no reason kept"
            sentence = f"This does not count, neither as a decision nor as an attempt: {reason}"
            return sheet.Decision(DecisionLook.VOID, "Void", sentence)
        outcome = self.result.outcome
        if outcome is None:
            return sheet.Decision(None, "Practice, no decision", "This attempt was practice.")
        so_far = " so far" if self.workshop.mode is Mode.FORMATIVE else ""
        return sheet.Decision(_DECISION[outcome], f"{OUTCOMES[outcome]}{so_far}", self._to_you())

    def _void(self) -> Observation:
        return next(part for one in self.result.reveals for part in one.parts if part.void)

    def _to_you(self) -> str:
        """One sentence to the learner that says what stands between."""
        decision = self.shown.decision
        if self.result.overruled:
            return self.result.sentence
        if self.result.pairing and self.result.outcome is not decision.outcome:
            return self.result.sentence
        failed = [line for line in decision.lines if line.standing is Standing.FAILED]
        if failed:
            named = listed([line.title.lower() for line in failed])
            steps = self._step_words(step for line in failed for step in line.steps)
            what = "One thing stands" if len(failed) == 1 else f"{len(failed)} things stand"
            return f"{what} between you and a pass: {named}{steps}."
        if decision.outcome is Outcome.UNDECIDED:
            open_lines = [one for one in decision.lines if one.standing is Standing.OPEN]
            waiting = listed([line.title.lower() for line in open_lines])
            return f"Too little was seen to decide: {waiting}. That is not a fault of yours."
        return "You met every line of the rule."

    def _step_words(self, steps: Iterator[str]) -> str:
        numbers = sorted({self.numbers[step] for step in steps if step in self.numbers})
        found = [str(number) for number in numbers]
        if not found:
            return ""
        return f" (step {found[0]})" if len(found) == 1 else f" (steps {listed(found)})"

    def _lines(self) -> tuple[sheet.RuleLine, ...]:
        lines = [
            sheet.RuleLine(_LINE[line.standing], line.title, line.sentence)
            for line in self.shown.decision.lines
        ]
        pairing = self.result.pairing
        if pairing is not None:
            look = LineLook.MET if pairing.is_settled else LineLook.OPEN
            lines.append(sheet.RuleLine(look, "Two observers", pairing.sentence))
        overruled = self.result.overruled
        if overruled is not None:
            met = overruled.outcome is Outcome.PASS
            look = LineLook.MET if met else LineLook.FAILED
            lines.append(sheet.RuleLine(look, "Overruled", self.result.sentence))
        return () if self.result.is_void else tuple(lines)

    def _scored(self) -> sheet.Scored:
        scored, whole = self.shown.decision.score, self.shown.decision.score.whole
        cut = self.shown.evidence.cut
        measured = self.measuring.of(self.workshop, self.seat)
        return sheet.Scored(
            value=whole.value,
            low=whole.low,
            high=whole.high,
            cut=cut.value,
            is_provisional=cut.is_provisional,
            coverage=whole.coverage,
            unseen=len(scored.unseen),
            not_applicable=len(scored.not_applicable),
            not_applicable_share=scored.not_applicable_share,
            error=measured.error,
            error_basis=measured.said,
        )

    def _standard(self) -> sheet.StandardNote | None:
        """The approved standard that the attempt is bound to, as its event says it (rule A9)."""
        bound = self.shown.evidence.cut.standard
        found = next((one for one in standards_in(self.logbook) if one.id == bound), None)
        if not bound or found is None:
            return None
        standard = found.standard
        return sheet.StandardNote(
            method=_method(standard.method),
            basis=f"{standard.n} {standard.of}",
            error=Fraction(standard.se) / 100 if standard.se else None,
            effective=day_in_words(standard.effective),
            is_not=is_not(standard),
        )

    def _domains(self) -> Iterator[sheet.DomainScore]:
        minima = self.form.rule.minima
        for domain in self.form.domains:
            share = self.shown.decision.score.domains[domain.id]
            least = minima.get(domain.id)
            if domain.id in self.shown.evidence.left_out:
                least = None
            asked = least is not None
            standing = share_standing(share, least) if least is not None else Standing.NOT_ASKED
            yield sheet.DomainScore(
                label=domain.label,
                value=share.value,
                low=share.low,
                high=share.high,
                minimum=least if asked else None,
                look=_LINE[standing],
            )

    def _criticals(self) -> Iterator[sheet.CriticalNote]:
        for place, shown in enumerate(self.result.reveals):
            for part in shown.parts:
                by = "the second observer" if place > 0 else ""
                if len(shown.parts) > 1:
                    by = self._name(part.observer)
                for occurrence in part.occurrences:
                    yield self._critical(shown, part, occurrence, by)

    def _unwatched(self) -> tuple[str, ...]:
        return tuple(self.form.critical[item].label for item in self.shown.decision.unwatched)

    def _critical(
        self, shown: Reveal, part: Observation, occurrence: Occurrence, by: str
    ) -> sheet.CriticalNote:
        item = self.form.critical.get(occurrence.item)
        verdict = occurrence.verdict or Verdict.WITHDRAWN
        tally = item is not None and item.kind is CriticalKind.TALLY
        standing = next((one for one in shown.decision.criticals if one.item is item), None)
        return sheet.CriticalNote(
            sign=_SIGN[verdict],
            word=VERDICTS[verdict],
            label=item.label if item else "Not named",
            time=clock(occurrence.elapsed_ns) if occurrence.is_timed else "",
            note=f"recorded by {by}" if by else "",
            step=self._step_at(part, occurrence),
            count=standing.count if tally and standing else 0,
            fatal_at=item.tally if tally and item else 0,
        )

    def _step_at(self, state: Observation, occurrence: Occurrence) -> int:
        """The number of the step the learner was at when it was recorded; 0 if past the last.

        0 too where it was typed in, since what was typed before says nothing of the order.
        """
        if not occurrence.is_timed:
            return 0
        before = takewhile(lambda entry: entry.id != occurrence.id, state.entries)
        front = state.continues.front if state.continues else ""
        board = replay(state.ground, state.variant_at_opening, before, front)
        return state.numbers.get(board.front, 0)

    def _phases(self) -> Iterator[sheet.PhaseNotes]:
        """Runs of steps of one phase, in the order of the steps; a phase may come again."""
        labels = {phase.id: phase.label for phase in self.form.phases}
        for phase, steps in groupby(self.state.steps, key=lambda step: step.phase):
            yield sheet.PhaseNotes(labels[phase], tuple(self._notes[step.id] for step in steps))

    @cached_property
    def _notes(self) -> Mapping[str, sheet.StepNote]:
        return {step.id: self._step(step) for step in self.state.steps}

    def _step(self, step: Step) -> sheet.StepNote:
        mark = self._mark(step)
        state = watching.who_saw(self.shown.parts, step.id) or self.state
        placed = state.board.placed.get(step.id, ())
        reason = state.reasons.get(step.id, "")
        notes = [self.logbook.log.text(reason, "reason") or ""] if reason else []
        if step.id in state.board.claims:
            notes.append("seen out of order")
        notes.append(watching.difference(self.shown.parts, step.id, self.names))
        note = "; ".join(one for one in notes if one)
        return sheet.StepNote(
            number=self.numbers[step.id],
            label=step.label,
            look=mark_look(mark),
            time=clock(placed[-1].observed_ns) if placed and placed[-1].is_timed else "",
            prompt=mark.prompt,
            source=mark.source.value if mark.source else "",
            voiced=mark.voiced,
            weight=step.weight,
            note=note,
        )

    def _mark(self, step: Step) -> Mark:
        return self.shown.evidence.marks[step.id]

    def _overall(self) -> sheet.GradeNote:
        overall = self.form.overall
        grade = _grade(overall.grades, self.state.overall)
        return sheet.GradeNote(
            title=overall.label,
            value=self.state.overall,
            highest=max(one.value for one in overall.grades),
            label=grade.label if grade else "not given",
            anchor=grade.anchor if grade else "",
            is_borderline=self.state.overall == overall.borderline,
        )

    def _dimensions(self) -> Iterator[sheet.GradeNote]:
        for dimension in self.form.dimensions:
            if dimension.id in self.state.dimensions:
                value = self.state.dimensions[dimension.id]
                grade = _grade(dimension.grades, value)
                yield sheet.GradeNote(
                    title=dimension.label,
                    value=value,
                    highest=max(one.value for one in dimension.grades),
                    label=grade.label if grade else "not observable",
                    anchor=grade.anchor if grade else "",
                )

    def _independence(self) -> str:
        levels = {one.level: one.label for one in self.form.independence}
        return levels.get(self.state.independence or 0, "")

    def _earlier(self) -> Iterator[str]:
        """Earlier attempts by this learner at a form that scores so, oldest first."""
        scoring = self.form.scoring_digest
        for workshop in self.logbook.workshops().values():
            for seat in workshop.seats:
                known = seat.learner == self.seat.learner and seat.attempt != self.seat.attempt
                before = (workshop.date, seat.ordinal) < (self.workshop.date, self.seat.ordinal)
                if known and before and workshop.in_use(seat).scoring == scoring:
                    result = attempt_result(self.logbook, workshop, seat)
                    if result.reveals:
                        day, came = day_in_words(workshop.date), _came_to(result)
                        yield f"{day}, {workshop.mode.value}: {came}."

    def _settling(self) -> sheet.Settling:
        settling = self.shown.settling
        if settling is None:
            return sheet.Settling()
        return sheet.Settling(
            self._step_lines(settling.to_pass), self._step_lines(settling.to_remediate)
        )

    def _step_lines(self, steps: Sequence[str] | None) -> tuple[str, ...]:
        return tuple(f"{self.numbers[s]} {self.form.step[s].label}" for s in steps or ())

    def _deviations(self) -> Iterator[sheet.Deviation]:
        numbers = self.form.numbers_of(self.state.board.variant)
        for departure in self.state.ground.profile.departures:
            if departure.doing is not Doing.PERFORM and departure.step in numbers:
                yield sheet.Deviation(
                    number=numbers[departure.step],
                    label=self.form.step[departure.step].label,
                    way="voiced today" if departure.doing is Doing.VOICE else "not today",
                    reason=departure.reason,
                )

    def _amendment(self, note: Amendment) -> str:
        step = self.form.step.get(note.id)
        if step:
            what = f"Step {self.numbers[note.id]}"
        elif note.target == "occurrence":
            what = "A critical event"
        else:
            what = self.form.overall.label if note.target == "overall" else "A dimension"
        countersigned = (
            f" Countersigned by {self._name(note.countersigned)}." if note.countersigned else ""
        )
        reason = self.logbook.log.text(note.event, "reason") or ""
        return (
            f"{what}, amended {_time(note.at)} by {self._name(note.by)}: "
            f"{_value(note.before)} became {_value(note.after)}. “{reason}”{countersigned}"
        )

    def _origin(self, events_digest: str) -> sheet.Origin:
        review = self.form.review
        return sheet.Origin(
            form=self.form.short,
            form_version=self.form.version,
            form_digest=self.form.whole_digest,
            events_digest=events_digest,
            engine=__version__,
            reviewed_by=review.name if review else "",
            reviewed_on=review.date if review else "",
        )


def mark_look(mark: Mark) -> MarkLook:
    """The picture of a mark that stands."""
    if mark.state is State.DONE and mark.prompt:
        return MarkLook(f"prompt-{mark.prompt}")
    return MarkLook(mark.state.value)


def _came_to(result: AttemptResult) -> str:
    if result.is_void:
        return "void"
    return OUTCOMES[result.outcome].lower() if result.outcome else "no decision"


def _grade(grades: Sequence[Grade], value: int | None) -> Grade | None:
    return next((grade for grade in grades if grade.value == value), None)


def _value(value: object) -> str:
    if isinstance(value, dict):
        state, verdict = value.get("state"), value.get("verdict")
        if state:
            prompt = f", prompt {value['prompt']}" if value.get("prompt") else ""
            return f"{STATES[State(state)]}{prompt}"
        return VERDICTS[Verdict(verdict)] if verdict else "not recorded"
    return "not given" if value is None else str(value)


_METHODS = {"angoff": "Angoff", "hofstee": "Hofstee"}


def _method(method: str) -> str:
    """A standard's method and kind, as a person says it."""
    name, comma, kind = method.partition(",")
    return f"{_METHODS.get(name, name)}{comma}{kind}".replace("_", " ")


def _time(at: str) -> str:
    return datetime.fromisoformat(at).astimezone().strftime("%H:%M")
