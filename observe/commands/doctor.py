"""`observe doctor`: says whether this machine is fit for a workshop."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from observe.work.doctor import Finding

EXAMPLE = """\
example:
  observe doctor            before a workshop, on the machine that will be carried round
  observe doctor --json     the same for a program

Exit code 0: fit; 1: something would stand in the way of the workshop.
"""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    parser = verbs.add_parser(
        "doctor",
        help="say whether this machine is fit for a workshop",
        description="Look at everything on this machine that could fail a workshop.",
        epilog=EXAMPLE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--json", action="store_true", help="print the findings for a program")
    parser.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Print the findings; 0 where the machine is fit, 1 where it is not."""
    from observe.work import doctor

    findings = []
    for finding in doctor.examine():
        findings.append(finding)
        if not arguments.json:
            print(_lines(finding), flush=True)
    fit = all(finding.fit for finding in findings)
    if arguments.json:
        answer = {"fit": fit, "findings": [asdict(finding) for finding in findings]}
        print(json.dumps(answer, ensure_ascii=False, indent=2))
    else:
        print(f"\n{_verdict(findings)}")
    return 0 if fit else 1


def _lines(finding: Finding) -> str:
    word = "fine" if finding.fit else "WANTING"
    if finding.fit and finding.remedy:
        word = "remark"
    first = f"{word:<8} {finding.about}: {finding.sentence}"
    return f"{first}\n{'':<8} {finding.remedy}" if finding.remedy else first


def _verdict(findings: list[Finding]) -> str:
    wanting = [finding.about for finding in findings if not finding.fit]
    if wanting:
        return f"This machine is not fit yet: {', '.join(wanting)}."
    return "This machine is fit for a workshop."
