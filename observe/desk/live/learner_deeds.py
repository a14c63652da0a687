"""What else can be done for the learner in front: words, repair, time, variant; over the well."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from PySide6.QtCore import QObject, Signal

from observe.desk.live import reading
from observe.desk.live.model import LiveModel
from observe.desk.live.panels import Choice
from observe.desk.live.questions import Pick, Questions
from observe.desk.live.shield import is_up
from observe.desk.live.time_limit import unreached
from observe.domain import gestures
from observe.domain.form import Step
from observe.domain.observation import Observation, Slot
from observe.domain.words import counted
from observe.work.learner_screen import peers

MOST_ANSWERS = 12
MOST_DIGITS, SECONDS_DIGITS, MINUTE_S = 3, 2, 60
MOST_MOVED = 4
"""How many marks are offered to be moved at once."""


class LearnerDeeds(QObject):
    """Offers the deeds for one learner; those of other pages are emitted."""

    rate = Signal(int)
    learner_screen = Signal(int, str)
    alone = Signal(int)
    live_again = Signal()
    """A paper that was being typed in is to be marked live; its room is to be left."""

    def __init__(self, model: LiveModel, questions: Questions) -> None:
        super().__init__(questions)
        self.model, self.questions = model, questions

    def offer(self, seat: int) -> None:
        """Show what can be done for a learner now."""
        state = self.model.state(seat)
        choices = [*self._choices(seat, state)]
        self.questions.about = seat
        covered = " · the shield covers what was marked" if is_up(self.model) else ""
        self.questions.choose(f"{self._who(seat)}{covered}", choices, (self._back(),))

    def _choices(self, seat: int, state: Observation) -> Iterator[Choice]:
        open_now, shown = not (state.sealed or state.void), not is_up(self.model)
        if open_now and shown:
            step = self._step_for_words(state)
            if step is not None:
                note = f"about step {state.numbers[step.id]}"
                yield Choice("Words to the learner", note, partial(self.words, seat, step.id))
            yield Choice("Note on the attempt", "for the debrief", partial(self.note, seat))
        if open_now:
            if gestures.movable(state) and len(self.model) > 1:
                yield Choice("Wrong learner", "move the last marks", partial(self.wrong, seat))
            if state.ground.form.variants:
                yield Choice("Variant", self._has_variant(state), partial(self.variant, seat))
            if state.is_typed:
                yield Choice("Time taken", "as on the paper", partial(self.type_time, seat))
                yield Choice("No paper", "mark it live again", partial(self.no_paper, seat))
            if unreached(state):
                yield Choice("Time is up", "what is left: not done", partial(self.time_up, seat))
        if shown and not state.sealed:
            yield Choice("Rate and seal", "also before the last step", partial(self._rate, seat))
        if len(self.model.here) > 1:
            yield Choice("Alone", "one learner only", partial(self._show_alone, seat))
        yield Choice("Learner's screen", "hand over the tablet", partial(self.whose_screen, seat))

    def _who(self, seat: int) -> str:
        return f"Seat {self.model.number(seat)}, {self.model.name(seat)}"

    def _back(self) -> Choice:
        return Choice("Back", "to the marks", self.questions.close_it)

    def whose_screen(self, seat: int) -> None:
        """Who gets the tablet: the learner for their own attempt, or a peer who watched."""
        room, place = self.model.room, self.model.sessions[seat].seat
        choices = [
            Choice(self.model.name(seat), "their own attempt", partial(self._screen, seat, "")),
            *(
                Choice(room.name(one), "watched as a peer", partial(self._screen, seat, one))
                for one in peers(room.workshop, place)
            ),
        ]
        self.questions.choose("Who gets the tablet?", choices[:MOST_ANSWERS], (self._back(),))

    def _rate(self, seat: int) -> None:
        self.questions.close_it()
        self.rate.emit(seat)

    def _show_alone(self, seat: int) -> None:
        self.questions.close_it()
        self.alone.emit(seat)

    def _screen(self, seat: int, peer: str) -> None:
        self.questions.close_it()
        self.learner_screen.emit(seat, peer)

    # words

    def _step_for_words(self, state: Observation) -> Step | None:
        """The step that words are most likely about: the one marked last, else the one in front."""
        last = state.last
        marked = state.ground.form.step.get(str(last.body.get("step", ""))) if last else None
        return marked if marked in state.steps else reading.current(state)

    def words(self, seat: int, step_id: str) -> None:
        """Phrases of the form's own common errors for a step, and free text."""
        state = self.model.state(seat)
        step = state.ground.form.step[step_id]
        slot = gestures.step_slot(step_id)
        text = self.model.text(seat, slot)
        picks = [
            Pick(
                phrase,
                partial(self._pick, seat, step_id, phrase),
                gestures.has_phrase(text, phrase),
            )
            for phrase in step.errors
        ]
        self.questions.write(
            f"Step {state.numbers[step_id]}: {step.label}",
            text,
            partial(self._keep, seat, slot),
            picks=picks,
        )

    def _pick(self, seat: int, step_id: str, phrase: str) -> None:
        self.questions.texts.flush()
        self.model.write_phrase(seat, step_id, phrase)
        self.words(seat, step_id)

    def note(self, seat: int) -> None:
        """Free text about the attempt."""
        text = self.model.text(seat, Slot.NOTE.value)
        keep = partial(self._keep, seat, Slot.NOTE.value)
        self.questions.write(f"{self._who(seat)}: a note on the attempt", text, keep)

    def _keep(self, seat: int, slot: str, text: str) -> None:
        self.model.write(seat, slot, text)

    # wrong learner

    def wrong(self, seat: int) -> None:
        """Which of the last marks were another learner's."""
        state = self.model.state(seat)
        groups = gestures.movable(state)[:MOST_MOVED]
        choices = []
        for count in range(1, len(groups) + 1):
            said = reading.gesture_words(state, groups[count - 1])
            words = f"The last: {said}" if count == 1 else f"The last {count}, from: {said}"
            if is_up(self.model):
                words = "The last" if count == 1 else f"The last {count}"
            choices.append(Choice(words, "", partial(self.to_whom, seat, count)))
        self.questions.choose("Which marks are another learner's?", choices, (self._back(),))

    def to_whom(self, seat: int, count: int) -> None:
        """To which learner marks go."""
        others = [
            other
            for other in range(len(self.model))
            if other != seat and not self.model.state(other).sealed
        ]
        numbers = [self.model.number(other) for other in others]
        choices = [
            Choice(
                self.model.name(other), f"seat {number}", partial(self._move, seat, other, count)
            )
            for other, number in zip(others, numbers, strict=True)
        ]
        state = self.model.state(seat)
        said = reading.gesture_words(state, gestures.last_marks(state, count))
        if is_up(self.model):
            said = "the last" if count == 1 else f"the last {count}"
        question = f"Moves {said}. To whom?"
        self.questions.choose(question, choices, (self._back(),), numbers=numbers)

    def _move(self, seat: int, target: int, count: int) -> None:
        self.questions.close_it()
        if self.model.move_marks(seat, target, count=count) is not None:
            self.model.look(target)

    # variant and time

    @staticmethod
    def _has_variant(state: Observation) -> str:
        return "chosen" if state.board.variant else "not chosen yet"

    def variant(self, seat: int) -> None:
        """Which variant the learner performs; changing it says what it takes back (rule F5)."""
        state = self.model.state(seat)
        choices = []
        for one in state.ground.form.variants:
            lost = gestures.lost_to_variant(state, one.id) if state.board.variant else ()
            note = f"takes back {counted(len(lost), 'mark')}" if lost else ""
            if one.id == state.board.variant:
                note = "chosen"
            choices.append(Choice(one.label, note, partial(self._choose, seat, one.id)))
        self.questions.choose("Which variant?", choices, (self._back(),))

    def _choose(self, seat: int, variant: str) -> None:
        self.questions.close_it()
        if variant != self.model.state(seat).board.variant:
            self.model.do(seat, gestures.choose_variant, variant)

    def type_time(self, seat: int) -> None:
        """The time that the attempt took, as the paper says it (rule D2)."""
        question = "Time taken, as on the paper: 12:30 is 12 minutes and a half"
        self.questions.write(question, "", partial(self._type_time, seat))

    def _type_time(self, seat: int, text: str) -> None:
        spent = spent_ns(text)
        if spent is None:
            back = Choice("Type it again", "", partial(self.type_time, seat))
            said = f"“{text}” is no time such as 12:30."
            self.questions.choose(said, (back,), (self._back(),))
        else:
            self.model.do(seat, gestures.type_time, spent)

    def no_paper(self, seat: int) -> None:
        """Why an attempt whose paper is being typed in is marked live again; marks stay typed."""
        question = f"{self._who(seat)}: why is it marked live again? What was typed stays typed."
        again = partial(self._mark_live, seat)
        self.questions.write(question, "", again, keep_words="Mark it live again")

    def _mark_live(self, seat: int, reason: str) -> None:
        if self.model.do(seat, gestures.mark_live_again, reason) is not None:
            self.live_again.emit()

    def time_up(self, seat: int) -> None:
        """At time-out one explicit act turns what was not reached into not done (rule M4)."""
        left = counted(unreached(self.model.state(seat)), "step")
        deed = partial(self._call_time, seat)
        choice = Choice(f"Time is up: {left} not done", "Take back undoes it", deed)
        self.questions.choose("What was not reached becomes not done.", (choice,), (self._back(),))

    def _call_time(self, seat: int) -> None:
        self.questions.close_it()
        self.model.do(seat, gestures.call_time)


def spent_ns(text: str) -> int | None:
    """A time as minutes, or minutes and seconds: "12", "12:30"; None if it is none."""
    minutes, colon, seconds = text.strip().partition(":")
    if not (minutes.isascii() and minutes.isdigit()) or len(minutes) > MOST_DIGITS:
        return None
    if colon and not (seconds.isascii() and seconds.isdigit() and len(seconds) == SECONDS_DIGITS):
        return None
    if colon and int(seconds) >= MINUTE_S:
        return None
    return (int(minutes) * MINUTE_S + int(seconds or 0)) * reading.NS
