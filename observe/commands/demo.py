"""`observe demo`: an invented workshop from the first mark to signed sheets."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

EXAMPLE = """\
example:
  observe demo demo/        makes demo/ with a logbook, a signed sheet for each learner, and a
                            summary for the director (text and JSON); beside them a term of
                            workshops in a logbook of its own, to try Review on, and the
                            director's report on it, signed

All persons, the hospital and all data in it are invented.
"""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    parser = verbs.add_parser(
        "demo",
        help="make a demonstration workshop",
        description="Replay a complete invented workshop into a folder.",
        epilog=EXAMPLE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("folder", type=Path, metavar="DIR", help="an empty or new folder")
    papers = ("A4", "Letter")
    parser.add_argument("--paper", choices=papers, default="A4", help="paper of the sheets")
    parser.add_argument("--json", action="store_true", help="print what was made for a program")
    parser.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Make the demonstration and print the director's summary."""
    from observe.work.demo.run import SUMMARY_JSON, demonstrate

    made = demonstrate(arguments.folder, paper=arguments.paper, tick=_tick)
    if arguments.json:
        answer = {
            "folder": str(made.folder),
            "logbook": str(made.logbook),
            "sheets": [str(sheet) for sheet in made.sheets],
            "term": str(made.term),
            "report": str(made.report),
            "summary": json.loads((made.folder / SUMMARY_JSON).read_text(encoding="utf-8")),
        }
        print(json.dumps(answer, ensure_ascii=False, indent=2))
        return 0
    print(made.summary.read_text(encoding="utf-8"))
    print(f"Logbook: {made.logbook}")
    print(f"Signed sheets: {made.folder / 'sheets'}")
    print(f"Open it: observe --logbook {made.logbook}")
    print(f"Director's report: {made.report}")
    print(f"A term of workshops, to try Review on: observe --logbook {made.term}")
    return 0


def _tick(done: int, total: int) -> None:
    if sys.stderr.isatty():
        end = "\n" if done == total else ""
        print(f"\robserve demo: {done} of {total}", end=end, file=sys.stderr, flush=True)
