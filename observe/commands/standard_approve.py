"""`observe standard approve` and `approved`: a department's cut for a form, in its logbook."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.foreign import one_line
from observe.domain.standard import Approved, Rounding
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.work.logbooks import Logbook

DEEDS = ("approve", "approved", "withdraw")
NEEDED = ("form", "result", "round", "by", "effective")


def add_approving(verb: argparse.ArgumentParser) -> None:
    """Add what `approve` takes to the verb."""
    group = verb.add_argument_group("logbooks")
    group.add_argument(
        "--form", metavar="FORM", help="approve: the form's file; of a logbook's attempts: its id"
    )
    group.add_argument("--variant", metavar="ID", help="the form's variant, where it has any")
    group.add_argument(
        "--result", type=Path, metavar="FILE.json", help="what a method said with --json"
    )
    group.add_argument(
        "--round", choices=[one.value for one in Rounding], help="in which direction to round"
    )
    group.add_argument("--places", type=int, metavar="N", help="decimals of the cut (default: 1)")
    group.add_argument("--by", metavar="NAME", help="who approves it")
    group.add_argument("--effective", metavar="DAY", help="from which day on, as 2026-09-01")
    group.add_argument("--standard", default="", metavar="ID", help="withdraw: which one")
    group.add_argument("--reason", default="", metavar="TEXT", help="withdraw: why")


def refuse_approving(arguments: argparse.Namespace) -> None:
    """Raise BadInput where a method is given what only `approve` takes."""
    options = [name for name in (*NEEDED, "places") if name != "form"]
    given = [f"--{name}" for name in options if getattr(arguments, name) is not None]
    if given:
        raise BadInput(
            "A method computes a cut; it does not approve one.",
            where=", ".join(given),
            remedy="Leave it out, or name “approve” and a logbook.",
        )


def handle_deed(arguments: argparse.Namespace) -> int:
    """Approve a standard, or list those approved; returns 0.

    Raises BadInput for what is missing or cannot be read, Refused for a day that is past.
    """
    from observe.work.logbooks import open_logbook

    if arguments.method == "approved":
        with open_logbook(arguments.table, read_only=True) as logbook:
            _print(logbook, as_json=arguments.json)
        return 0
    if arguments.method == "withdraw":
        return _withdraw(arguments)
    missing = [f"--{name}" for name in NEEDED if getattr(arguments, name) is None]
    if missing:
        raise BadInput(
            "A standard names its form, its result, how it was rounded, by whom and from when.",
            where=", ".join(missing),
            remedy="Give these too; “observe standard --help” has an example.",
        )
    return _approve(arguments)


def _withdraw(arguments: argparse.Namespace) -> int:
    from observe.work.approving import withdraw
    from observe.work.logbooks import open_logbook

    if not (arguments.by and arguments.effective):
        raise BadInput(
            "A standard is withdrawn by somebody, from a day on.",
            where="--by, --effective",
            remedy="Give both; “observe standard --help” has an example.",
        )
    with open_logbook(arguments.table) as logbook:
        event = withdraw(
            logbook,
            arguments.standard,
            by=arguments.by,
            day=arguments.effective,
            reason=arguments.reason,
        )
        _print(logbook, as_json=arguments.json, only=str(event.body["standard"]))
    return 0


def _approve(arguments: argparse.Namespace) -> int:
    from observe.work.approving import approve, read_form, read_result, standard_of
    from observe.work.logbooks import open_logbook

    standard = standard_of(
        read_result(arguments.result),
        read_form(Path(arguments.form)),
        variant=arguments.variant or "",
        rounding=Rounding(arguments.round),
        places=1 if arguments.places is None else arguments.places,
        effective=arguments.effective,
    )
    with open_logbook(arguments.table) as logbook:
        event = approve(logbook, standard, by=arguments.by)
        _print(logbook, as_json=arguments.json, only=event.id)
    return 0


def _print(logbook: Logbook, *, as_json: bool, only: str = "") -> None:
    from observe.work.approving import is_not, standards_in

    names = logbook.names()
    found = [one for one in standards_in(logbook) if only in ("", one.id)]
    if as_json:
        rows = [
            {
                "id": one.id,
                "by": names.get(one.by, one.by),
                **one.standard.as_record(),
                "is_not": is_not(one.standard),
                "withdrawn": one.withdrawn
                and {
                    "by": names.get(one.withdrawn.by, one.withdrawn.by),
                    "from": one.withdrawn.day,
                    "reason": one.withdrawn.reason,
                },
            }
            for one in found
        ]
        print(json.dumps({"standards": rows}, indent=1, ensure_ascii=False, allow_nan=False))
        return
    for one in found:
        print(_sentence(one, names.get(one.by, one.by)))
        print(f"  {is_not(one.standard)}".rstrip())
        if one.withdrawn is not None:
            held = one.withdrawn
            by = names.get(held.by, held.by)
            print(one_line(f"  Withdrawn from {held.day} on by {by}: {held.reason}", 600))
    if not found:
        print("No standard is approved in it: cuts of forms are provisional.")


def _sentence(one: Approved, name: str) -> str:
    held = one.standard
    variant = f", variant {held.variant}" if held.variant else ""
    error = f", standard error {held.se} %" if held.se else ", no standard error"
    return one_line(
        f"{held.form}{variant} (scoring {held.scoring[:12]}): cut {held.cut} %, rounded"
        f" {held.rounding.value} from {held.unrounded} %; {held.method}, {held.n} {held.of}{error};"
        f" approved by {name}, from {held.effective}.",
        600,
    )
