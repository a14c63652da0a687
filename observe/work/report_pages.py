"""A director's report as its pages say it: the guideline's items in order, with their tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from observe.sheets.content import Signer
from observe.sheets.report_content import Bar, ReportContent, Section, Table
from observe.work.report_figures import Figure, Partition, Report, StepFigures

CAUTION = (
    "For education. Local protocol, the device's label and licensed supervision prevail. These "
    "figures describe a group on trainers: they rank nobody, and decide nothing by themselves."
)
TICKS = (-400, 0, 400, 1000)
"""Of the axis of coefficients, in thousandths."""


def pages_of(made: Report, signer: Signer, engine: str) -> ReportContent:
    """What the pages of a report say."""
    days = [day for day, _ in made.workshops]
    span = days[0] if days[0] == days[-1] else f"{days[0]} to {days[-1]}"
    form = made.form
    counts = (
        f"Workshops: {len(made.workshops)}. Learners: {_many(made.learners)}. Attempts planned: "
        f"{_many(made.attempts.total)}. Observers: {made.observers}."
    )
    return ReportContent(
        title=form.title,
        facts=(f"Form {form.id} {form.version}, {form.reviewed}. {span}.", counts),
        sections=(_in_short(made), *_items(made), Section("Bear in mind", made.cautions)),
        caution=CAUTION,
        signer=signer,
        engine=engine,
    )


def _in_short(made: Report) -> Section:
    decided = made.decided[0]
    sealed = made.second.cells[0][1]
    said = [
        f"Attempts: {_filled(made.attempts)}.",
        f"Second looks sealed by both: {_many(sealed)}.",
        f"Decisions of both: {_filled(made.decisions)}.",
        f"Do observers agree on the decision? {figure_text(decided)}",
    ]
    said += [f"The cut: {one.cut} %. {' '.join(one.said)}" for one in made.cuts[:1]]
    if made.quality.alpha is not None:
        said.append(f"The form: {figure_text(made.quality.alpha)}")
    return Section("In short", tuple(said))


def _items(made: Report) -> Iterator[Section]:
    for item in made.items:
        text = item.text or f"To be written by whoever sends this on. {item.wanted}"
        texts, tables = [text], []
        if item.number == 2:
            texts += [
                f"Cut {one.cut} %, in {_many(one.attempts)} attempts: {' '.join(one.said)}"
                for one in made.cuts
            ]
        if item.number == 3:
            tables.append(Table("Workshops", ("day", "title"), tuple(made.workshops), words=2))
        if item.number == 11:
            tables += [_counted(made.attempts), _counted(made.second)]
            tables += [_rule(made.lines)] if made.lines else []
        if item.number == 13:
            tables += _estimates(made)
            texts += _quality(made)
        yield Section(f"{item.number}  {item.title}", tuple(texts), tuple(tables))


def _counted(group: Partition) -> Table:
    rows = tuple((kind, _many(count)) for kind, count in group.cells if count != 0)
    return Table(f"{group.title}{_in_all(group)}", (group.of, "number"), rows or (("none", "0"),))


def _rule(lines: Iterable[Partition]) -> Table:
    found = tuple(lines)
    heads = (
        ("line of the rule", *(kind for kind, _ in found[0].cells)) if found else ("line", "met")
    )
    rows = tuple((one.title, *(_many(count) for _, count in one.cells)) for one in found)
    return Table("Lines of the rule over decided attempts", heads, rows)


def _estimates(made: Report) -> Iterator[Table]:
    about = (*made.decided, *made.limits, made.scores, made.grades)
    yield Table(
        "Decisions, scores and grades of both observers",
        ("about", "figure", "value", "interval", "n"),
        tuple((one.about, one.label, *_numbers(one)) for one in about),
        words=2,
    )
    yield _criticals(made.criticals)
    yield _steps(made.steps)
    if made.quality.items:
        yield Table(
            "Steps as items of the form, by first attempts",
            ("step", "", "difficulty", "item-rest"),
            tuple(
                (str(number), label, _decimal(difficulty), _decimal(rest))
                for number, label, difficulty, rest in made.quality.items
            ),
            words=2,
        )


def _criticals(groups: Iterable[Partition]) -> Table:
    found = tuple(groups)
    heads = ("critical item, recorded by", "both", "one alone", "neither", "not watched by both")
    rows = tuple((one.title, *(_many(count) for _, count in one.cells)) for one in found)
    return Table("Critical items over second looks", heads, rows)


def _steps(steps: Iterable[StepFigures]) -> Table:
    found = tuple(steps)
    rows = tuple(
        (
            f"{one.number}  {one.label}",
            "/" if one.found.value is None else _decimal(one.found.value),
            _span(one.found),
            "/" if one.percent.value is None else f"{100 * one.percent.value:.0f} %",
            str(one.found.used) if one.found.used else "",
        )
        for one in found
    )
    names = sorted({one.found.label for one in found if one.found.value is not None})
    return Table(
        f"Steps, full credit or not: {', '.join(names) or 'not estimable'}",
        ("step", "value", "interval", "same", "pairs"),
        rows,
        bars=tuple(map(_bar, found)),
        ticks=TICKS,
    )


def _bar(one: StepFigures) -> Bar:
    found = one.found
    if found.value is None:
        return Bar(0, None, 0)
    low = found.value if found.low is None else found.low
    high = found.value if found.high is None else found.high
    return Bar(*(_kept(end) for end in (low, found.value, high)))


def _kept(value: float) -> int:
    """A value in thousandths, kept on the axis."""
    return min(max(round(1000 * value), TICKS[0]), TICKS[-1])


def _quality(made: Report) -> Iterator[str]:
    for one in (*made.decided, *made.limits, made.scores, made.grades):
        if one.value is None:
            yield f"{one.about}: {figure_text(one)}"
    found = made.quality
    said = [f"How good the form is, by {found.scored} first attempts."]
    if found.undefined:
        said.append(found.undefined)
    if found.alpha is not None:
        said.append(figure_text(found.alpha))
    if found.r_squared is not None:
        said.append(f"R² of the score on the grade: {found.r_squared:.2f}.")
    if found.between is not None:
        said.append(f"Between observers: {100 * found.between:.0f} % of the variance.")
    yield " ".join((*said, *found.said))


def _filled(group: Partition) -> str:
    said = [f"{kind.lower()} {_many(count)}" for kind, count in group.cells if count != 0]
    return "; ".join(said) or "none"


def _many(count: int | None) -> str:
    return "hidden" if count is None else str(count)


def _in_all(group: Partition) -> str:
    return "" if group.total is None else f", {group.total} in all"


def _numbers(one: Figure) -> tuple[str, str, str]:
    if one.value is None:
        return "/", "", str(one.used) if one.used else ""
    return _decimal(one.value), _span(one), str(one.used)


def _span(one: Figure) -> str:
    if one.low is None or one.high is None:
        return ""
    return f"{_decimal(one.low)} to {_decimal(one.high)}"


def _decimal(value: float | None) -> str:
    if value is None:
        return "/"
    text = f"{value:.2f}"
    return "0.00" if float(text) == 0 else text.replace("-", "−")


def figure_text(one: Figure) -> str:
    """A figure with its interval and number, or why there is none."""
    if one.value is None:
        return one.undefined or f"{one.label}: not estimable."
    span = f"{100 * one.level:g} % interval {_span(one)}" if _span(one) else "no interval"
    return f"{one.label} {_decimal(one.value)} ({span}; n = {one.used})."
