"""`observe merge`: take in what other machines wrote."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from observe.commands.passphrase import to_open
from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.work.logbooks import Logbook
    from observe.work.merging import Merge

SHORTEST = 8
DESCRIPTION = """\
Take packets into a logbook: each whole or not at all. In any order, and as often as you like;
what is there already is left as it is. Where two machines wrote on under one id, both tails are
kept apart and nothing of them counts until a person adopts one.
"""

EPILOG = """\
examples:
  observe merge course.observe stick/*.packet --dry-run     what they would bring; keeps nothing
  observe merge course.observe stick/*.packet
  observe merge course.observe --adopt 3f9a01c2 --by "Dr Marsh"

exit code: 0 done, 1 a packet is not what was signed or something waits for a person, 2 bad input
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
    verb.add_argument("packets", nargs="*", type=Path, metavar="PACKET")
    verb.add_argument("--by", default="", metavar="NAME", help="who does it")
    verb.add_argument(
        "--adopt",
        default="",
        metavar="TAIL",
        help=f"put the tail of a fork into force; TAIL: {SHORTEST} digits of its hash, or more",
    )
    verb.add_argument("--passphrase-file", type=Path, metavar="FILE", help="for closed packets")
    verb.add_argument("--dry-run", action="store_true", help="only say what they would bring")
    verb.add_argument("--json", action="store_true", help="print what came as JSON")
    verb.set_defaults(handler=handle)


def handle(arguments: argparse.Namespace) -> int:
    """Take packets in, one after another; returns 1 where anything waits for a person, else 0.

    One that cannot be taken in ends it; those before it are kept.
    """
    from observe.work.forks import adopt, tails
    from observe.work.merging import merge
    from observe.work.people import find_person
    from observe.work.state import state_digest

    if not arguments.packets and not arguments.adopt:
        raise BadInput("There is nothing to do.", remedy="Name a packet, or a tail to adopt.")
    if arguments.adopt and arguments.dry_run:
        raise BadInput("What is adopted is kept.", remedy="Leave out --dry-run.")
    told: list[Merge] = []
    with _opened(arguments.source, dry=arguments.dry_run, create=not arguments.adopt) as logbook:
        by = arguments.by and find_person(logbook, arguments.by, among=logbook.names())
        for path in arguments.packets:
            passphrase = to_open(path, arguments.passphrase_file)
            dry = arguments.dry_run
            told.append(merge(logbook, path, by=by, dry=dry, passphrase=passphrase))
            if not arguments.json:
                print(_text(told[-1]))
        if arguments.adopt:
            adopt(logbook, arguments.adopt, by=by)
        held = [one for one in tails(logbook) if not one.fork.adopted]
        digest = state_digest(logbook)
    if arguments.json:
        record = {
            "packets": [one.as_record() for one in told],
            "kept": not arguments.dry_run,
            "waiting": [one.hash for one in held],
            "state": digest,
        }
        print(json.dumps(record, ensure_ascii=False, indent=2))
    else:
        print("\n".join([*(f"tail {seen(one.sentence)}" for one in held), f"state: {digest}"]))
    waiting = held or any(one.waits for one in told)
    return 1 if waiting else 0


@contextmanager
def _opened(path: Path, *, dry: bool, create: bool) -> Iterator[Logbook]:
    """The logbook; for a dry run into one that does not exist an empty one that goes away."""
    from observe.work.logbooks import open_logbook

    if not dry or path.exists():
        with open_logbook(path, create=create) as logbook:
            yield logbook
        return
    with TemporaryDirectory() as folder, open_logbook(Path(folder) / "l", create=True) as logbook:
        yield logbook


def _text(told: Merge) -> str:
    lines = [shown_path(str(told.path)), *(f"  {seen(one)}" for one in told.sentences)]
    return "\n".join(lines)
