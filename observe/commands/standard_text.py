"""Cut scores as text for people: the cut, what it rests on, what it would do, what it is not."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING

from observe.domain.printing import rounded
from observe.work.cells import one_line, shown

if TYPE_CHECKING:
    from observe.standards import Cut, Impact, SafetyStandard
    from observe.standards.angoff import Angoff
    from observe.work.file_standard import FileStandard

WIDTH = 88
NAMES: Mapping[str, str] = MappingProxyType(
    {
        "borderline_grade": "borderline grade",
        "slope": "slope",
        "intercept": "intercept",
        "r_squared": "R²",
        "rmse": "residual SD",
        "se_bootstrap": "standard error, resampled",
        "median": "median",
        "mean": "mean",
        "sd": "SD",
        "n_qualified": "judged qualified",
        "n_not_qualified": "judged not qualified",
        "mean_qualified": "mean of the qualified",
        "mean_not_qualified": "mean of the others",
        "logit_slope": "slope of the curve",
        "logit_intercept": "intercept of the curve",
        "fewest_errors": "wrong decisions, fewest",
        "false_pass": "passing, judged not qualified",
        "false_fail": "failing, judged qualified",
        "judges": "judges",
        "min_cut": "lowest cut they can bear",
        "max_cut": "highest cut they can bear",
        "min_fail": "least failing, %",
        "max_fail": "most failing, %",
        "fail_rate_line": "failing on the judges' line, %",
        "fail_rate_at_cut": "failing at the cut, %",
        "fail_rate_just_above_cut": "failing just above it, %",
        "cut_percent": "cut in % of the points",
        "sd_judges": "SD of the judges' totals",
        "missing": "judgements missing",
    }
)


def standard_text(found: FileStandard) -> str:
    """One cut in full and others beside it in short; of a comparison all in short."""
    lines: list[str] = []
    if found.safety is not None:
        lines += [*_essential(found.safety), ""]
    if found.method == "compare":
        lines += [*_short(found.cuts, "Cut scores of one table"), ""]
        lines += _said(found.cuts)
    elif found.cuts:
        lines += _full(found.cuts[0])
        if len(found.cuts) > 1:
            lines += ["", *_short(found.cuts[1:], "Beside it")]
        lines += _said(found.cuts[:1])
    if found.panel is not None:
        lines += ["", *_judges(found.panel)]
    if found.impact is not None:
        lines += ["", *_impact(found.impact)]
    return "\n".join(lines)


def _full(cut: Cut) -> Iterator[str]:
    yield from _wrapped(f"{cut.label}: {_basis(cut)}; scores {_scale(cut)}", "")
    if cut.value is None:
        yield from _wrapped(cut.undefined, "  ")
    else:
        yield f"  {'cut, unrounded':34}{_number(cut.value):>12}"
        yield f"  {'standard error':34}{'-' if cut.se is None else _number(cut.se):>12}"
        limits = "-" if cut.low is None else f"{_number(cut.low)} to {_number(cut.high or 0.0)}"
        how = f" ({cut.interval})" if cut.interval else ""
        yield f"  {f'{cut.level * 100:g} % interval':34}{limits:>12}{how}"
    for key, name in NAMES.items():
        value = cut.details.get(key)
        if isinstance(value, (int, float)):
            yield f"  {name:34}{_number(value):>12}"


def _short(cuts: tuple[Cut, ...], title: str) -> Iterator[str]:
    yield title
    yield f"  {'':40}{'cut':>10}{'SE':>10}   {'interval':<22}{'n':>6}"
    for cut in cuts:
        if cut.value is None:
            yield f"  {cut.label:40}{'-':>10}"
            yield from _wrapped(cut.undefined, "      ")
            continue
        error = "-" if cut.se is None else _number(cut.se)
        limits = "-" if cut.low is None else f"{_number(cut.low)} to {_number(cut.high or 0.0)}"
        yield f"  {cut.label:40}{_number(cut.value):>10}{error:>10}   {limits:<22}{cut.n:>6,}"


def _said(cuts: tuple[Cut, ...]) -> list[str]:
    """What to weigh, how to read it and what it is not; each sentence once."""
    weigh = dict.fromkeys(said for cut in cuts for said in cut.warnings)
    read = dict.fromkeys(said for cut in cuts for said in (*cut.dropped, *cut.notes))
    lines: list[str] = []
    for title, sentences in (("To weigh", list(weigh)), ("To read it", list(read))):
        if sentences:
            lines += [title, *(line for one in sentences for line in _wrapped(one_line(one), "  "))]
    isnt = dict.fromkeys(cut.is_not for cut in cuts)
    return [*lines, "What it is not", *(line for one in isnt for line in _wrapped(one, "  "))]


def _basis(cut: Cut) -> str:
    noun = cut.of if cut.n != 1 else cut.of.removesuffix("s")
    given = f" of {cut.given:,}" if cut.given != cut.n else ""
    return f"{cut.n:,}{given} {noun}"


def _scale(cut: Cut) -> str:
    if cut.scale.unit == "percent":
        return "in percent"
    return "as given" if cut.scale.maximum is None else f"from 0 to {cut.scale.maximum:g}"


def _judges(panel: Angoff) -> Iterator[str]:
    last = panel.rounds[-1]
    yield f"Judges in round {last.round}" if len(panel.rounds) > 1 else "Judges"
    yield f"  {'':30}{'items':>6}{'total':>10}{'lean':>10}"
    for one in last.judges:
        total = "-" if one.total is None else _number(one.total)
        lean = "-" if one.lean is None else _number(one.lean)
        mark = "  far from the others" if one.outlier else ""
        yield f"  {shown(one.judge, 28):30}{one.judged:>6}{total:>10}{lean:>10}{mark}"
    for change in panel.changes:
        moved = "is not known" if change.cut is None else f"moved by {_number(change.cut)}"
        yield from _wrapped(
            f"From round {change.before} to {change.after} the cut {moved}; {change.changed} of"
            f" {change.compared} judgements changed.",
            "  ",
        )


def _essential(safety: SafetyStandard) -> Iterator[str]:
    share = f"more than {safety.majority * 100:g} % of the judges"
    yield f"Essential, all to be done ({share}):"
    tallies = {one.item: one for one in safety.tallies}
    for item in safety.essential:
        one = tallies[item]
        yield f"  {shown(item, 60)} ({one.votes} of {one.judges})"
    if not safety.essential:
        yield "  none"
    if safety.rest is None:
        yield "There is no cut: no other item was judged."


def _impact(impact: Impact) -> Iterator[str]:
    least, low, middle, high, most = (_number(value) for value in impact.distribution)
    noun = "candidate" if impact.n == 1 else "candidates"
    yield f"What it would do to {impact.n:,} {noun}"
    yield from _wrapped(
        f"Scores: least {least}, quarter {low}, median {middle}, quarter {high}, most {most}.", "  "
    )
    if impact.missing:
        yield f"  {impact.missing:,} without a score are not counted."
    yield f"  {'':40}{'cut':>10}{'pass':>7}{'fail':>7}{'fail %':>8}"
    for one in impact.effects:
        yield (
            f"  {one.name:40}{_number(one.cut):>10}{one.passed:>7,}{one.failed:>7,}"
            f"{rounded(Fraction(repr(one.rate)), 1):>8}"
        )
        if one.near is not None:
            yield from _wrapped(
                f"Within one standard error: {one.near:,}; failing at the cut less one:"
                f" {one.failed_low:,}, plus one: {one.failed_high:,}.",
                "      ",
            )
        if one.newly_failing is not None:
            yield from _wrapped(
                f"Against the present cut {_number(impact.present or 0.0)}: {one.newly_failing:,}"
                f" more would fail, {one.newly_passing:,} more would pass.",
                "      ",
            )


def _number(value: float) -> str:
    """Half up, four decimals at most; the plain minus, which no terminal drops."""
    text = rounded(Fraction(repr(float(value))), 4).rstrip("0").rstrip(".")
    return text.replace("\N{MINUS SIGN}", "-")


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
