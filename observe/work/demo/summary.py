"""What the director reads after the workshop: who stands where, and do the observers agree."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from observe.domain.criticals import Finding
from observe.domain.printing import percent
from observe.domain.words import OUTCOMES
from observe.domain.workshop import Workshop
from observe.work import agree
from observe.work.debrief import AttemptResult


def as_record(
    workshop: Workshop,
    names: Mapping[str, str],
    results: Sequence[AttemptResult],
    sheets: Mapping[str, str],
    found: agree.Agreement,
) -> dict[str, Any]:
    """A workshop's summary for programs. sheets: attempt id to file name."""
    return {
        "workshop": workshop.title,
        "place": workshop.place,
        "date": workshop.date,
        "mode": workshop.mode.value,
        "observers": [names[one] for one in workshop.observers],
        "seats": [_seat(names, one, sheets.get(one.seat.attempt, "")) for one in results],
        "agreement": agree.as_record(found),
    }


def _seat(names: Mapping[str, str], result: AttemptResult, sheet: str) -> dict[str, Any]:
    return {
        "seat": result.seat.number,
        "learner": names[result.seat.learner],
        "observers": [names[one] for one in result.seat.observers],
        "outcome": "void" if result.is_void else _outcome(result),
        "sentence": result.sentence,
        "sheet": sheet,
        "observations": [one.as_record() for one in result.reveals],
        "together": None if result.together is None else result.together.as_record(),
    }


def _outcome(result: AttemptResult) -> str | None:
    return None if result.outcome is None else result.outcome.value


def as_text(
    workshop: Workshop,
    names: Mapping[str, str],
    results: Sequence[AttemptResult],
    found: agree.Agreement,
) -> str:
    """A workshop's summary to read."""
    observers = ", ".join(names[one] for one in workshop.observers)
    lines = [
        f"{workshop.title}, {workshop.place}, {workshop.date}, {workshop.mode}",
        f"Observers: {observers}",
        "",
    ]
    for result in results:
        lines += _seat_lines(names, result)
    return "\n".join(lines) + "\n" + agree.as_text(found)


def _seat_lines(names: Mapping[str, str], result: AttemptResult) -> list[str]:
    outcome = "Void" if result.is_void else OUTCOMES[result.outcome] if result.outcome else "None"
    lines = [
        f"{result.seat.number}  {names[result.seat.learner]:24}{outcome:12}{_score(result)}",
        f"   {result.sentence}",
    ]
    deciding = result.deciding
    settling = deciding.settling if deciding else None
    if settling is not None:
        lines.append(f"   {_steps('To pass, seen done', result, settling.to_pass)}")
        lines.append(f"   {_steps('To remediate, seen not done', result, settling.to_remediate)}")
    return [*lines, ""]


def _score(result: AttemptResult) -> str:
    if result.is_void:
        return ""
    shown = result.together or result.reveals[0]
    whole = shown.decision.score.whole
    score = "no score" if whole.value is None else f"{percent(whole.value)} %"
    spoken = [
        f"{one.item.label} ({one.finding})"
        for one in shown.decision.criticals
        if one.finding in (Finding.FATAL, Finding.RECOVERED, Finding.AVERTED, Finding.COUNTED)
    ]
    return ", ".join([f"{score}, {percent(whole.coverage)} % seen", *spoken])


def _steps(title: str, result: AttemptResult, steps: Sequence[str] | None) -> str:
    if steps is None:
        return f"{title}: no unseen steps could bring it about."
    numbers = result.reveals[0].observation.numbers
    return f"{title}: steps {', '.join(str(numbers[one]) for one in steps)}."
