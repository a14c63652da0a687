"""A method note in the order of the reporting guideline GRRAS, as far as a table can tell.

Source: Kottner J and others (2011), Guidelines for Reporting Reliability and Agreement
Studies (GRRAS) were proposed, Journal of Clinical Epidemiology 64:96-106. The wording of
the fifteen items is ours.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from observe.agreement.estimate import Estimate
from observe.agreement.ratings import Ratings
from observe.agreement.recommend import Advice, Recommendation, recommend

NAMED = 12
ROUNDED = 3


@dataclass(frozen=True, slots=True)
class NoteItem:
    """One of the fifteen items. text: what can be said; empty where only the author knows."""

    number: int
    title: str
    text: str
    wanted: str

    @property
    def filled(self) -> bool:
        """Whether the table could tell."""
        return bool(self.text)


TITLES: tuple[tuple[str, str], ...] = (
    ("Title", "Call it a study of agreement or reliability between observers."),
    ("Instrument", "Name the form and its version."),
    ("Subjects", "Who was observed, and doing what?"),
    ("Observers", "Who observed: training, experience?"),
    ("What is known", "What was known of agreement on this form, and why ask again?"),
    ("Sample size", "How were the numbers of units and observers chosen?"),
    ("Sampling", "How were units and observers drawn? Say if second looks were planned at random."),
    ("Rating process", "Live or recorded, when, and with which information?"),
    ("Independence", "Did each observer mark without seeing the other's marks?"),
    ("Statistics", ""),
    ("Numbers", ""),
    ("Characteristics", "Experience of the observers, level of the learners."),
    ("Estimates", ""),
    ("Meaning", "What do these limits mean for decisions made with the form?"),
    ("More", "Where can the table of ratings be had?"),
)


def method_note(
    ratings: Ratings,
    estimates: Sequence[Estimate],
    *,
    title: str = "",
    advice: Recommendation | None = None,
) -> tuple[NoteItem, ...]:
    """The fifteen items in order. title: of what the ratings are (an item of a form).

    advice: as `recommend` gives it; computed where left out. Benchmarks are not applied:
    words for a coefficient belong to its interval and to whoever decides.
    """
    advice = advice or recommend(ratings)
    filled = {
        1: f"Agreement between observers{f': {title}' if title else ''}.",
        2: _instrument(ratings),
        3: _subjects(ratings),
        4: _observers(ratings),
        10: " ".join(_statistics(estimates, advice)),
        11: " ".join(_numbers(ratings, advice)),
        13: " ".join(_estimate(one) for one in estimates),
        14: " ".join(advice.cautions),
    }
    return tuple(
        NoteItem(number, name, filled.get(number, ""), wanted)
        for number, (name, wanted) in enumerate(TITLES, start=1)
    )


def _instrument(ratings: Ratings) -> str:
    if ratings.scale.is_of_numbers or not ratings.categories:
        return (
            f"Scores on an {ratings.scale} scale."
            if ratings.scale == "interval"
            else (f"Scores on a {ratings.scale} scale.")
        )
    listed = ", ".join(str(value) for value in ratings.categories[:NAMED])
    more = len(ratings.categories) - NAMED
    whence = "declared" if ratings.declared else "as they occur in the ratings"
    rest = f" and {more} more" if more > 0 else ""
    return f"Marks on a {ratings.scale} scale; categories {whence}: {listed}{rest}."


def _subjects(ratings: Ratings) -> str:
    if ratings.clusters is None:
        return f"{ratings.units:,} units."
    return f"{ratings.units:,} units of {len(set(ratings.clusters)):,} learners."


def _observers(ratings: Ratings) -> str:
    names = ", ".join(ratings.observers[:NAMED])
    more = len(ratings.observers) - NAMED
    return f"{len(ratings.observers):,}: {names}{f' and {more} more' if more > 0 else ''}."


def _statistics(estimates: Sequence[Estimate], advice: Recommendation) -> Iterator[str]:
    if advice.first:
        yield f"Recommended: {advice.first.label}. {_reason(advice.first)}"
    for one in advice.beside:
        yield f"Beside it: {one.label}. {_reason(one)}"
    for one in advice.against:
        yield f"Not used: {one.label}. {_reason(one)}"
    methods = dict.fromkeys(
        f"{one.label}: {one.interval}" for one in estimates if one.interval is not None
    )
    if methods:
        yield f"Intervals at {estimates[0].level * 100:g} %: {'; '.join(methods)}."


def _reason(one: Advice) -> str:
    return f"{one.why.removesuffix('.')} ({one.source})."


def _numbers(ratings: Ratings, advice: Recommendation) -> Iterator[str]:
    yield advice.design
    given = ratings.per_unit[ratings.per_unit > 0]
    if len(given):
        low, high = int(given.min()), int(given.max())
        span = f"{low}" if low == high else f"{low} to {high}"
        yield f"Ratings per rated unit: {span}; {len(ratings.code):,} in all."
    yield from ratings.dropped(single_used=False)


def _estimate(one: Estimate) -> str:
    name = f"{one.label} ({one.form})" if one.form else one.label
    if one.value is None:
        return f"{name}: {one.undefined}"
    value = f"{one.value:.{ROUNDED}f}"
    if one.low is None or one.high is None:
        return f"{name}: {value}, no interval, n = {one.used:,}. {one.notes[0]}"
    limits = f"{one.low:.{ROUNDED}f} to {one.high:.{ROUNDED}f}"
    return f"{name}: {value}, {one.level * 100:g} % interval {limits}, n = {one.used:,}."
