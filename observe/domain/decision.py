"""The decision on one observation: every line of the rule met, failed or open (rule D1)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from observe.domain.criticals import CriticalStanding, Finding, standings
from observe.domain.form import Mode, RuleKind, Step
from observe.domain.marks import Mark, State
from observe.domain.markwords import mark_words
from observe.domain.printing import against, clock, percent
from observe.domain.scoring import Evidence, Score, Share, score

ENGINE = "2"
"""Version of the decision functions; every decision is pinned to it (rule D5).

From 2 on the evidence of two observers is pooled where one of them is undecided.
"""


class Standing(StrEnum):
    MET = "met"
    FAILED = "failed"
    OPEN = "open"
    NOT_ASKED = "not asked"


class Outcome(StrEnum):
    PASS = "pass"
    REMEDIATE = "remediate"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the rule. steps: the steps that made it fail or keep it open."""

    id: str
    title: str
    standing: Standing
    sentence: str
    steps: tuple[str, ...] = ()


@dataclass(frozen=True)
class Decision:
    """What follows from some evidence, with the lines that made it.

    outcome: None in practice mode and for a void attempt. unwatched: critical
    items that are not fatal and were not watched throughout, listed beside it.
    """

    outcome: Outcome | None
    lines: tuple[Line, ...]
    score: Score
    criticals: tuple[CriticalStanding, ...]
    unwatched: tuple[str, ...]
    engine: str = ENGINE

    def line(self, id: str) -> Line:
        return next(line for line in self.lines if line.id == id)


def decide(evidence: Evidence) -> Decision:
    """The decision on some evidence; the same function in every mode (rule D1).

    Any line failed: remediate. Else any line open: undecided. Else: pass. None in
    practice mode and for a void attempt.
    """
    scored = score(evidence)
    found = tuple(standings(evidence).values())
    lines = tuple(_lines(evidence, scored, found))
    unwatched = tuple(one.item.id for one in found if is_unwatched(one))
    none = evidence.mode is Mode.PRACTICE or evidence.void
    outcome = None if none else _outcome(lines)
    return Decision(outcome, lines, scored, found, unwatched)


def _outcome(lines: Iterable[Line]) -> Outcome:
    stands = {line.standing for line in lines}
    if Standing.FAILED in stands:
        return Outcome.REMEDIATE
    return Outcome.UNDECIDED if Standing.OPEN in stands else Outcome.PASS


def _lines(
    evidence: Evidence, scored: Score, found: tuple[CriticalStanding, ...]
) -> Iterable[Line]:
    yield _critical_line(evidence, found)
    yield _essential_line(evidence)
    yield _evidence_line(evidence, scored)
    rule = evidence.form.rule
    if rule.kind is RuleKind.CONJUNCTIVE:
        yield from _domain_lines(evidence, scored)
    elif rule.kind is RuleKind.K_OF_N:
        yield _k_of_n_line(evidence, scored)
    if rule.overall_minimum is not None:
        yield _overall_line(evidence, rule.overall_minimum)
    if rule.time_limit_s is not None:
        yield _time_line(evidence, rule.time_limit_s)
    yield _cut_line(evidence, scored)


def unwatched_keeps_open(evidence: Evidence) -> bool:
    """Whether an item that is not watched keeps the critical line open in this mode."""
    rule = evidence.form.rule
    return evidence.mode is Mode.SUMMATIVE or rule.unwatched_open_in_formative


def is_unwatched(standing: CriticalStanding) -> bool:
    """Whether something fatal may have gone unseen (rule C1)."""
    return not standing.watched and standing.finding is not Finding.FATAL


def _critical_line(evidence: Evidence, found: tuple[CriticalStanding, ...]) -> Line:
    by = {finding: [one for one in found if one.finding is finding] for finding in Finding}
    fatal, unwatched = by[Finding.FATAL], [one for one in found if is_unwatched(one)]
    if fatal:
        standing = Standing.FAILED
        sentence = f"{_labels(fatal)}: fatal."
    elif unwatched and unwatched_keeps_open(evidence):
        standing = Standing.OPEN
        sentence = f"Not watched: {_labels(unwatched)}."
    else:
        standing = Standing.MET
        sentence = _clear_sentence(found, len(unwatched))
    parts = [sentence]
    parts += [f"{_labels(by[finding])}: {finding}." for finding in _SURVIVED if by[finding]]
    waiting = unwatched if standing is Standing.OPEN else ()
    steps = dict.fromkeys(step for one in waiting for step in one.unseen)
    return Line("critical", "Critical items", standing, " ".join(parts), tuple(steps))


_SURVIVED = (Finding.RECOVERED, Finding.AVERTED, Finding.COUNTED)


