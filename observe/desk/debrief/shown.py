"""What Debrief may show of an attempt now: pure choices over use cases, no painting."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from observe.desk.live.model import LiveModel
from observe.domain.decision import Line, Outcome, Standing
from observe.domain.form import Mode
from observe.domain.observation import Observation
from observe.domain.words import OUTCOMES, listed
from observe.look.marks import DecisionLook, LineLook
from observe.work.consequences import signed_otherwise
from observe.work.debrief import (
    AttemptResult,
    Reveal,
    attempt_result,
    reveal,
    standing_signature,
)
from observe.work.watching import watch_sentence

LINE_LOOKS: Mapping[Standing, LineLook] = {
    Standing.MET: LineLook.MET,
    Standing.FAILED: LineLook.FAILED,
    Standing.OPEN: LineLook.OPEN,
    Standing.NOT_ASKED: LineLook.NOT_ASKED,
}
OUTCOME_LOOKS: Mapping[Outcome, DecisionLook] = {
    Outcome.PASS: DecisionLook.PASS,
    Outcome.REMEDIATE: DecisionLook.REMEDIATE,
    Outcome.UNDECIDED: DecisionLook.UNDECIDED,
}
OVERRULED = {Outcome.PASS: Standing.MET, Outcome.REMEDIATE: Standing.FAILED}
_WORST = (Standing.FAILED, Standing.OPEN, Standing.MET, Standing.NOT_ASKED)


@dataclass(frozen=True)
class Shown:
    """One attempt as Debrief shows it.

    mine: this observer's own reveal, None before their seal. look, word: the
    decision; look is None where there is none to show. signed: when the decision as it
    is now was signed, if it was. is_part: one's own part is sealed, another's is not.
    """

    result: AttemptResult
    mine: Reveal | None
    look: DecisionLook | None
    word: str
    sentence: str
    signed: str
    is_part: bool = False

    @property
    def basis(self) -> Reveal | None:
        """What the decision shown rests on: both observers' evidence, or one's own."""
        return self.result.together or self.mine

    @property
    def is_void(self) -> bool:
        return self.look is DecisionLook.VOID

    @property
    def may_rate(self) -> bool:
        """Whether it is still to be rated and sealed by the one who looks."""
        return self.mine is None and not self.is_part

    @property
    def may_sign(self) -> bool:
        """Whether a person can sign this now: a decision, all observers sealed, not signed yet."""
        return self.result.outcome is not None and not self.signed

    @property
    def may_print(self) -> bool:
        """Whether the sheet can be seen: sealed by all, and its decision, if any, signed (D4)."""
        return bool(self.result.reveals) and not self.may_sign


def shown(model: LiveModel, seat: int) -> Shown:
    """What may be shown of the attempt at a seat (rules D3, T2, T3)."""
    room, session = model.room, model.sessions[seat]
    result = attempt_result(room.logbook, room.workshop, session.seat)
    mine = _mine(result, session.state)
    signature = standing_signature(room.logbook, result)
    signed = signature.stamp.at if signature else ""
    look, word, sentence = _decision(model, result, mine)
    is_part = mine is None and session.state.sealed is not None
    if is_part:
        word, sentence = "Sealed in part", "What it comes to is shown once all parts are sealed."
    who = watch_sentence(mine.parts, room.names) if mine else ""
    overtaken = "" if signed else _overtaken(model, result)
    said = " ".join(one for one in (sentence, overtaken, who) if one)
    return Shown(result, mine, look, word, said, signed, is_part)


def _overtaken(model: LiveModel, result: AttemptResult) -> str:
    """That it was signed on facts that are otherwise now; empty if nothing was."""
    said = []
    for was in signed_otherwise(model.room.logbook, result):
        sheet = f" Its sheet, revision {was.issued}, stays as it is." if was.issued else ""
        said.append(f"It was signed as {was.was}, on what is otherwise now.{sheet}")
    return " ".join(said)


def _mine(result: AttemptResult, state: Observation) -> Reveal | None:
    """What one's own look comes to; None before the seal, and while others hold parts of it."""
    if state.handed or state.continues:
        return result.of(state)
    return reveal(state) if state.sealed else None


def _decision(
    model: LiveModel, result: AttemptResult, mine: Reveal | None
) -> tuple[DecisionLook | None, str, str]:
    mode = model.room.workshop.mode
    if mine is None:
        return None, "Not sealed", "Score and decision are shown after the seal."
    if mine.observation.void or result.is_void:
        return DecisionLook.VOID, "Void", mine.sentence
    if mode is Mode.PRACTICE:
        return None, "Practice, no decision", "This attempt was practice: the marks are feedback."
    return _assessed(mode, result, mine)


def _assessed(
    mode: Mode, result: AttemptResult, mine: Reveal
) -> tuple[DecisionLook | None, str, str]:
    so_far = " so far" if mode is Mode.FORMATIVE else ""
    if result.reveals:
        if result.outcome is None:
            return None, "No decision yet", result.sentence
        word = f"{OUTCOMES[result.outcome]}{so_far}"
        return OUTCOME_LOOKS[result.outcome], word, result.sentence
    waiting = "The other observer has not sealed yet."
    if mode is Mode.SUMMATIVE or mine.decision.outcome is None:
        return None, "Feedback, no decision yet", waiting
    outcome = mine.decision.outcome
    return OUTCOME_LOOKS[outcome], f"{OUTCOMES[outcome]}{so_far}", f"{mine.sentence} {waiting}"


def lines_shown(found: Shown) -> tuple[Line, ...]:
    """The lines beside a decision: the rule's, and what two observers come to together.

    None for a void attempt, or before the seal.
    """
    if found.mine is None or found.basis is None or found.is_void:
        return ()
    lines, pairing = rule_lines(found.basis), found.result.pairing
    if pairing is not None:
        standing = Standing.MET if pairing.is_settled else Standing.OPEN
        lines = (*lines, Line("observers", "Two observers", standing, pairing.sentence))
    if found.result.overruled is not None:
        standing = OVERRULED[found.result.overruled.outcome]
        lines = (*lines, Line("overruled", "Overruled", standing, found.result.sentence))
    return lines


def rule_lines(found: Reveal) -> tuple[Line, ...]:
    """The lines of the rule in its order, all domain minima drawn together into one."""
    lines = list(found.decision.lines)
    domains = [line for line in lines if line.id.startswith("domain:")]
    if not domains:
        return tuple(lines)
    first = lines.index(domains[0])
    rest = [line for line in lines if line not in domains]
    return (*rest[:first], _together(domains), *rest[first:])


def _together(domains: list[Line]) -> Line:
    standing = next(one for one in _WORST if any(line.standing is one for line in domains))
    concerned = [line for line in domains if line.standing is standing]
    if standing is Standing.MET:
        return Line("domains", "Domain minima", standing, f"All {len(concerned)} met.")
    said = listed([line.title for line in concerned])
    word = {"failed": "under the minimum", "open": "cannot be judged yet"}.get(
        standing.value, "not asked today"
    )
    steps = tuple(dict.fromkeys(step for line in concerned for step in line.steps))
    return Line("domains", "Domain minima", standing, f"{said}: {word}.", steps)
