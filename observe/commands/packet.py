"""`observe packet`: carry a workshop to another machine, or what was recorded in it, as a file."""

from __future__ import annotations

import argparse
import json
import sys
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.passphrase import open_key, passphrase_from, to_open
from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput
from observe.domain.words import counted

if TYPE_CHECKING:
    from observe.work.packets import Sent

DESCRIPTION = """\
A packet is a signed file. “plan” makes another machine ready for a workshop: roster, seats,
forms, observers, second looks. “record” carries what was recorded: all of it, one observer's,
or one learner's. “look” says what a packet is, and whose, without taking it in. What another
machine wrote is taken in with “observe merge”. No network is used, and no file is replaced.
"""

EPILOG = """\
examples:
  observe packet plan course.observe stick/plan.packet --by "Dr Marsh"
  observe packet record course.observe stick/marsh.packet --by "Dr Marsh"
  observe packet record course.observe lina.packet --by "Dr Marsh" --learner "Lina One"
  observe packet record course.observe post.packet --by "Dr Marsh" --close
  observe packet look stick/marsh.packet

Marks of an attempt with a second look stay on this machine until all who watch it have sealed
here: take their packet in first, then write yours again.

exit code: 0 done, 1 a packet is not what was signed, 2 bad input, or the machine is in the way
"""


def add(verbs: argparse._SubParsersAction[Any]) -> None:
    """Register the verb."""
    verb = verbs.add_parser(
        "packet",
        help="carry a workshop or its records to another machine",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    deeds = verb.add_subparsers(title="what", metavar="plan|record|look", required=True)
    for deed, said in (
        ("plan", "what makes another machine ready"),
        ("record", "what was recorded"),
    ):
        one = deeds.add_parser(deed, help=said, description=said.capitalize() + ".")
        one.add_argument("source", type=Path, metavar="LOGBOOK")
        one.add_argument("file", type=Path, metavar="FILE", help="the packet to write")
        one.add_argument("--by", required=True, metavar="NAME", help="which observer writes it")
        one.add_argument(
            "--workshop",
            default="",
            metavar="TITLE-OR-ID",
            help="which one, where there are several",
        )
        one.add_argument("--close", action="store_true", help="close it with a passphrase")
        one.add_argument(
            "--passphrase-file", type=Path, metavar="FILE", help="holds the passphrase to close it"
        )
        one.add_argument(
            "--key-file", type=Path, metavar="FILE", help="holds the passphrase of the key"
        )
        one.add_argument("--json", action="store_true", help="print what was written as JSON")
        one.set_defaults(handler=handle, deed=deed, observer="", learner="")
        if deed == "record":
            whose = one.add_mutually_exclusive_group()
            whose.add_argument("--observer", default="", metavar="NAME", help="only their records")
            whose.add_argument("--learner", default="", metavar="NAME", help="only their attempts")
    look = deeds.add_parser("look", help="what a packet is, and whose")
    look.add_argument("file", type=Path, metavar="FILE")
    look.add_argument("--passphrase-file", type=Path, metavar="FILE", help="for a closed one")
    look.add_argument(
        "--against",
        type=Path,
        metavar="LOGBOOK",
        help="a logbook whose keys are known (default: the keys beside your own)",
    )
    look.add_argument("--json", action="store_true", help="print it as JSON")
    look.set_defaults(handler=handle_look)


def handle(arguments: argparse.Namespace) -> int:
    """Write a packet and say what is in it; returns 0."""
    from observe.work.logbooks import open_logbook
    from observe.work.packets import LEARNER, OBSERVER, Scope, send_plan, send_record
    from observe.work.paper import find_workshop
    from observe.work.people import find_person

    with open_logbook(arguments.source) as logbook:
        workshop = find_workshop(logbook, arguments.workshop)
        by = find_person(logbook, arguments.by, among=workshop.observers)
        open_key(logbook, by, arguments.key_file)
        passphrase = _to_close(arguments)
        if arguments.deed == "plan":
            sent = send_plan(logbook, workshop, arguments.file, by=by, passphrase=passphrase)
        else:
            scope = Scope()
            learners = [seat.learner for seat in workshop.seats]
            if arguments.observer:
                of = find_person(logbook, arguments.observer, among=workshop.observers)
                scope = Scope(OBSERVER, of)
            elif arguments.learner:
                scope = Scope(LEARNER, find_person(logbook, arguments.learner, among=learners))
            sent = send_record(
                logbook, workshop, arguments.file, by=by, scope=scope, passphrase=passphrase
            )
    print(_json(sent) if arguments.json else _text(sent))
    return 0


def handle_look(arguments: argparse.Namespace) -> int:
    """Say what a packet is; returns 0. Raises Doubtful where it is not what was signed."""
    from observe.work.logbooks import open_logbook
    from observe.work.looking_into import look_into

    with ExitStack() as stack:
        against = arguments.against and stack.enter_context(
            open_logbook(arguments.against, read_only=True)
        )
        passphrase = to_open(arguments.file, arguments.passphrase_file)
        told = look_into(arguments.file, against, passphrase=passphrase)
    if arguments.json:
        print(json.dumps(told.as_record(), ensure_ascii=False, indent=2))
    else:
        lines = [shown_path(str(arguments.file)), *(f"  {seen(one)}" for one in told.sentences)]
        print("\n".join(lines))
    return 0


def _to_close(arguments: argparse.Namespace) -> str:
    """The passphrase to close a packet with; empty for one that stays open."""
    if not (arguments.close or arguments.passphrase_file):
        return ""
    passphrase = passphrase_from(arguments.passphrase_file, "Passphrase for the packet: ")
    if arguments.passphrase_file is None and passphrase != passphrase_from(None, "Once more: "):
        raise BadInput("The two are not the same.", remedy="Type the passphrase twice alike.")
    return passphrase


def _text(sent: Sent) -> str:
    lines = [shown_path(str(sent.path))]
    lines.append(f"  A {sent.manifest.kind} packet, signed by {seen(sent.manifest.name)}.")
    if sent.withheld:
        count = counted(len(sent.withheld), "attempt")
        lines.append(
            f"  The marks of {count} with a second look stay here until all who watch have "
            "sealed: take the other observer's packet in, then write this one again."
        )
    if not sys.stdout.isatty():
        lines.append(f"  SHA-256 of its manifest: {sent.digest}")
    return "\n".join(lines)


def _json(sent: Sent) -> str:
    record = {
        "file": str(sent.path),
        "packet": sent.digest,
        "kind": sent.manifest.kind,
        "scope": sent.manifest.scope,
        "of": sent.manifest.of,
        "by": sent.manifest.by,
        "withheld": [seat.attempt for seat in sent.withheld],
    }
    return json.dumps(record, ensure_ascii=False, indent=2)
