"""The fifteen items of the reporting guideline GRRAS for a logbook, and what to bear in mind.

Source: Kottner J and others (2011), Journal of Clinical Epidemiology 64:96-106.
"""

from __future__ import annotations

from collections.abc import Iterator

from observe.domain.words import counted
from observe.work.report_figures import Item, Partition
from observe.work.reviewing import Condition, Gathered, Review, what_would_help

SEVERITY = (
    "Who is severe is not in this report. “observe severity LOGBOOK --reports FOLDER” writes a"
    " file for each observer, for a talk with that observer and nobody else."
)


def items(
    made: Review, condition: Condition, attempts: Partition, second: Partition, typed: int
) -> tuple[Item, ...]:
    """The items in order: told from the logbook where it can tell, else what is wanted."""
    known = {
        one.number: one.text for one in made.note if one.number in _OF_THE_RATINGS and one.text
    }
    known |= _told(made, condition, attempts, second, typed)
    return tuple(
        Item(one.number, one.title, known.get(one.number, ""), one.wanted) for one in made.note
    )


_OF_THE_RATINGS = frozenset({10})


def _told(
    made: Review, condition: Condition, attempts: Partition, second: Partition, typed: int
) -> dict[int, str]:
    gathered, form = made.gathered, condition.form
    days = sorted(workshop.date for workshop, _ in condition.workshops)
    modes = sorted({workshop.mode.value for workshop, _ in condition.workshops})
    span = days[0] if days[0] == days[-1] else f"{days[0]} to {days[-1]}"
    help_ = what_would_help(gathered)
    found = {
        1: f"Agreement between observers, and decisions made, with {condition.title}, {span}.",
        2: f"{form.title}, version {form.version}: {len(form.steps)} steps, "
        f"{len(form.criticals)} critical items, an overall grade. Scoring {condition.scoring}.",
        3: f"Learners in {counted(len(days), 'workshop')}, {span}, on a trainer; "
        f"mode: {', '.join(modes)}.",
        4: f"{counted(len(gathered.observers), 'observer')}, who are not named here.",
        6: f"{counted(second.total or 0, 'second look')} planned among "
        f"{counted(attempts.total or 0, 'attempt')}. {help_}".strip(),
        7: "Second looks were drawn at random before the day; those that came about on the day "
        f"({len(gathered.joined)}) are counted apart and feed no figure (rule T4).",
        8: f"Marked live, once, while the learner went on; typed in from paper: "
        f"{counted(typed, 'attempt')}.",
        9: "Each observer marked alone; nobody sees another's marks before all who watch an "
        "attempt have sealed (rule T3). Records handed over on the way feed no agreement.",
        11: " ".join((f"Second looks sealed by both: {len(gathered.planned)}.", *gathered.left)),
        13: "Every estimate stands with its interval, or the reason why it has none.",
        15: "The record of this report holds every figure; the ratings themselves can be saved "
        f"from Review. {SEVERITY}",
    }
    return {number: text for number, text in found.items() if text}


def cautions(gathered: Gathered, overruled: int, others: int) -> tuple[str, ...]:
    """What to bear in mind with any figure."""
    return tuple(_cautions(gathered, overruled, others))


def _cautions(gathered: Gathered, overruled: int, others: int) -> Iterator[str]:
    yield "Seen on a trainer. It says nothing about care of patients."
    if others:
        yield (
            f"{counted(others, 'attempt')} with this form, under another scoring or profile, left "
            "out: what was done under different conditions is not put together (rule A4)."
        )
    if overruled:
        yield (
            f"{counted(overruled, 'decision')} overruled by a director; counted as overruled, while"
            " the lines of the rule are those of the observers."
        )
    if gathered.condition.departures:
        yield "The workshops left steps out, or had them said only, as their profile states."
    yield (
        "What was not seen is not a zero, and may be missing for a reason: scores of two observers"
        " are compared on the steps that both saw (rule A5)."
    )
    yield "Alpha is no agreement: it says how items go together, for one observer."
