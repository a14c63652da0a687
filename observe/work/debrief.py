"""After the seal: what an observation comes to, with its trace, and who signed it (D1 to D5)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from observe.domain import pairing
from observe.domain.adjudication import Ruling, ruled
from observe.domain.canonical import digest, exact
from observe.domain.decision import ENGINE, Decision, Outcome, Standing, decide
from observe.domain.events import Draft, Event
from observe.domain.marks import record
from observe.domain.observation import Amendment, Observation, fold
from observe.domain.overruling import Overruling
from observe.domain.pairing import Pairing
from observe.domain.pooling import joined
from observe.domain.printing import percent, points
from observe.domain.scoring import NOTHING_POOLED, Evidence, Share, evidence
from observe.domain.settling import Settling, settling
from observe.domain.troubles import Refused
from observe.domain.words import listed
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.rulings import standing_overrulings, standing_rulings, who


@dataclass(frozen=True)
class Reveal:
    """What sealed observations come to: one, the parts of a watch handed on, or two pooled.

    observation: the one whose grades and words stand. settling: the two fewest
    lists, for an undecided attempt only. parts: all that the evidence rests on, in
    turn.
    """

    observation: Observation
    evidence: Evidence
    decision: Decision
    settling: Settling | None
    parts: tuple[Observation, ...]

    @property
    def sentence(self) -> str:
        """The decision in one plain sentence."""
        if self.evidence.void:
            return "Void: this counts neither as a decision nor as an attempt."
        return summed_up(self.decision)

    def as_record(self) -> dict[str, Any]:
        """The decision and everything that it rests on, exact, as canonical JSON holds it."""
        return trace_record(self)

    def as_sentences(self) -> tuple[str, ...]:
        """The same trace to read."""
        return trace_sentences(self)


def reveal(*parts: Observation) -> Reveal:
    """Score, bounds and decision of a sealed observation, or of the parts of one watch, in turn.

    Raises Refused before every part is sealed (rule D3).
    """
    if not all(one.sealed for one in parts):
        raise Refused(
            "Score and decision are shown after the seal.",
            remedy="Give the overall grade, classify what was recorded, and seal.",
        )
    shown = joined([evidence(one) for one in parts])
    decision = decide(shown)
    return Reveal(parts[-1], shown, decision, settling(shown, decision), parts)


def summed_up(decision: Decision) -> str:
    """A decision in one plain sentence."""
    failed = [line.title for line in decision.lines if line.standing is Standing.FAILED]
    waiting = [line.title for line in decision.lines if line.standing is Standing.OPEN]
    if decision.outcome is None:
        return "Practice: no decision is made."
    if decision.outcome is Outcome.PASS:
        return "Every line of the rule is met."
    if decision.outcome is Outcome.REMEDIATE:
        return f"Not met: {_joined(failed)}."
    return f"What was seen cannot decide it: {_joined(waiting)}."


def _joined(titles: list[str]) -> str:
    return listed([title[:1].lower() + title[1:] for title in titles])


def sealed_watches(
    logbook: Logbook, workshop: Workshop, seat: Seat
) -> tuple[tuple[Observation, ...], ...]:
    """The first look at an attempt, then the second; each the parts of those who watched.

    Empty while any observer is not done, so that nobody sees another's marks too
    early (rule T3).
    """
    ground = logbook.ground(workshop, seat)
    found: list[tuple[Observation, ...]] = []
    for watch in seat.watches:
        events = [logbook.observation(seat.observation_of(one)) for one in watch]
        if not all(events):
            return ()
        parts = tuple(fold(each, ground) for each in events)
        if not all(one.sealed for one in parts):
            return ()
        found.append(parts)
    return tuple(found)


def sealed_observations(
    logbook: Logbook, workshop: Workshop, seat: Seat
) -> tuple[Observation, ...]:
    """The observations of an attempt, those of the first look first; only when all are sealed."""
    watches = sealed_watches(logbook, workshop, seat)
    return tuple(part for parts in watches for part in parts)


@dataclass(frozen=True)
class AttemptResult:
    """Where an attempt stands.

    reveals: one for each look, the parts of a watch handed over put together (rule
    T5), once all observers have sealed. together: both
    observers' pooled evidence, where it was needed (rule T1). outcome: None while
    anyone is not done, in practice mode, and for a void attempt. ruling: what a third
    person ruled, where the observers did not come to one decision. overruled: what a director
    overruled, where one did; decided: the outcome then without that.
    """

    seat: Seat
    reveals: tuple[Reveal, ...]
    pairing: Pairing | None
    outcome: Outcome | None
    sentence: str
    together: Reveal | None = None
    ruling: Ruling | None = None
    decided: Outcome | None = None
    overruled: Overruling | None = None

    def of(self, observation: Observation) -> Reveal | None:
        """What the look comes to that an observation is a part of; None before all sealed."""
        ids = ({part.id for part in one.parts} for one in self.reveals)
        found = zip(self.reveals, ids, strict=True)
        return next((one for one, parts in found if observation.id in parts), None)

    @property
    def deciding(self) -> Reveal | None:
        """What the outcome rests on: the pooled evidence, else the first observer's."""
        return self.together or next(iter(self.reveals), None)

    @property
    def is_void(self) -> bool:
        return any(part.void for one in self.reveals for part in one.parts)


