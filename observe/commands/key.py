"""`observe key`: whose keys are known here, and a department that confirms them."""

from __future__ import annotations

import argparse
import json
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.commands.passphrase import open_key, passphrase_from
from observe.domain.foreign import seen
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.work.department import Request
    from observe.work.logbooks import Logbook

DESCRIPTION = """\
Everybody's first key is their own and confirmed by nobody. A department confirms keys: it is
founded once, its root is put away on a stick, and its daily key answers the requests that come
in packets. Each machine confirms the department itself, by comparing its fingerprint.
"""

EPILOG = """\
examples:
  observe key found course.observe "Department of Acute Care" --to /media/stick
  observe key request course.observe --by "Ben Ito"          then send a packet
  observe key requests course.observe                        on the department's machine
  observe key answer course.observe "Ben Ito" --by "Dr Marsh"
  observe key pin course.observe 4f1c22a09b3e77d1            on every other machine, once
  observe key revoke course.observe "Ben Ito" --since 2026-03-02 --by "Dr Marsh"
  observe key list course.observe
  observe key close course.observe --by "Ben Ito"      a passphrase for one's own key
  observe key recover course.observe --by "Ben Ito"    where it was forgotten
  observe key renew course.observe --by "Ben Ito"      a new key in place of the old one
  observe key back-up course.observe /media/stick --by "Ben Ito"
  observe key restore course.observe /media/stick --by "Ben Ito"

Closing a key shows its recovery key once: print it or write it down, and put it away. It is the
only thing that opens the key when the passphrase is forgotten.

Passphrases are asked for; --passphrase-file takes the first line of a file instead.

exit code: 0 done, 2 bad input or refused
"""


