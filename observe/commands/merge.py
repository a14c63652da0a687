"""`observe merge`: take in what other machines wrote."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.passphrase import to_open
from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput, Trouble

if TYPE_CHECKING:
    from observe.work.forks import ForkTail
    from observe.work.logbooks import Logbook
    from observe.work.merged import Merge

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
    from observe.work.logbooks import open_trial
    from observe.work.merging import merge
    from observe.work.people import find_person
    from observe.work.state import state_digest

    if not arguments.packets and not arguments.adopt:
        raise BadInput("There is nothing to do.", remedy="Name a packet, or a tail to adopt.")
    if arguments.adopt and arguments.dry_run:
        raise BadInput("What is adopted is kept.", remedy="Leave out --dry-run.")
    told: list[Merge] = []
    by_name = arguments.by
    failed: Trouble | None = None
    opened = open_trial if arguments.dry_run else _opened
    with opened(arguments.source, create=not arguments.adopt) as logbook:
        by = by_name and find_person(logbook, by_name, among=logbook.names())
        for path in arguments.packets:
            try:
                passphrase = to_open(path, arguments.passphrase_file)
                told.append(merge(logbook, path, by=by, passphrase=passphrase))
            except Trouble as trouble:
                failed = trouble
                break
            if not arguments.json:
                print(_text(told[-1]))
        if arguments.adopt and failed is None:
            adopt(logbook, arguments.adopt, by=by)
        held = [one for one in tails(logbook) if not one.fork.adopted]
        known = logbook.log.heads() and not logbook.is_trial
        state = state_digest(logbook) if known else ""
    if arguments.json:
        print(json.dumps(_record(told, held, state, failed), ensure_ascii=False, indent=2))
    else:
        lines = [f"tail {seen(one.sentence)}" for one in held]
        print("\n".join([*lines, *([f"state: {state}"] if told and state else [])]))
    if failed is not None:
        raise failed
    return 1 if held or any(one.waits for one in told) else 0


def _record(
    told: Sequence[Merge], held: Sequence[ForkTail], state: str, failed: Trouble | None
) -> dict[str, Any]:
    """What came, for a program; state: empty where nothing was kept."""
    return {
        "packets": [one.as_record() for one in told],
        "waiting": [one.hash for one in held],
        "state": state or None,
        "failed": failed and {"what": failed.what, "where": failed.where, "remedy": failed.remedy},
    }


@contextmanager
def _opened(path: Path, *, create: bool) -> Iterator[Logbook]:
    """The logbook; one that is made here and stays empty goes away again."""
    from observe.work.logbooks import open_logbook

    if path.exists():
        with open_logbook(path, create=create) as logbook:
            yield logbook
        return
    used = False
    try:
        with open_logbook(path, create=create, passing=True) as logbook:
            yield logbook
            used = logbook.noting = bool(logbook.log.heads())
    finally:
        if not used:
            path.unlink(missing_ok=True)


def _text(told: Merge) -> str:
    lines = [shown_path(str(told.path)), *(f"  {seen(one)}" for one in told.sentences)]
    return "\n".join(lines)
