"""observe verify FILE…: is a sheet or logbook whole, and who answers for it."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.work.verify import FileVerdict

EXAMPLES = """\
example:
  observe verify sheets/*.pdf             what is wanting, or that all is sound
  observe verify --signatures 2 a.pdf     a later signature must be there too
  observe verify --logbook course.observe sheets/*.pdf
                                          also whether each is what the logbook issued,
                                          and whether a newer one replaced it
  observe verify --logbook course.observe --code "43a8 6664 0c6a"
                                          which sheet the code at its foot belongs to

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
    parser.add_argument("files", nargs="*", type=Path, metavar="FILE")
    parser.add_argument(
        "--logbook",
        dest="beside",
        type=Path,
        metavar="FILE",
        help="compare sheets with this logbook, and know the keys beside it",
    )
    parser.add_argument("--code", metavar="CODE", help="the code printed at the foot of a sheet")
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
    if text not in {"1", "2", "3", "4"}:
        raise argparse.ArgumentTypeError(f"“{text}” is not 1 to 4, which a sheet can have")
    return int(text)


def handle(arguments: argparse.Namespace) -> int:
    """Check each file; the worst outcome decides the exit code."""
    from observe.work.logbooks import open_logbook
    from observe.work.verify import Outcome, verify_files

    if bool(arguments.files) is bool(arguments.code):
        raise BadInput(
            "It is open what is to be checked.", remedy="Name files, or a code with a logbook."
        )
    if arguments.code:
        return _of_code(arguments)
    if arguments.beside is None:
        verdicts = verify_files(arguments.files, arguments.signatures)
    else:
        with open_logbook(arguments.beside, create=False) as logbook:
            verdicts = verify_files(arguments.files, arguments.signatures, logbook)
    if arguments.json:
        print(json.dumps({"files": [_plain(one) for one in verdicts]}, ensure_ascii=False))
    else:
        print("\n\n".join(_text(one) for one in verdicts))
    outcomes = {one.outcome for one in verdicts}
    if Outcome.UNREADABLE in outcomes:
        return 2
    return 1 if Outcome.WANTING in outcomes else 0


def _of_code(arguments: argparse.Namespace) -> int:
    """Say which sheet a code belongs to, and whether it still stands."""
    from observe.work.checking import sheet_of_code
    from observe.work.logbooks import open_logbook

    if arguments.beside is None:
        raise BadInput("A code is looked for in a logbook.", remedy="Name it with --logbook.")
    with open_logbook(arguments.beside, create=False) as logbook:
        found = sheet_of_code(logbook, arguments.code)
    record = asdict(found)
    del record["superseded_code"]
    if arguments.json:
        print(json.dumps(record, ensure_ascii=False))
    else:
        print(seen(found.sentence))
    return 0


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
