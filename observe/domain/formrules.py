"""Whether grades, credit and rule of a form make sense (F6, F7, M3, S5)."""

from __future__ import annotations

from itertools import pairwise

from observe.domain.form import Form, Grade, RuleKind
from observe.domain.formfindings import Findings, meant, shorten
from observe.domain.formplaces import Path

FEWEST_OVERALL_GRADES = 3
FEWEST_GRADES = 2
LOWEST_HELPED = 3


def check_rules(form: Form, findings: Findings) -> None:
    """Note what is wrong with scales, credit table and rule."""
    _check_overall(form, findings)
    for place, dimension in enumerate(form.dimensions):
        path = ("dimensions", place)
        name = f"Dimension {dimension.id}"
        _check_scale(dimension.grades, name, path, FEWEST_GRADES, findings)
    _check_independence(form, findings)
    _check_credit(form, findings)
    _check_minima(form, findings)
    _check_kind(form, findings)
    _check_coverage(form, findings)


def _check_overall(form: Form, findings: Findings) -> None:
    overall = form.overall
    if not overall.label and not overall.grades:
        return
    _check_scale(overall.grades, "The overall grade", ("overall",), FEWEST_OVERALL_GRADES, findings)
    values = sorted(grade.value for grade in overall.grades)
    written = tuple(("overall", "grades", place, "value") for place in range(len(values)))
    if len(values) >= FEWEST_OVERALL_GRADES and overall.borderline not in values[1:-1]:
        findings.misfit(
            ("overall", "borderline"),
            "The overall grade: borderline is not a grade between the lowest and the highest.",
            f"Name one of: {', '.join(map(str, values[1:-1]))}.",
            rests_on=written,
        )
    least = form.rule.overall_minimum
    if values and least is not None and least not in values:
        findings.misfit(
            ("rule", "overall_minimum"),
            "The rule: overall_minimum is not a grade of the overall grade.",
            f"Name one of: {', '.join(map(str, values))}.",
            rests_on=written,
        )


def _check_scale(
    grades: tuple[Grade, ...], name: str, path: Path, fewest: int, findings: Findings
) -> None:
    if len(grades) < fewest:
        findings.misfit(
            (*path, "grades"),
            f"{name} has {len(grades)} grades; {fewest} are the fewest.",
            "Add grades, each with value, label and anchor.",
        )
    for place, (before, grade) in enumerate(pairwise(grades), start=1):
        if grade.value != before.value + 1:
            findings.misfit(
                (*path, "grades", place, "value"),
                f"{name}: grade {grade.value} follows grade {before.value}.",
                f"Write the grades upwards, one by one: {before.value + 1} comes next.",
                rests_on=((*path, "grades", place - 1, "value"),),
            )


def _check_independence(form: Form, findings: Findings) -> None:
    for place, (before, level) in enumerate(pairwise(form.independence), start=1):
        if level.level != before.level + 1:
            findings.misfit(
                ("independence", place, "level"),
                f"Independence level {level.level} follows level {before.level}.",
                f"Write the levels upwards, one by one: {before.level + 1} comes next.",
                rests_on=(("independence", place - 1, "level"),),
            )


def _check_credit(form: Form, findings: Findings) -> None:
    credit = form.credit
    for key, shares in (("done", credit.done), ("incorrect", credit.incorrect)):
        if not all(0 <= share <= 1 for share in shares):
            findings.misfit(
                ("credit", key),
                f"The credit table: {key} leaves the range from 0 to 1.",
                "Write shares of full credit, from 0 to 1.",
            )
        elif any(later > earlier for earlier, later in pairwise(shares)):
            findings.misfit(
                ("credit", key),
                f"The credit table: {key} gives more credit for more help.",
                "Let the numbers fall, or stay, from prompt level 0 to 4.",
            )
    if credit.done[0] != 1:
        findings.misfit(
            ("credit", "done"),
            "The credit table: done without a prompt does not give full credit.",
            "Let the first number be 1.",
        )
    least = credit.done[LOWEST_HELPED]
    for key, most in (("incorrect", max(credit.incorrect)), ("not_done", credit.not_done)):
        if most > least:
            findings.misfit(
                ("credit", key),
                f"The credit table: {key} gives more than a step done with much help.",
                "Write at most what done gives at prompt level 3.",
            )


def _check_minima(form: Form, findings: Findings) -> None:
    known = [domain.id for domain in form.domains]
    for domain in form.rule.minima:
        path = ("rule", "minima", domain)
        if not known or findings.unread(("domains",)):
            continue
        if domain not in known:
            findings.misfit(
                path,
                f"The rule has a minimum for the domain “{shorten(domain)}”, "
                "which the form does not have.",
                meant(domain, known).strip() or "Name a domain of the form.",
            )
            continue
        for variant in [one.id for one in form.variants] or [""]:
            steps = form.steps_of(variant)
            if steps and not any(step.scored and step.domain == domain for step in steps):
                findings.misfit(
                    path,
                    f"The rule has a minimum for the domain {domain}, of which the variant "
                    f"{variant or '(none)'} scores no step.",
                    "Leave this minimum out, or give the domain a scored step.",
                )
                break


def _check_kind(form: Form, findings: Findings) -> None:
    rule = form.rule
    if findings.unread(("rule", "kind"), ("rule", "minima")):
        return
    if rule.kind is RuleKind.COMPENSATORY and rule.minima:
        findings.misfit(
            ("rule", "minima"),
            "The rule is compensatory and has domain minima, which it would not use.",
            "Leave the minima out, or write kind = “conjunctive”.",
        )
    if rule.kind is not RuleKind.COMPENSATORY and not rule.minima:
        findings.misfit(
            ("rule", "kind"),
            f"The rule is {rule.kind.value} and has no domain minima.",
            "Add a table [rule.minima], or write kind = “compensatory”.",
        )
    if rule.kind is RuleKind.K_OF_N and rule.minima and not 1 <= rule.k <= len(rule.minima):
        findings.misfit(
            ("rule", "k"),
            f"The rule asks for {rule.k} of {len(rule.minima)} domain minima.",
            f"Write k from 1 to {len(rule.minima)}.",
        )
    if rule.kind is not RuleKind.K_OF_N and rule.k:
        findings.misfit(
            ("rule", "k"),
            f"The rule is {rule.kind.value} and has a k, which it would not use.",
            "Leave k out, or write kind = “k-of-n”.",
        )


def _check_coverage(form: Form, findings: Findings) -> None:
    coverage = list(form.rule.coverage.values())
    if any(later < earlier for earlier, later in pairwise(coverage)):
        findings.remark(
            ("rule", "coverage"),
            "The rule asks for less coverage in summative than in formative mode.",
            "Let the summative share be the greater one.",
        )
