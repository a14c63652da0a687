"""Words for states, the same on the screen, on the sheet and on the command line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from observe.domain.board import Occurrence, Verdict
from observe.domain.decision import Outcome
from observe.domain.form import Form
from observe.domain.printing import clock

OUTCOMES: Mapping[Outcome, str] = MappingProxyType(
    {
        Outcome.PASS: "Pass",
        Outcome.REMEDIATE: "Remediate",
        Outcome.UNDECIDED: "Undecided",
    }
)

VERDICTS: Mapping[Verdict, str] = MappingProxyType(
    {
        Verdict.FATAL: "fatal",
        Verdict.RECOVERED: "noticed and put right",
        Verdict.AVERTED: "stopped by a hand",
        Verdict.COUNTED: "counted",
        Verdict.WITHDRAWN: "withdrawn",
    }
)

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


def ordinal(number: int) -> str:
    """1 is "first"; from ten on "attempt 10" is said with the figure alone."""
    return _ORDINALS[number - 1] if 1 <= number <= len(_ORDINALS) else f"{number}th"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Words as a person lists them: "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun, as in 1 step and 2 steps."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def forms_said(forms: Sequence[Form]) -> str:
    """The forms in use with their versions: "form LPA 1.0", "forms LPA 1.0 and DPX 2.1"."""
    named = listed([f"{form.id} {form.version}" for form in forms])
    return f"form {named}" if len(forms) == 1 else f"forms {named}"


def when(occurrence: Occurrence) -> str:
    """The time of a critical event on the attempt's clock, "12:40"; from paper, perhaps none."""
    return clock(occurrence.elapsed_ns) if occurrence.is_timed else "no time"