def add(verbs: argparse._SubParsersAction[Any]) -> None:
    """Register the verb."""
    verb = verbs.add_parser(
        "key",
        help="whose keys are known, and a department that confirms them",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    deeds = verb.add_subparsers(title="what", metavar="DEED", required=True)
    for deed, said in (
        ("found", "found a department"),
        ("request", "ask that a person's key be confirmed"),
        ("requests", "what waits for an answer"),
        ("answer", "confirm a key"),
        ("pin", "confirm a department on this machine"),
        ("revoke", "revoke a person's keys from a day on"),
        ("list", "departments, and what they confirmed"),
        ("close", "close one's own key with a passphrase"),
        ("recover", "open one's own key with its recovery key, and close it anew"),
        ("renew", "a new key in place of one's own"),
        ("back-up", "copy one's own closed key to a folder"),
        ("restore", "take a backed-up key back"),
    ):
        one = deeds.add_parser(deed, help=said, description=said.capitalize() + ".")
        one.add_argument("source", type=Path, metavar="LOGBOOK")
        _add_arguments(one, deed)
        one.add_argument("--json", action="store_true", help="print it as JSON")
        one.set_defaults(handler=handle, deed=deed)


def _add_arguments(one: argparse.ArgumentParser, deed: str) -> None:
    if deed == "found":
        one.add_argument("name", metavar="NAME", help="the department's")
        one.add_argument("--to", type=Path, required=True, metavar="FOLDER", help="for the root")
    if deed in ("answer", "revoke"):
        one.add_argument("person", metavar="NAME", help="whose key")
    if deed == "pin":
        one.add_argument("fingerprint", metavar="FINGERPRINT", help="16 digits of it, or more")
    if deed in ("back-up", "restore"):
        one.add_argument("folder", type=Path, metavar="FOLDER")
    if deed == "recover":
        one.add_argument("--recovery-file", type=Path, metavar="FILE")
    if deed in ("request", "answer", "revoke", *OWN):
        one.add_argument("--by", required=True, metavar="NAME", help="who does it")
    if deed == "revoke":
        one.add_argument("--since", required=True, metavar="DATE", help="such as 2026-03-02")
    if deed in ("found", "answer", "revoke", "close", "recover", "renew"):
        one.add_argument("--passphrase-file", type=Path, metavar="FILE")


def handle(arguments: argparse.Namespace) -> int:
    """Do what was asked and say it; returns 0."""
    from observe.work.logbooks import open_logbook

    with open_logbook(arguments.source) as logbook:
        record, lines = _DEEDS[arguments.deed](logbook, arguments)
    if arguments.json:
        print(json.dumps(record, ensure_ascii=False, indent=2))
    else:
        print("\n".join(seen(line) for line in lines))
    return 0


Told = tuple[dict[str, Any], list[str]]


def _found(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    from observe.work.department import found_department
    from observe.work.known import keys_of

    made = found_department(
        keys_of(logbook),
        arguments.name,
        arguments.to,
        passphrase=passphrase_from(arguments.passphrase_file, "Passphrase of the daily key: "),
        at=datetime.now(UTC),
    )
    record = {
        "root": str(made.root),
        "daily": str(made.daily),
        "recovery_key": made.recovery_key,
        "fingerprint": made.fingerprint,
    }
    lines = [
        f"The department is founded. Its fingerprint: {made.fingerprint}",
        f"Its root: {made.root}. Put this away; it is needed when the daily key is lost.",
        f"What opens the root, kept nowhere else: {made.recovery_key}",
        "Print or write it down now, and put it away apart from the stick.",
    ]
    return record, lines


def _request(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    from observe.work.department import ask

    asked = ask(logbook, _person(logbook, arguments.by))
    lines = ["The request is kept; the next packet carries it.", f"Key: {asked.fingerprint}"]
    return {"person": asked.person, "key": asked.fingerprint}, lines


def _requests(logbook: Logbook, _: argparse.Namespace) -> Told:
    from observe.work.department import requests

    found = requests(logbook)
    record = {"requests": [{"person": one.person, "key": one.fingerprint} for one in found]}
    lines = [f"{one.name}: {one.fingerprint}, asked {one.at[:10]}" for one in found]
    return record, lines or ["Nothing waits for an answer."]


def _answer(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    from observe.work.department import answer_request

    by, person = _person(logbook, arguments.by), _person(logbook, arguments.person)
    asked = _waiting(logbook, person)
    passphrase = passphrase_from(arguments.passphrase_file, "Passphrase of the daily key: ")
    answer_request(logbook, asked, passphrase=passphrase, by=by)
    said = [f"The key {asked.fingerprint[:16]} of {asked.name} is confirmed; a packet carries it."]
    return {"person": person, "key": asked.fingerprint}, said


def _waiting(logbook: Logbook, person: str) -> Request:
    from observe.work.department import requests

    found = [one for one in requests(logbook) if one.person == person]
    if not found:
        raise BadInput(
            "Nothing of this person waits for an answer.",
            where=person,
            remedy="“observe key requests” lists what does.",
        )
    return found[-1]


def _pin(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    from observe.work.known import pin_department

    done = pin_department(logbook, arguments.fingerprint)
    record = {"department": done.name, "fingerprint": done.fingerprint}
    return record, [f"“{done.name}” is confirmed on this machine."]


def _revoke(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    from observe.work.department import revoke_keys

    by, person = _person(logbook, arguments.by), _person(logbook, arguments.person)
    try:
        since = datetime.fromisoformat(arguments.since)
    except ValueError as error:
        raise BadInput(
            "This is no date.", where=arguments.since, remedy="Write it as 2026-03-02."
        ) from error
    since = since if since.tzinfo else since.replace(tzinfo=UTC)
    passphrase = passphrase_from(arguments.passphrase_file, "Passphrase of the daily key: ")
    revoke_keys(logbook, person, since=since, passphrase=passphrase, by=by)
    said = f"The keys of {arguments.person} are revoked from {since:%Y-%m-%d} on."
    return {"person": person, "since": since.isoformat()}, [said, "A packet carries it."]


def _list(logbook: Logbook, _: argparse.Namespace) -> Told:
    from observe.work.known import answered_keys, departments

    known, keys = departments(logbook), answered_keys(logbook)
    names = logbook.names()
    record = {
        "departments": [
            {"name": one.name, "fingerprint": one.fingerprint, "pinned": one.pinned}
            for one in known
        ],
        "confirmed": [one.person for one in keys if one.standing.is_trusted],
        "keys": [
            {
                "person": one.person,
                "key": one.key,
                "known": one.standing.trust.value,
                "known_as": one.standing.sentence,
            }
            for one in keys
        ],
    }
    lines = [
        f"{one.name}: {'confirmed here' if one.pinned else 'not confirmed here'}, {one.fingerprint}"
        for one in known
    ]
    lines += [
        f"{names.get(one.person, one.person)}, key {one.key[:16]}: {one.standing.sentence}"
        for one in keys
    ]
    return record, lines or ["No department is known here."]


def _close(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    person, at = _person(logbook, arguments.by), datetime.now().astimezone()
    open_key(logbook, person, None)
    passphrase = passphrase_from(arguments.passphrase_file, "New passphrase: ")
    recovery = logbook.keys.close(person, arguments.by, passphrase, at)
    return _closed(person, recovery)


def _recover(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    person, at = _person(logbook, arguments.by), datetime.now().astimezone()
    recovery = passphrase_from(arguments.recovery_file, "Recovery key: ")
    passphrase = passphrase_from(arguments.passphrase_file, "New passphrase: ")
    new = logbook.keys.recover(person, arguments.by, recovery, passphrase, at)
    return _closed(person, new)


def _renew(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    person, at = _person(logbook, arguments.by), datetime.now().astimezone()
    name = logbook.names().get(person, person)
    passphrase = passphrase_from(arguments.passphrase_file, "Passphrase: ")
    if logbook.keys.needs_passphrase(person, at):
        logbook.keys.unlock(person, passphrase, at)
    key, recovery = logbook.keys.rotate(person, name, passphrase, at)
    record, lines = _closed(person, recovery)
    said = f"A new key stands in place of the old one: {key.fingerprint[:16]}. Ask that it be "
    return record | {"key": key.fingerprint}, [said + "confirmed: “observe key request”.", *lines]


def _closed(person: str, recovery: str) -> Told:
    lines = [
        "The key is closed. It opens with its passphrase, once a day.",
        f"Its recovery key, kept nowhere else: {recovery}",
        "Print it or write it down now, and put it away.",
    ]
    return {"person": person, "recovery_key": recovery}, lines


def _back_up(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    made = logbook.keys.back_up(_person(logbook, arguments.by), arguments.folder)
    return {"files": [str(one) for one in made]}, [f"Copied: {one}" for one in made]


def _restore(logbook: Logbook, arguments: argparse.Namespace) -> Told:
    person = _person(logbook, arguments.by)
    logbook.keys.restore(person, arguments.folder)
    return {"person": person}, ["The key is here again; it opens with its passphrase."]


OWN = ("close", "recover", "renew", "back-up", "restore")
"""What somebody does with their own key."""
_DEEDS = {
    "found": _found,
    "request": _request,
    "requests": _requests,
    "answer": _answer,
    "pin": _pin,
    "revoke": _revoke,
    "list": _list,
    "close": _close,
    "recover": _recover,
    "renew": _renew,
    "back-up": _back_up,
    "restore": _restore,
}


def _person(logbook: Logbook, named: str) -> str:
    from observe.work.people import find_person

    return find_person(logbook, named, among=logbook.names())
