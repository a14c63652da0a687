"""`observe merge`: take in what other machines wrote."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.domain.foreign import seen, shown_path

if TYPE_CHECKING:
    from observe.work.merging import Merge

DESCRIPTION = """\
Take packets into a logbook: each whole or not at all. In any order, and as often as you like;
what is there already is left as it is. Where two machines wrote on under one id, both tails are
kept apart and nothing of them counts until a person adopts one.
"""

EPILOG = """\
examples:
  observe merge course.observe stick/*.packet --dry-run     what they would bring; keeps nothing
  observe merge course.observe stick/*.packet

exit code: 0 done, 1 a packet is not what was signed or a fork waits, 2 bad input
"""


def add(verbs: argparse._SubParsersAction[Any]) -> None:
    """Register the verb."""
    verb = verbs.add_parser(
        "merge",
        help="take in what other machines wrote",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    verb.add_argument("source", type=Path, metavar="LOGBOOK", help="made if it does not exist")
    verb.add_argument("packets", nargs="+", type=Path, metavar="PACKET")
    verb.add_argument("--dry-run", action="store_true", help="only say what they would bring")
    verb.add_argument("--json", action="store_true", help="print what came as JSON")
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Take packets in, one after another; returns 1 where a fork waits for a person, else 0.

    One that cannot be taken in ends it; those before it are kept.
    """
    from observe.work.logbooks import open_logbook
    from observe.work.merging import merge
    from observe.work.state import state_digest

    told: list[Merge] = []
    with open_logbook(arguments.source, create=True) as logbook:
        for path in arguments.packets:
            told.append(merge(logbook, path, dry=arguments.dry_run))
            if not arguments.json:
                print(_text(told[-1]))
        digest = state_digest(logbook)
    if arguments.json:
        packets = [one.as_record() for one in told]
        record = {"packets": packets, "kept": not arguments.dry_run, "state": digest}
        print(json.dumps(record, ensure_ascii=False, indent=2))
    else:
        print(f"state: {digest}")
    waiting = any(not fork.adopted for one in told for fork in one.forks)
    return 1 if waiting else 0


def _text(told: Merge) -> str:
    lines = [shown_path(str(told.path)), *(f"  {seen(one)}" for one in told.sentences)]
    return "\n".join(lines)
