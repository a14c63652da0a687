"""Thirty seeded decisions: their sentences alone say which rule, which step, what was seen, and
what would change (rules D1, D2, A9).
"""

from __future__ import annotations

import re
from collections import Counter
from itertools import combinations
from pathlib import Path

import pytest

from observe.domain.criticals import Finding
from observe.domain.decision import Outcome, decide
from observe.domain.flipping import Flip, changed, smallest_flip
from observe.domain.marks import DONE, NOT_DONE
from observe.domain.markwords import mark_words
from observe.domain.scoring import Evidence
from observe.work.debrief import AttemptResult, trace_sentences
from observe.work.logbook_risk import logbook_risk
from observe.work.logbooks import open_logbook
from tests.work.thirty import EACH, FORMS, thirty

QUOTED = re.compile(r"“([^”]*)”(?: \(([^()]*(?:\([^()]*\))?[^()]*)\))?")


@pytest.fixture(scope="module")
def logbook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("thirty") / "l.observe"


@pytest.fixture(scope="module")
def decisions(logbook: Path) -> list[AttemptResult]:
    return thirty(logbook)


def lines_of(result: AttemptResult) -> dict[str, tuple[str, str]]:
    """What a reader takes from the sentences: of each line of the rule its standing, and why."""
    found = {}
    for sentence in trace_sentences(result.reveals[0]):
        title, _, rest = sentence.partition(": ")
        standing, _, why = rest.partition(". ")
        if standing in ("met", "failed", "open", "not asked"):
            found[title] = (standing, why)
    return found


def evidence_of(result: AttemptResult) -> Evidence:
    return result.reveals[0].evidence


def ids(evidence: Evidence, labels: list[str]) -> list[str]:
    by = {step.label: step.id for step in evidence.steps}
    return [by[label] for label in labels]


def test_there_are_thirty_of_every_outcome(decisions: list[AttemptResult]) -> None:
    assert len(decisions) == EACH * len(FORMS) == 30
    counts = Counter(one.outcome for one in decisions)
    assert min(counts[one] for one in Outcome) >= 5


def test_a_reader_tells_the_decision_from_the_standings(decisions: list[AttemptResult]) -> None:
    for one in decisions:
        standings = {standing for standing, _ in lines_of(one).values()}
        told = "pass"
        if "failed" in standings:
            told = "remediate"
        elif "open" in standings:
            told = "undecided"
        assert one.outcome is not None
        assert told == one.outcome.value
        assert trace_sentences(one.reveals[0])[0].startswith(f"Decision: {told}. ")


def test_a_reader_tells_which_steps_failed_and_what_was_seen_of_them(
    decisions: list[AttemptResult],
) -> None:
    failed = 0
    for one in decisions:
        standing, why = lines_of(one)["Essential steps"]
        line = one.reveals[0].decision.line("essential")
        if standing == "failed":
            failed += 1
            said = QUOTED.findall(why)
            evidence = evidence_of(one)
            assert ids(evidence, [label for label, _ in said]) == list(line.steps)
            for (_, words), step in zip(said, line.steps, strict=True):
                assert words == mark_words(evidence.marks[step])
        elif standing == "open":
            labels = [label for label, _ in QUOTED.findall(why)]
            assert ids(evidence_of(one), labels) == list(line.steps)
    assert failed >= 5


def test_a_reader_tells_what_was_fatal(decisions: list[AttemptResult]) -> None:
    for one in decisions:
        standing, why = lines_of(one)["Critical items"]
        fatal = [c for c in one.reveals[0].decision.criticals if c.finding is Finding.FATAL]
        assert (standing == "failed") is bool(fatal)
        for each in fatal:
            assert each.item.label in why.partition(": fatal.")[0]


def numbers_in(sentence: str) -> list[int]:
    return [int(word) for word in re.findall(r"\d+", sentence.partition(": ")[2])]


def test_what_would_settle_an_undecided_one_does_and_nothing_less(
    decisions: list[AttemptResult],
) -> None:
    settled = 0
    for one in decisions:
        if one.outcome is not Outcome.UNDECIDED:
            continue
        evidence, by = evidence_of(one), one.reveals[0].observation.numbers
        steps = {number: step for step, number in by.items()}
        for sentence in trace_sentences(one.reveals[0]):
            head = sentence.partition(" would follow")[0]
            if head not in ("Pass", "Remediate"):
                continue
            mark = DONE if head == "Pass" else NOT_DONE
            named = [steps[number] for number in numbers_in(sentence)]
            assert decide(evidence.with_marks(dict.fromkeys(named, mark))).outcome == head.lower()
            for fewer in combinations(named, len(named) - 1):
                less = evidence.with_marks(dict.fromkeys(fewer, mark))
                assert decide(less).outcome != head.lower()
            settled += 1
    assert settled >= 5


def test_what_would_flip_a_decided_one_does_and_no_single_change_is_missed(
    decisions: list[AttemptResult], logbook: Path
) -> None:
    with open_logbook(logbook, read_only=True) as opened:
        said = {one.seat.attempt: one for one in logbook_risk(opened, records=2).flips}
    read = 0
    for one in decisions:
        if one.outcome not in (Outcome.PASS, Outcome.REMEDIATE):
            continue
        evidence, told = evidence_of(one), said[one.seat.attempt]
        flip = smallest_flip(evidence)
        assert flip is not None
        if flip.why:
            assert told.sentence == flip.why
            continue
        assert f"It would be {flip.to.value}, were " in told.sentence
        quoted = QUOTED.findall(told.sentence)
        steps = [(label, words) for label, words in quoted if words.startswith("recorded: ")]
        named = ids(evidence, [label for label, _ in steps])
        items = [label for label, words in quoted if not words]
        assert named == list(flip.steps)
        assert items == [evidence.form.critical[id].label for id in flip.criticals]
        for (_, words), step in zip(steps, named, strict=True):
            assert words == f"recorded: {mark_words(evidence.marks[step])}"
        assert decide(changed(evidence, flip)).outcome is flip.to
        if flip.size > 1:
            assert not any(
                decide(changed(evidence, Flip(flip.to, (step.id,)))).outcome is flip.to
                for step in evidence.steps
            )
        read += 1
    assert read >= 10
