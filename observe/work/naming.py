"""A person by the name they type: somebody known, or somebody new."""

from __future__ import annotations

from observe.domain.canonical import digest
from observe.domain.events import Draft
from observe.domain.troubles import Refused
from observe.work.logbooks import Logbook
from observe.work.people import find_person


def person_named(logbook: Logbook, typed: str) -> str:
    """The id of whoever typed their name; somebody new is kept with it.

    Raises Refused without a name, BadInput where several have it.
    """
    name = " ".join(typed.split())
    if not name:
        raise Refused("Whoever decides gives their name.", remedy="Type it; it is kept.")
    names = logbook.names()
    if name.casefold() in {one.casefold() for one in (*names, *names.values())}:
        return find_person(logbook, name, among=names)
    made = "person-" + digest([name, logbook.machine.gesture()])[:20]
    draft = Draft("person-named", {"person": made, "role": "staff"}, by=made, texts={"name": name})
    logbook.append([draft])
    return made
