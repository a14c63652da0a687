"""`observe settle`: what waits for a person after machines met, and what that person says."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.domain.foreign import seen
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.domain.workshop import Seat, Workshop
    from observe.work.logbooks import Logbook

DESCRIPTION = """\
What machines that met cannot settle by themselves waits for a named person: whether two learners
or two attempts are one, whose marks count where two machines wrote at once, what becomes of an
attempt on which the observers differ, a second look that nobody will take. Nothing is undone.
"""

EPILOG = """\
examples:
  observe settle list course.observe
  observe settle learner course.observe learner-4f1c learner-a09b --by "Dr Marsh"
  observe settle attempt course.observe a-3f9a01c2 a-77d1b0aa --by "Dr Marsh"
  observe settle writer course.observe a-3f9a01c2 "Ben Ito" 5be00f4d --by "Dr Marsh"
  observe settle ruling course.observe a-3f9a01c2 --outcome pass --no-conflict \\
      --reason "Both were asked, and the film was watched." --by "Dr Sol"
  observe settle overrule course.observe a-3f9a01c2 --outcome remediate \
      --reason "The film shows the field broken." --by "Dr Sol"
  observe settle exchange course.observe a-3f9a01c2 a-77d1b0aa \
      --reason "They sat at each other's seats." --by "Dr Marsh"
  observe settle drop course.observe a-3f9a01c2 --reason "Ben fell ill." --by "Dr Marsh"

Ids may be shortened as long as one alone fits; “list” shows them. The tail of a fork is put into
force with “observe merge --adopt”.