def _clear_sentence(found: tuple[CriticalStanding, ...], unwatched: int) -> str:
    absent = [one for one in found if one.finding is Finding.NOT_IN_PLAY]
    asked = len(found) - len(absent)
    watched = f"{asked - unwatched} of {asked}" if unwatched else f"All {asked}"
    sentence = f"{watched} watched, none fatal."
    return f"{sentence} Not in play today: {_labels(absent)}." if absent else sentence


def _labels(found: Iterable[CriticalStanding]) -> str:
    return "; ".join(one.item.label for one in found)


def essentials(evidence: Evidence) -> tuple[Step, ...]:
    """The essential steps that are asked: in play, and the occasion arose."""
    return tuple(
        step
        for step in evidence.steps
        if step.essential and evidence.marks[step.id].state is not State.DID_NOT_ARISE
    )


def essential_met(mark: Mark, most_prompt: int) -> bool:
    """Whether a seen essential step is met: done, with little enough help (rule M3)."""
    return mark.state is State.DONE and mark.prompt <= most_prompt


def _essential_line(evidence: Evidence) -> Line:
    most = evidence.form.rule.essential_prompt
    asked = essentials(evidence)
    unseen = [step for step in asked if evidence.marks[step.id].state is State.NOT_SEEN]
    split = [step for step in asked if step.id in evidence.pool.split]
    failed = [
        step
        for step in asked
        if step not in (*unseen, *split) and not essential_met(evidence.marks[step.id], most)
    ]
    title = "Essential steps"
    if not asked:
        return Line("essential", title, Standing.NOT_ASKED, "None is asked today.")
    if failed:
        return Line(
            "essential",
            title,
            Standing.FAILED,
            f"Not done, or with too much help: {_step_marks(failed, evidence)}.",
            tuple(step.id for step in failed),
        )
    if unseen or split:
        said = [f"Not seen: {_step_labels(unseen)}."] if unseen else []
        said += [f"Seen differently by two observers: {_step_labels(split)}."] if split else []
        waiting = tuple(step.id for step in asked if step in (*unseen, *split))
        return Line("essential", title, Standing.OPEN, " ".join(said), waiting)
    return Line("essential", title, Standing.MET, f"All {len(asked)} done.")


def _step_labels(steps: Iterable[Step]) -> str:
    return "; ".join(f"“{step.label}”" for step in steps)


def _step_marks(steps: Iterable[Step], evidence: Evidence) -> str:
    """Steps with what was seen of each."""
    return "; ".join(f"“{step.label}” ({mark_words(evidence.marks[step.id])})" for step in steps)


def least_coverage(evidence: Evidence) -> Fraction:
    """The evidence minimum's first part for this mode; 0 in practice."""
    return evidence.form.rule.coverage.get(evidence.mode, Fraction(0))


def _evidence_line(evidence: Evidence, scored: Score) -> Line:
    least, allowance = least_coverage(evidence), evidence.form.rule.not_applicable_allowance
    seen = scored.whole.coverage
    excused = scored.not_applicable_share
    shown, needed = against(seen, least)
    parts = [f"{shown} % of the weight seen, {needed} % needed."]
    if scored.not_applicable:
        count = len(scored.not_applicable)
        steps = "1 step" if count == 1 else f"{count} steps"
        allowed, over = against(allowance, excused)
        parts.append(f"{steps} not applicable, {over} % of the weight, {allowed} % allowed.")
    if evidence.newer:
        parts.append(_UNREADABLE)
    enough = seen >= least and excused <= allowance and not evidence.newer
    steps_missing = () if seen >= least else _unseen_weight(evidence)
    standing = Standing.MET if enough else Standing.OPEN
    return Line("evidence", "Enough was seen", standing, " ".join(parts), steps_missing)


_UNREADABLE = (
    "Part of this record cannot be read here: it was written by a newer version, or is damaged."
)


def _unseen_weight(evidence: Evidence) -> tuple[str, ...]:
    """The steps that were not seen and would add to what was seen."""
    marks = evidence.marks
    return tuple(
        step.id for step in evidence.steps if step.scored and marks[step.id].state is State.NOT_SEEN
    )


def share_standing(share: Share, least: Fraction) -> Standing:
    """A share against its minimum over all completions; no evidence is open (rule S3)."""
    low, high = share.low, share.high
    if low is None or high is None or share.value is None:
        return Standing.OPEN
    if low >= least:
        return Standing.MET
    return Standing.FAILED if high < least else Standing.OPEN


