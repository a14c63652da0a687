"""Who is meant by a name that was typed."""

from __future__ import annotations

from collections.abc import Collection

from observe.domain.troubles import BadInput
from observe.domain.words import listed
from observe.work.logbooks import Logbook


def find_person(logbook: Logbook, named: str, *, among: Collection[str]) -> str:
    """The id of somebody by their id or name, as it was given last; letters may be large or small.

    Raises BadInput, with who could be named, where that is nobody or several.
    """
    names = logbook.names()
    wanted = named.strip().casefold()
    found = [one for one in dict.fromkeys(among) if one == named.strip()] or [
        one for one in dict.fromkeys(among) if names.get(one, one).casefold() == wanted
    ]
    if len(found) == 1:
        return found[0]
    known = listed([names.get(one, one) for one in dict.fromkeys(among)])
    what = "Several people have this name" if found else "Nobody here has this name"
    ids = f" Their ids: {listed(found)}." if found else ""
    raise BadInput(
        f"{what}.{ids}",
        where=named,
        remedy=f"Name one of them: {known}." if known else "Nobody is planned here yet.",
    )