def attempt_result(logbook: Logbook, workshop: Workshop, seat: Seat) -> AttemptResult:
    """The attempt at a seat, over all its planned observers, and what a director overruled."""
    result = _observed(logbook, workshop, seat)
    if result.outcome is None:
        return result
    found = standing_overrulings(logbook, workshop, seat, decided_digest(result))
    if not found:
        return result
    decided = f"Decided was {result.outcome}: {result.sentence}"
    if len({one.outcome for one in found}) > 1:
        said = f"{who(logbook, found)} overruled it differently; neither counts. {decided}"
        return replace(result, sentence=said)
    reason = logbook.log.text(found[0].event, "reason") or "no reason kept"
    said = f"Overruled by {who(logbook, found[:1])}: {reason} {decided}"
    outcome = found[0].outcome
    return replace(
        result, outcome=outcome, decided=result.outcome, sentence=said, overruled=found[0]
    )


def _observed(logbook: Logbook, workshop: Workshop, seat: Seat) -> AttemptResult:
    """What the observers' evidence comes to, with what a third person ruled."""
    divided = [one for one in seat.observers if logbook.is_divided(seat.observation_of(one))]
    if divided:
        sentence = "Marked on two machines at once: a person has to choose which marks count."
        return AttemptResult(seat, (), None, None, sentence)
    reveals = tuple(reveal(*parts) for parts in sealed_watches(logbook, workshop, seat))
    if not reveals:
        return AttemptResult(seat, (), None, None, "Not every planned observer has sealed.")
    if any(part.void for one in reveals for part in one.parts):
        sentence = "Void: this counts neither as a decision nor as an attempt."
        return AttemptResult(seat, reveals, None, None, sentence)
    if len(reveals) == 1:
        only = reveals[0]
        return AttemptResult(seat, reveals, None, only.decision.outcome, only.sentence)
    joint = pairing.pair(reveals[0].evidence, reveals[1].evidence)
    asks = joint.needs_adjudication
    facts = facts_digest(reveals)
    rulings = standing_rulings(logbook, workshop, seat, facts) if asks else ()
    ruling = rulings[0] if len({one.said for one in rulings}) == 1 else None
    if ruling is not None:
        joint = ruled(joint, reveals[0].evidence, reveals[1].evidence, ruling)
    elif rulings:
        said = f"{who(logbook, rulings)} ruled on it differently."
        joint = replace(joint, sentence=f"{said} Undecided until a person rules between them.")
    together = _pooled(reveals, joint)
    return AttemptResult(seat, reveals, joint, joint.outcome, joint.sentence, together, ruling)


