"""`observe form`: checks forms and names every fault with its line and what to do."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.foreign import seen, shown_path

if TYPE_CHECKING:
    from observe.domain.faults import Fault
    from observe.domain.form import Form
    from observe.work.check_forms import FormReport

EXAMPLE = """\
examples:
  observe form my-form.toml        check a form before it is used
  observe form *.toml --json       the same for a program
  observe form                     check the forms that come with the program

Exit code 0: every form can be used (remarks do not count); 2: one of them cannot.
"""

SHORT_DIGEST = 12


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    parser = verbs.add_parser(
        "form",
        help="check forms",
        description="Check forms: every fault in one run, each with its line and what to do.",
        epilog=EXAMPLE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "files",
        nargs="*",
        type=Path,
        metavar="FILE",
        help="forms to check (default: those that come with the program)",
    )
    parser.add_argument("--json", action="store_true", help="print the findings for a program")
    parser.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print what was found in each file; 0 where all can be used, else 2."""
    from observe.work import check_forms

    reports = check_forms.check(arguments.files or check_forms.shipped())
    if arguments.json:
        answer = {"forms": [_record(report) for report in reports]}
        print(json.dumps(answer, ensure_ascii=False, indent=2))
    else:
        for report in reports:
            _tell(report)
    return 0 if all(report.usable for report in reports) else 2


def _tell(report: FormReport) -> None:
    if report.trouble is not None:
        print(seen(str(report.trouble)), file=sys.stderr)
        return
    path = shown_path(report.path)
    lines = [] if report.form is None else _lines(path, report.form)
    for fault in report.faults:
        lines += _fault_lines(path, fault)
    if report.form is None:
        lines.append(f"{path}: cannot be used: {_counted(report)}.")
    print("\n".join(map(seen, lines)))


def _lines(path: str, form: Form) -> list[str]:
    whole, scoring = form.whole_digest[:SHORT_DIGEST], form.scoring_digest[:SHORT_DIGEST]
    items, domains = (
        _count(len(form.criticals), "critical item"),
        _count(len(form.domains), "domain"),
    )
    return [
        f"{path}: fine.",
        f"  {form.title}, {form.id} {form.version}; {_review(form)}",
        f"  {_steps(form)}; {items}; {domains}",
        f"  digest {whole}, scoring {scoring}",
    ]


def _review(form: Form) -> str:
    if form.review is None:
        return "not clinically reviewed"
    return f"clinically reviewed by {form.review.name} on {form.review.date}"


def _steps(form: Form) -> str:
    if not form.variants:
        return _count(len(form.steps), "step")
    return "; ".join(
        f"{variant.label}: {_count(len(form.steps_of(variant.id)), 'step')}"
        for variant in form.variants
    )


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _fault_lines(path: str, fault: Fault) -> list[str]:
    remark = "" if fault.blocking else "remark: "
    lines = [f"{path}:{fault.line}: {remark}{fault.sentence} {fault.remedy}"]
    if fault.entry:
        lines.append(f"    {fault.entry}")
    return lines


def _counted(report: FormReport) -> str:
    faults = _count(len(report.blocking), "fault")
    remarks = len(report.remarks)
    return f"{faults}, {_count(remarks, 'remark')}" if remarks else faults


def _record(report: FormReport) -> dict[str, object]:
    form = report.form
    trouble = report.trouble
    return {
        "file": str(report.path),
        "usable": report.usable,
        "form": form and _form_record(form),
        "trouble": trouble and {"what": trouble.what, "remedy": trouble.remedy},
        "faults": [
            {
                "line": fault.line,
                "sentence": fault.sentence,
                "remedy": fault.remedy,
                "entry": fault.entry,
                "blocking": fault.blocking,
            }
            for fault in report.faults
        ],
    }


def _form_record(form: Form) -> dict[str, object]:
    return {
        "id": form.id,
        "version": form.version,
        "title": form.title,
        "variants": {one.id: len(form.steps_of(one.id)) for one in form.variants},
        "steps": len(form.steps),
        "critical_items": len(form.criticals),
        "whole_digest": form.whole_digest,
        "scoring_digest": form.scoring_digest,
        "review": form.review and {"name": form.review.name, "date": form.review.date},
    }
