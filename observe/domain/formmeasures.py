"""What a form measures with, from its tables to the model: grades, credit, rule."""

from __future__ import annotations

from fractions import Fraction

from observe.domain.form import (
    PROMPT_LEVELS,
    Credit,
    Dimension,
    Grade,
    Independence,
    Mode,
    Overall,
    Rule,
    RuleKind,
)
from observe.domain.formtable import Table


def _read_grades(table: Table) -> tuple[Grade, ...]:
    grades = []
    for one in table.tables("grades", f"{table.name}: grade", "value"):
        grades.append(
            Grade(
                value=one.whole("value", least=0, most=100, default=None),
                label=one.label(),
                anchor=one.text("anchor"),
            )
        )
        one.finish()
    return tuple(grades)


def read_overall(table: Table | None) -> Overall:
    """The overall grade; an empty one where the table is missing."""
    if table is None:
        return Overall(label="", grades=(), borderline=0)
    overall = Overall(
        label=table.label(),
        grades=_read_grades(table),
        borderline=table.whole("borderline", least=0, most=100, default=None),
    )
    table.finish()
    return overall


def read_dimension(table: Table) -> Dimension:
    """One dimension with its grades."""
    dimension = Dimension(id=table.ident(), label=table.label(), grades=_read_grades(table))
    table.finish()
    return dimension


def read_level(table: Table) -> Independence:
    """One level of independence."""
    level = Independence(
        level=table.whole("level", least=0, most=100, default=None), label=table.label()
    )
    table.finish()
    return level


def read_credit(table: Table | None) -> Credit:
    """The credit table; the usual one where it is missing (rule M3)."""
    usual = Credit()
    if table is None:
        return usual
    levels = len(PROMPT_LEVELS)
    credit = Credit(
        done=table.numbers("done", levels, usual.done),
        incorrect=table.numbers("incorrect", levels, usual.incorrect),
        not_done=table.number("not_done", most=1, default=usual.not_done),
    )
    table.finish()
    return credit


def read_rule(table: Table | None) -> Rule:
    """The rule; the usual one where the table is missing (rule F6)."""
    usual = Rule()
    if table is None:
        return usual
    rule = Rule(
        kind=table.choice("kind", RuleKind) or usual.kind,
        cut=table.number("cut", most=1, default=None, above_zero=True),
        minima=_read_minima(table),
        k=table.whole("k", least=0, most=100, default=0),
        essential_prompt=table.whole(
            "essential_prompt", least=0, most=3, default=usual.essential_prompt
        ),
        coverage=_read_coverage(table),
        not_applicable_allowance=table.number(
            "not_applicable_allowance", most=1, default=usual.not_applicable_allowance
        ),
        unwatched_open_in_formative=table.flag("unwatched_open_in_formative", default=False),
        overall_minimum=_read_overall_minimum(table),
        time_limit_s=_read_time_limit(table),
    )
    table.finish()
    return rule


def _read_minima(rule: Table) -> dict[str, Fraction]:
    table = rule.table("minima", "The domain minima")
    if table is None:
        return {}
    return {
        key: table.number(key, most=1, default=Fraction(1), above_zero=True)
        for key in table.names()
    }


def _read_coverage(rule: Table) -> dict[Mode, Fraction]:
    usual = dict(Rule().coverage)
    table = rule.table("coverage", "The least coverage")
    if table is None:
        return usual
    read = {mode: table.number(mode.value, most=1, default=share) for mode, share in usual.items()}
    table.finish()
    return read


def _read_overall_minimum(rule: Table) -> int | None:
    if "overall_minimum" not in rule:
        return None
    return rule.whole("overall_minimum", least=0, most=100, default=None)


def _read_time_limit(rule: Table) -> int | None:
    if "time_limit_minutes" not in rule:
        return None
    minutes = rule.number("time_limit_minutes", most=600, default=None, above_zero=True)
    seconds = minutes * 60
    if seconds.denominator != 1:
        rule.fault(
            "time_limit_minutes",
            f"{rule.name}: the time limit is not a whole number of seconds.",
            "Write the minutes with fewer decimals.",
        )
    return int(seconds)