def _domain_lines(evidence: Evidence, scored: Score) -> Iterable[Line]:
    for domain in evidence.form.domains:
        least = evidence.form.rule.minima.get(domain.id)
        if least is None:
            continue
        id, title = f"domain:{domain.id}", domain.label
        if domain.id in evidence.left_out:
            yield Line(id, title, Standing.NOT_ASKED, "Left out today.")
            continue
        share = scored.domains[domain.id]
        standing = share_standing(share, least)
        steps = _short_of_full(evidence, domain.id) if standing is not Standing.MET else ()
        yield Line(id, title, standing, _share_sentence(share, least), steps)


def _share_sentence(share: Share, least: Fraction) -> str:
    if share.value is None:
        return f"Nothing was seen; at least {percent(least)} % needed."
    shown, needed = against(share.value, least)
    return f"{shown} %, at least {needed} % needed.{_span(share, least)}"


def _span(share: Share, least: Fraction) -> str:
    """The bounds, printed so that they never contradict the line either (rule S4)."""
    if share.low is None or share.high is None or share.low == share.high:
        return ""
    low, high = against(share.low, least)[0], against(share.high, least)[0]
    return f" Between {low} and {high} % with what was not seen."


def _short_of_full(evidence: Evidence, domain: str) -> tuple[str, ...]:
    return tuple(
        step.id
        for step in evidence.steps
        if step.domain == domain
        and step.scored
        and (evidence.marks[step.id].state is State.NOT_SEEN or _is_short(evidence, step))
    )


def _is_short(evidence: Evidence, step: Step) -> bool:
    return evidence.marks[step.id].state.is_outcome and evidence.credit(step.id) < 1


def minima_in_play(evidence: Evidence) -> dict[str, Fraction]:
    """The domain minima that are asked today, by domain id."""
    minima = evidence.form.rule.minima
    return {id: least for id, least in minima.items() if id not in evidence.left_out}


def _k_of_n_line(evidence: Evidence, scored: Score) -> Line:
    minima = minima_in_play(evidence)
    k = min(evidence.form.rule.k, len(minima))
    stands = {id: share_standing(scored.domains[id], least) for id, least in minima.items()}
    met = sum(one is Standing.MET for one in stands.values())
    failed = sum(one is Standing.FAILED for one in stands.values())
    if met >= k:
        standing = Standing.MET
    elif failed > len(minima) - k:
        standing = Standing.FAILED
    else:
        standing = Standing.OPEN
    sentence = f"{met} of {len(minima)} domain minima met, {k} needed."
    short = [id for id, one in stands.items() if one is not Standing.MET]
    steps = tuple(s for id in short for s in _short_of_full(evidence, id))
    return Line("domains", "Domains", standing, sentence, () if standing is Standing.MET else steps)


def _overall_line(evidence: Evidence, least: int) -> Line:
    title, grades = evidence.form.overall.label, sorted(evidence.grades)
    if not grades:
        return Line("overall", title, Standing.OPEN, f"Not given yet; at least {least} needed.")
    standing = _side({grade >= least for grade in grades})
    sentence = f"{_both(str(grade) for grade in grades)}, at least {least} needed."
    return Line("overall", title, standing, sentence)


def _side(within: set[bool]) -> Standing:
    """Met if all are within a line, failed if none is, open where observers differ."""
    if len(within) > 1:
        return Standing.OPEN
    return Standing.MET if True in within else Standing.FAILED


def _both(words: Iterable[str]) -> str:
    return " and ".join(words)


def _time_line(evidence: Evidence, limit_s: int) -> Line:
    title = "Time"
    allowed = clock(limit_s * 1_000_000_000)
    read = sorted(evidence.seconds)
    if not read:
        return Line("time", title, Standing.OPEN, f"No clock ran; the limit is {allowed}.")
    standing = _side({seconds <= limit_s for seconds in read})
    taken = _both(clock(seconds * 1_000_000_000) for seconds in read)
    return Line("time", title, standing, f"{taken}, limit {allowed}.")


def _cut_line(evidence: Evidence, scored: Score) -> Line:
    title, cut, whole = "Score", evidence.cut, scored.whole
    provisional = " (provisional)" if cut.is_provisional else ""
    if cut.is_provisional and evidence.mode is Mode.SUMMATIVE:
        sentence = "The form's cut is provisional; a summative decision needs an approved standard."
        return Line("cut", title, Standing.OPEN, sentence)
    if whole.value is None:
        sentence = f"Nothing was seen; cut {percent(cut.value)} %{provisional}."
        return Line("cut", title, Standing.OPEN, sentence, _unseen_weight(evidence))
    shown, needed = against(whole.value, cut.value)
    standing = share_standing(whole, cut.value)
    sentence = f"{shown} %, cut {needed} %{provisional}.{_span(whole, cut.value)}"
    steps = _unseen_weight(evidence) if standing is Standing.OPEN else ()
    return Line("cut", title, standing, sentence, steps)
