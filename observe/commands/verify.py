"""observe verify FILE…: is a sheet or logbook whole, and who answers for it."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.domain.foreign import seen, shown_path

if TYPE_CHECKING:
    from observe.work.verify import FileVerdict

EXAMPLES = """\
example:
  observe verify sheets/*.pdf             what is wanting, or that all is sound
  observe verify --signatures 2 a.pdf     the learner's signature must be there too

exit code: 0 all sound, 1 something is wanting, 2 a file cannot be read
"""


def add(verbs: argparse._SubParsersAction[Any]) -> None:
    """Register the verb."""
    parser = verbs.add_parser(
        "verify",
        help="check signed sheets and logbooks",
        description="Check signed sheets (PDF) and logbooks: whole, signed, by whom.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    parser.add_argument(
        "--signatures",
        type=_count,
        metavar="N",
        help="how many signatures each sheet must have (default: the first, and any later one)",
    )
    parser.add_argument("--json", action="store_true", help="print the findings as JSON")
    parser.set_defaults(handler=handle)


def _count(text: str) -> int:
    """How many signatures a sheet can have."""
    if text not in {"1", "2"}:
        raise argparse.ArgumentTypeError(f"“{text}” is not 1 or 2, which a sheet can have")
    return int(text)


def handle(arguments: argparse.Namespace) -> int:
    """Check each file; the worst outcome decides the exit code."""
    from observe.work.verify import Outcome, verify_file

    verdicts = [verify_file(path, arguments.signatures) for path in arguments.files]
    if arguments.json:
        print(json.dumps({"files": [_plain(one) for one in verdicts]}, ensure_ascii=False))
    else:
        print("\n\n".join(_text(one) for one in verdicts))
    outcomes = {one.outcome for one in verdicts}
    if Outcome.UNREADABLE in outcomes:
        return 2
    return 1 if Outcome.WANTING in outcomes else 0


def _text(verdict: FileVerdict) -> str:
    head = f"{shown_path(verdict.path)}: {verdict.outcome}"
    return "\n".join([head, *(f"  {seen(sentence)}" for sentence in verdict.sentences)])


def _plain(verdict: FileVerdict) -> dict[str, Any]:
    return {
        "file": verdict.path,
        "kind": verdict.kind,
        "outcome": verdict.outcome.value,
        "sentences": list(verdict.sentences),
        **verdict.facts,
    }
