"""`observe sheet`: a workshop's sheets issued, printed, countersigned, and who still lacks one."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.passphrase import open_key, passphrase_from
from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.domain.workshop import Seat, Workshop
    from observe.work.logbooks import Logbook
    from observe.work.press import Press

DESCRIPTION = """\
The signed sheets of a workshop. “issue” makes those that can be made, each a file of its own,
none written over; a later one replaces an earlier one and says so. “list” says what each learner
still lacks today. “print” puts those that stand into one file for the printer.
"""

EPILOG = """\
examples:
  observe sheet issue course.observe sheets/ --by "Dr Marsh"
  observe sheet issue course.observe sheets/ --by "Dr Marsh" --sign   sign open decisions too
  observe sheet issue course.observe sheets/ --by "Dr Marsh" --seat 3 --why "The name was wrong."
  observe sheet list course.observe
  observe sheet print course.observe sheets/ all.pdf
  observe sheet handed course.observe sheets/ --seat 3 --by "Dr Marsh"
  observe sheet read course.observe sheets/ --seat 3 --by "Dr Marsh" --response "Seen, thank you."
  observe sheet countersign course.observe sheets/ --seat 3 --by "Ben Ito" --as observed

exit code: 0 done, 1 somebody still lacks something, 2 bad input or refused
"""

DEEDS = (
    ("issue", "make and sign the sheets that can be made"),
    ("list", "what each learner still lacks today"),
    ("print", "the sheets that stand in one file for the printer"),
    ("handed", "keep that a sheet was handed over"),
    ("printed", "keep that a sheet was printed"),
    ("read", "keep that a learner has seen their sheet; the department signs that"),
    ("countersign", "sign a sheet that stands as second observer or director"),
)


def add(verbs: argparse._SubParsersAction[Any]) -> None:
    """Register the verb."""
    verb = verbs.add_parser(
        "sheet",
        help="issue, print and countersign the sheets of a workshop",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    deeds = verb.add_subparsers(title="what", metavar="DEED", required=True)
    for deed, said in DEEDS:
        one = deeds.add_parser(deed, help=said, description=said.capitalize() + ".")
        one.add_argument("source", type=Path, metavar="LOGBOOK")
        if deed != "list":
            one.add_argument("folder", type=Path, metavar="FOLDER", help="where the sheets are")
        if deed == "print":
            one.add_argument("file", type=Path, metavar="FILE", help="the file to write")
        _add_options(one, deed)
        one.set_defaults(handler=handle, deed=deed)


def _add_options(one: argparse.ArgumentParser, deed: str) -> None:
    one.add_argument("--workshop", default="", metavar="TITLE-OR-ID")
    one.add_argument("--paper", default="A4", choices=("A4", "Letter"))
    if deed not in ("list", "print"):
        one.add_argument("--by", required=True, metavar="NAME", help="who does it")
        one.add_argument("--seat", type=int, metavar="N", required=deed != "issue")
    if deed == "issue":
        one.add_argument("--sign", action="store_true", help="sign open decisions first")
        one.add_argument("--why", default="", metavar="TEXT", help="what a later sheet corrects")
    if deed == "read":
        one.add_argument("--response", default="", metavar="TEXT", help="the learner's own words")
        one.add_argument("--unsigned", action="store_true", help="without the department's key")
    if deed == "countersign":
        one.add_argument("--as", dest="part", required=True, choices=("observed", "directed"))
    if deed in ("issue", "read", "countersign"):
        one.add_argument("--passphrase-file", type=Path, metavar="FILE", help="of the key")
    one.add_argument("--json", action="store_true", help="print it as JSON")


Told = tuple[dict[str, Any], list[str], int]


def handle(arguments: argparse.Namespace) -> int:
    """Do what was asked and say it."""
    from observe.work.logbooks import open_logbook
    from observe.work.paper import find_workshop
    from observe.work.press import Press

    with open_logbook(arguments.source) as logbook:
        workshop = find_workshop(logbook, arguments.workshop)
        folder = getattr(arguments, "folder", logbook.path.parent)
        press = Press(logbook, workshop, folder, paper=arguments.paper)
        record, lines, code = _DEEDS[arguments.deed](press, arguments)
    if arguments.json:
        print(json.dumps(record, ensure_ascii=False, indent=2))
    else:
        print("\n".join(seen(line) for line in lines))
    return code


def _issue(press: Press, arguments: argparse.Namespace) -> Told:
    from observe.work.debrief import attempt_result, sign_decision, standing_signature
    from observe.work.printing import issue_all

    logbook, workshop = press.logbook, press.workshop
    by = _person(logbook, arguments.by)
    open_key(logbook, by, arguments.passphrase_file)
    if arguments.seat is not None:
        seat = _seat(workshop, arguments.seat)
        result = attempt_result(logbook, workshop, seat)
        unsigned = result.outcome is not None and standing_signature(logbook, result) is None
        if arguments.sign and unsigned:
            sign_decision(logbook, workshop, result, by=by)
        path = press.issue(result, by=by, why=arguments.why)
        return {"made": [_made(seat, path)]}, [shown_path(str(path))], 0
    done = issue_all(logbook, workshop, press, by=by, sign=arguments.sign, tick=_tick)
    record = {
        "made": [_made(*one) for one in done.made],
        "stood": [_made(*one) for one in done.stood],
        "left": [{"seat": seat.number, "why": why} for seat, why in done.left],
    }
    names = logbook.names()
    lines = [f"Made: {shown_path(str(path))}" for _, path in done.made]
    lines += [f"Stands: {shown_path(str(path))}" for _, path in done.stood]
    lines += [
        f"Not made, seat {seat.number}, {names.get(seat.learner, seat.learner)}: {why}"
        for seat, why in done.left
    ]
    return record, lines, 1 if done.left else 0


def _tick(done: int, total: int) -> None:
    if sys.stderr.isatty():
        print(f"\r{done} of {total}", end="\n" if done == total else "", file=sys.stderr)


def _made(seat: Seat, path: Path) -> dict[str, Any]:
    return {"seat": seat.number, "attempt": seat.attempt, "file": str(path)}


def _list(press: Press, _: argparse.Namespace) -> Told:
    from observe.work.issued import Lack, lacking

    names = press.logbook.names()
    found = lacking(press.logbook, press.workshop)
    record = {
        "learners": [
            {
                "seat": seat.number,
                "learner": names.get(seat.learner, seat.learner),
                "lacks": lack.value,
            }
            for seat, lack in found
        ]
    }
    lines = [
        f"{seat.number:2}  {names.get(seat.learner, seat.learner)}: {lack.value}"
        for seat, lack in found
    ]
    waits = any(lack is not Lack.NOTHING for _, lack in found)
    return record, lines, 1 if waits else 0


def _print(press: Press, arguments: argparse.Namespace) -> Told:
    from observe.work.printing import print_together

    count = print_together(press, arguments.file)
    said = f"{count} sheets in {shown_path(str(arguments.file))}; it is for paper and not signed."
    return {"file": str(arguments.file), "sheets": count}, [said], 0


def _handled(press: Press, arguments: argparse.Namespace) -> Told:
    from observe.work.issued import Handled

    way = Handled.PRINTED if arguments.deed == "printed" else Handled.HANDED_OVER
    seat = _seat(press.workshop, arguments.seat)
    press.handle(seat, way, by=_person(press.logbook, arguments.by))
    return {"seat": seat.number, "way": way.value}, [f"Kept: {way.value}."], 0


def _read(press: Press, arguments: argparse.Namespace) -> Told:
    seat, by = _seat(press.workshop, arguments.seat), _person(press.logbook, arguments.by)
    asked = "" if arguments.unsigned else "Passphrase of the department's daily key: "
    passphrase = passphrase_from(arguments.passphrase_file, asked) if asked else ""
    path = press.acknowledge(seat, response=arguments.response, passphrase=passphrase, by=by)
    said = f"Signed by the department: {shown_path(str(path))}" if path else "Nothing was signed."
    return {"seat": seat.number, "file": str(path) if path else None}, [f"Kept: seen. {said}"], 0


def _countersign(press: Press, arguments: argparse.Namespace) -> Told:
    from observe.sheets.content import Part

    seat, by = _seat(press.workshop, arguments.seat), _person(press.logbook, arguments.by)
    open_key(press.logbook, by, arguments.passphrase_file)
    path = press.countersign(seat, Part(arguments.part), by=by)
    return {"seat": seat.number, "file": str(path)}, [shown_path(str(path))], 0


_DEEDS = {
    "issue": _issue,
    "list": _list,
    "print": _print,
    "handed": _handled,
    "printed": _handled,
    "read": _read,
    "countersign": _countersign,
}


def _seat(workshop: Workshop, number: int) -> Seat:
    for seat in workshop.seats:
        if seat.number == number:
            return seat
    raise BadInput(
        f"This workshop has no seat {number}.",
        where="--seat",
        remedy=f"Its seats are 1 to {max((one.number for one in workshop.seats), default=0)}.",
    )


def _person(logbook: Logbook, named: str) -> str:
    from observe.work.people import find_person

    return find_person(logbook, named, among=logbook.names())