def facts_digest(reveals: Sequence[Reveal]) -> str:
    """Digest over the facts of all looks at an attempt; no wording in it."""
    return digest([_facts(one) for one in reveals])


def _pooled(reveals: tuple[Reveal, ...], joint: Pairing) -> Reveal | None:
    """Both observers' evidence as one, where the pairing put it together."""
    if joint.evidence is None or joint.decision is None:
        return None
    parts = tuple(part for one in reveals for part in one.parts)
    lists = settling(joint.evidence, joint.decision)
    return Reveal(reveals[0].observation, joint.evidence, joint.decision, lists, parts)


def result_digest(result: AttemptResult) -> str:
    """Digest over all that an attempt's outcome rests on, the director's word as well."""
    decided = decided_digest(result)
    return decided if result.overruled is None else digest([decided, result.overruled.as_record()])


def decided_digest(result: AttemptResult) -> str:
    """Digest over the facts that the observers' decision rests on; no wording in it."""
    found = result.outcome if result.overruled is None else result.decided
    outcome = None if found is None else found.value
    facts: dict[str, Any] = {
        "outcome": outcome,
        "facts": [_facts(one) for one in result.reveals],
    }
    if result.ruling is not None:
        facts["ruling"] = result.ruling.as_record()
    if result.seat.reattributed:
        facts["learner"] = result.seat.learner
    return digest(facts)


def _facts(shown: Reveal) -> dict[str, Any]:
    """A trace without its sentences, so that a better sentence unsigns nothing (rule D5)."""
    kept = trace_record(shown)
    lines = {line.id: line.standing.value for line in shown.decision.lines}
    return {**kept, "engine": None, "lines": lines}


def sign_decision(logbook: Logbook, workshop: Workshop, result: AttemptResult, *, by: str) -> Event:
    """Keep that a person signed an attempt's decision, with what it rests on (rules D4, D5).

    Raises Refused for a void attempt, in practice mode, and while an observer has
    not sealed.
    """
    if result.outcome is None:
        raise Refused("There is no decision to sign.", remedy=result.sentence)
    body = {"outcome": result.outcome.value, "engine": ENGINE, "trace": result_digest(result)}
    seat = result.seat
    return logbook.append([Draft("decision-signed", body, workshop.id, seat.attempt, by=by)])[0]


def standing_signature(logbook: Logbook, result: AttemptResult) -> Event | None:
    """The newest signature under the decision as it is now; None if nothing or older is signed."""
    signed = logbook.log.read(attempt=result.seat.attempt, kinds=("decision-signed",))
    now = result_digest(result)
    return next((one for one in reversed(signed) if one.body.get("trace") == now), None)


def trace_record(shown: Reveal) -> dict[str, Any]:
    """The trace of a decision for programs; every number exact ("n/d" where not whole)."""
    evidence, decision = shown.evidence, shown.decision
    kept = {
        "engine": decision.engine,
        "form": evidence.form.whole_digest,
        "scoring": evidence.form.scoring_digest,
        "profile": shown.observation.ground.profile.digest,
        "variant": shown.observation.board.variant,
        "mode": evidence.mode.value,
        "outcome": None if decision.outcome is None else decision.outcome.value,
        "void": evidence.void,
        "observers": [one.observer for one in shown.parts],
        "transcripts": [
            {**one.transcript.as_record(), "typed_by": list(one.typists)}
            for one in shown.parts
            if one.transcript is not None
        ],
        "cut": {"value": exact(evidence.cut.value), "standard": evidence.cut.standard or None},
        "score": _share_record(decision.score.whole),
        "domains": {
            id: _share_record(share) for id, share in sorted(decision.score.domains.items())
        },
        "not_applicable": {
            "steps": list(decision.score.not_applicable),
            "share": exact(decision.score.not_applicable_share),
        },
        "steps": {id: record(mark) for id, mark in evidence.marks.items()},
        "criticals": {one.item.id: one.finding.value for one in decision.criticals},
        "unwatched": list(decision.unwatched),
        "overall": evidence.overall,
        "elapsed_s": evidence.elapsed_s,
        "lines": [
            {
                "id": line.id,
                "title": line.title,
                "standing": line.standing.value,
                "sentence": line.sentence,
                "steps": list(line.steps),
            }
            for line in decision.lines
        ],
        "settling": None
        if shown.settling is None
        else {
            "to_pass": _listed(shown.settling.to_pass),
            "to_remediate": _listed(shown.settling.to_remediate),
        },
    }
    return kept if evidence.pool == NOTHING_POOLED else {**kept, "pool": _pool_record(evidence)}