exit code: 0 done, or nothing waits; 1 something waits; 2 bad input or refused
"""
DEEDS = (
    ("list", "what waits for a person"),
    ("learner", "two learners are one person"),
    ("attempt", "two attempts are one, seen by two observers"),
    ("writer", "whose marks count where two machines wrote at once"),
    ("ruling", "decide an attempt on which the observers differ"),
    ("overrule", "overrule a decision, as a director who did not watch"),
    ("exchange", "two sealed attempts were made by each other's learners"),
    ("drop", "give up a second look that nobody will seal"),
    ("restore", "take a second look back in that was given up"),
)
REASONED = ("ruling", "overrule", "exchange", "drop", "restore")


def add(verbs: argparse._SubParsersAction[Any]) -> None:
    """Register the verb."""
    verb = verbs.add_parser(
        "settle",
        help="what waits for a person after machines met",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    deeds = verb.add_subparsers(title="what", metavar="DEED", required=True)
    for deed, said in DEEDS:
        one = deeds.add_parser(deed, help=said, description=said.capitalize() + ".")
        one.add_argument("source", type=Path, metavar="LOGBOOK")
        if deed in ("learner", "attempt"):
            one.add_argument("kept", metavar="KEPT", help=f"the {deed} whose id stays")
            one.add_argument("other", metavar="OTHER", help=f"the {deed} that is the same")
        elif deed != "list":
            one.add_argument("attempt", metavar="ATTEMPT")
        if deed == "exchange":
            one.add_argument("other", metavar="OTHER", help="the other attempt")
        if deed == "overrule":
            one.add_argument("--outcome", choices=("pass", "remediate"), required=True)
        if deed == "writer":
            one.add_argument("observer", metavar="OBSERVER", help="whose marks, by id or name")
            one.add_argument("device", metavar="DEVICE", help="of the machine that counts")
        if deed == "ruling":
            _add_ruling(one)
        if deed in REASONED:
            one.add_argument("--reason", required=True, metavar="TEXT", help="why, in a sentence")
        if deed != "list":
            one.add_argument("--by", required=True, metavar="NAME", help="who decides; it is kept")
        one.add_argument("--json", action="store_true", help="print what waits now as JSON")
        one.set_defaults(handler=handle, deed=deed)


def _add_ruling(one: argparse.ArgumentParser) -> None:
    one.add_argument(
        "--outcome", choices=("pass", "remediate"), help="where findings leave it open"
    )
    one.add_argument(
        "--fatal", action="append", default=[], metavar="ITEM", help="a contested item that stands"
    )
    one.add_argument(
        "--not-fatal", action="append", default=[], metavar="ITEM", help="one that does not stand"
    )
    one.add_argument(
        "--no-conflict",
        action="store_true",
        help="whoever rules declares that no interest of theirs is in the way",
    )


def handle(arguments: argparse.Namespace) -> int:
    """Do what was asked and say what waits now; returns 1 where anything does after “list”."""
    from observe.work.logbooks import open_logbook
    from observe.work.naming import person_named
    from observe.work.wanted import wanted
    from observe.work.wanted_text import Telling, further, sentences

    listing = arguments.deed == "list"
    with open_logbook(arguments.source, read_only=listing) as logbook:
        if not listing:
            _check(logbook, arguments)
            by = person_named(logbook, arguments.by)
            _DEEDS[arguments.deed](logbook, arguments, by)
        found, telling = wanted(logbook), Telling(logbook.names(), ids=True)
    if arguments.json:
        print(json.dumps(found.as_record(), ensure_ascii=False, indent=2))
    else:
        said = [*sentences(found, telling), *further(found, telling)]
        print("\n".join(map(seen, said or ["Nothing waits for anybody."])))
    return 1 if listing and found.count else 0


def _check(logbook: Logbook, arguments: argparse.Namespace) -> None:
    """Refuse what is not there before anybody new is named."""
    if arguments.deed == "learner":
        for one in (arguments.kept, arguments.other):
            _learner(logbook, one)
    elif arguments.deed == "attempt":
        for one in (arguments.kept, arguments.other):
            _seat(logbook, one)
    else:
        _seat(logbook, arguments.attempt)
        if arguments.deed == "exchange":
            _seat(logbook, arguments.other)


def _learners(logbook: Logbook, arguments: argparse.Namespace, by: str) -> None:
    from observe.work.linking import link_learners

    workshop, kept = _learner(logbook, arguments.kept)
    _, other = _learner(logbook, arguments.other)
    link_learners(logbook, workshop, other, kept, by=by)


def _attempts(logbook: Logbook, arguments: argparse.Namespace, by: str) -> None:
    from observe.work.linking import link_attempts

    workshop, kept = _seat(logbook, arguments.kept)
    _, other = _seat(logbook, arguments.other)
    link_attempts(logbook, workshop, other, kept, by=by)


def _writer(logbook: Logbook, arguments: argparse.Namespace, by: str) -> None:
    from observe.work.forks import choose_writer
    from observe.work.people import find_person

    _, seat = _seat(logbook, arguments.attempt)
    observer = find_person(logbook, arguments.observer, among=seat.observers)
    id_ = seat.observation_of(observer)
    devices = [one.device for one in logbook.writers(id_)]
    choose_writer(logbook, id_, _one(arguments.device, devices, "machine"), by=by)


def _ruling(logbook: Logbook, arguments: argparse.Namespace, by: str) -> None:
    from observe.domain.adjudication import Ruling
    from observe.domain.decision import Outcome
    from observe.work.adjudicating import adjudicate

    workshop, seat = _seat(logbook, arguments.attempt)
    outcome = Outcome(arguments.outcome) if arguments.outcome else None
    found = frozenset(arguments.fatal), frozenset(arguments.not_fatal)
    ruling = Ruling(outcome, *found, "", by)
    reason, declared = arguments.reason, arguments.no_conflict
    adjudicate(logbook, workshop, seat, ruling, reason=reason, no_conflict=declared)


def _overrule(logbook: Logbook, arguments: argparse.Namespace, by: str) -> None:
    from observe.domain.decision import Outcome
    from observe.work.overruling import overrule

    outcome, place = Outcome(arguments.outcome), _seat(logbook, arguments.attempt)
    overrule(logbook, *place, outcome, reason=arguments.reason, by=by)


def _exchange(logbook: Logbook, arguments: argparse.Namespace, by: str) -> None:
    from observe.work.reattributing import reattribute

    workshop, one = _seat(logbook, arguments.attempt)
    _, other = _seat(logbook, arguments.other)
    reattribute(logbook, workshop, one, other, reason=arguments.reason, by=by)


def _drop(logbook: Logbook, arguments: argparse.Namespace, by: str) -> None:
    from observe.work.dropping import drop_look

    drop_look(logbook, *_seat(logbook, arguments.attempt), reason=arguments.reason, by=by)


def _restore(logbook: Logbook, arguments: argparse.Namespace, by: str) -> None:
    from observe.work.dropping import restore_look

    restore_look(logbook, *_seat(logbook, arguments.attempt), reason=arguments.reason, by=by)


_DEEDS = {
    "learner": _learners,
    "attempt": _attempts,
    "writer": _writer,
    "ruling": _ruling,
    "overrule": _overrule,
    "exchange": _exchange,
    "drop": _drop,
    "restore": _restore,
}


def _seat(logbook: Logbook, named: str) -> tuple[Workshop, Seat]:
    workshops = logbook.workshops().values()
    known = {id_: (one, seat) for one in workshops for seat in one.seats for id_ in seat.attempts}
    return known[_one(named, known, "attempt")]


def _learner(logbook: Logbook, named: str) -> tuple[Workshop, str]:
    workshops = logbook.workshops().values()
    known = {seat.learner: one for one in workshops for seat in one.seats}
    found = _one(named, known, "learner")
    return known[found], found


def _one(named: str, known: Any, what: str) -> str:  # noqa: ANN401 - any collection of ids
    """The id that begins as was typed. Raises BadInput where that is none or several."""
    wanted = named.strip()
    found = [one for one in known if one == wanted] or [
        one for one in known if wanted and one.startswith(wanted)
    ]
    if len(found) == 1:
        return str(found[0])
    raise BadInput(
        f"{'Several ids begin' if found else f'No {what} here has an id that begins'} like this.",
        where=named,
        remedy="“observe settle list” shows what waits, with ids.",
    )