def _pool_record(evidence: Evidence) -> dict[str, Any]:
    """Where observers differ, exact: what one mark for a step cannot say."""
    pool = evidence.pool
    return {
        "credits": {id: exact(share) for id, share in sorted(pool.credits.items())},
        "split": sorted(pool.split),
        "grades": sorted(pool.grades),
        "seconds": sorted(pool.seconds),
    }


def _listed(steps: tuple[str, ...] | None) -> list[str] | None:
    return None if steps is None else list(steps)


def _share_record(share: Share) -> dict[str, Any]:
    return {
        "earned": exact(share.earned),
        "seen": exact(share.seen),
        "applicable": exact(share.applicable),
        "value": None if share.value is None else exact(share.value),
        "low": None if share.low is None else exact(share.low),
        "high": None if share.high is None else exact(share.high),
    }


def trace_sentences(shown: Reveal) -> tuple[str, ...]:
    """The trace of a decision in sentences, in the order in which it was reached."""
    if shown.evidence.void:
        return (shown.sentence,)
    decision, numbers = shown.decision, shown.observation.numbers
    lines = [
        f"Decision: {decision.outcome or 'none'}. {shown.sentence}",
        *_score_sentences(decision),
    ]
    lines += [f"{line.title}: {line.standing}. {line.sentence}" for line in decision.lines]
    if shown.settling is not None:
        lines.append(_settling_sentence("pass", shown.settling.to_pass, numbers))
        lines.append(_settling_sentence("remediate", shown.settling.to_remediate, numbers))
    lines += [_amended(part, note) for part in shown.parts for note in part.amendments]
    return tuple(lines)


def _score_sentences(decision: Decision) -> list[str]:
    whole = decision.score.whole
    if whole.value is None or whole.low is None or whole.high is None:
        return ["Nothing was seen, so there is no score."]
    earned, seen, applicable = points(whole.earned), points(whole.seen), points(whole.applicable)
    span = f"between {percent(whole.low)} and {percent(whole.high)} %"
    rest = [f"Had the rest been not done, or done: {span}."] if whole.low != whole.high else []
    return [
        f"Seen: {seen} of {applicable} points, {percent(whole.coverage)} %.",
        f"Score: {earned} of the {seen} points seen, {percent(whole.value)} %.",
        *rest,
    ]


def _settling_sentence(
    outcome: str, steps: tuple[str, ...] | None, numbers: Mapping[str, int]
) -> str:
    verb = "done" if outcome == "pass" else "not done"
    if steps is None:
        return f"No unseen steps could bring {outcome} about."
    named = ", ".join(str(numbers[one]) for one in steps)
    return f"{outcome.capitalize()} would follow if these steps were {verb}: {named}."


def _amended(observation: Observation, note: Amendment) -> str:
    number = observation.numbers.get(note.id)
    what = f"step {number}" if number else note.target
    return f"Amended after the seal: {what}, from {_said(note.before)} to {_said(note.after)}."


def _said(value: object) -> str:
    if isinstance(value, dict):
        return str(value.get("state") or value.get("verdict") or "nothing")
    return "nothing" if value is None else str(value)
