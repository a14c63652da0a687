"""Rule T3: before all who watch have sealed, no way leads to another's marks.

Every public function of the use cases is called on the second observer's machine, with every
argument that fits; nothing that comes back, is written or is told may hold what the first saw.
"""

from __future__ import annotations

import inspect
import pkgutil
import typing
import zipfile
from collections.abc import Callable, Iterator
from importlib import import_module
from itertools import product
from pathlib import Path
from typing import Any

import pytest

import observe.work
from observe.domain import gestures
from observe.domain.marks import INCORRECT
from observe.domain.observation import Slot
from observe.domain.troubles import Trouble
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.machine import Machine
from observe.work.packets import LEARNER, OBSERVER, WORKSHOP, Scope
from tests.work.machines import Desk, lead_desk, new_desk

SEEN = "the-first-observer-saw-a-shaking-hand"
MOST_CALLS = 40


@pytest.fixture
def second(tmp_path: Path) -> Iterator[Desk]:
    """The second observer's machine, to which everything came that may come."""
    lead = lead_desk(tmp_path)
    other = new_desk(tmp_path, "second")
    other.take(lead.plan_packet())
    session = lead.watch(1, "o1", mark=INCORRECT)
    session.do(gestures.write, Slot.NOTE, SEEN)
    session.do(gestures.give_overall, 1)
    session.do(gestures.write, Slot.STRENGTH, SEEN)
    session.do(gestures.write, Slot.CHANGE, SEEN)
    session.do(gestures.seal)
    scopes = [Scope(), Scope(OBSERVER, "o1"), Scope(LEARNER, "l1")]
    other.take(*(lead.packet("o1", scope) for scope in scopes))
    lead.logbook.close()
    yield other
    other.logbook.close()


def public_functions() -> Iterator[Callable[..., Any]]:
    for found in pkgutil.walk_packages(observe.work.__path__, "observe.work."):
        if ".demo" in found.name:
            continue
        module = import_module(found.name)
        for name, one in vars(module).items():
            own = inspect.isfunction(one) and one.__module__ == found.name
            if own and not name.startswith("_"):
                yield one


def arguments(desk: Desk, folder: Path) -> dict[type, list[Any]]:
    """What there is for each type of argument, as the second observer would have it."""
    seat = desk.workshop.seats[0]
    return {
        Logbook: [desk.logbook],
        Workshop: [desk.workshop],
        Seat: [seat],
        Machine: [desk.machine],
        Path: [desk.logbook.path, folder / "out.packet"],
        Scope: [Scope(), Scope(LEARNER, "l1"), Scope(OBSERVER, "o1")],
        str: [seat.second, seat.attempt, seat.observation_of("o1"), desk.workshop.id],
        bool: [True],
        float: [0.95],
        int: [1],
    }


def calls(function: Callable[..., Any], given: dict[type, list[Any]]) -> Iterator[dict[str, Any]]:
    """Every call that fits, up to a limit; none where an argument is of another type."""
    try:
        hints = typing.get_type_hints(function)
    except NameError:
        return
    names = [
        one.name
        for one in inspect.signature(function).parameters.values()
        if one.default is one.empty and one.kind not in (one.VAR_POSITIONAL, one.VAR_KEYWORD)
    ]
    if not all(hints.get(name) in given for name in names):
        return
    offered = product(*(given[hints[name]] for name in names))
    for values, _ in zip(offered, range(MOST_CALLS), strict=False):
        yield dict(zip(names, values, strict=True))


def all_told(value: object, depth: int = 0) -> str:
    """Everything that a value says of itself, and what it gives when it is gone through."""
    told = repr(value)
    if depth < 3 and hasattr(value, "__dict__") and not isinstance(value, type):
        told += "".join(all_told(one, depth + 1) for one in vars(value).values())
    return told


def written(folder: Path) -> str:
    """Everything in the files of a folder, those in archives too."""
    told = []
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            told.append(path.read_bytes().decode("utf-8", "replace"))
            if zipfile.is_zipfile(path):
                with zipfile.ZipFile(path) as packed:
                    told += [
                        packed.read(one).decode("utf-8", "replace") for one in packed.namelist()
                    ]
    return "".join(told)


def test_t3_no_public_call_tells_what_the_first_observer_saw(
    second: Desk, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "out"
    folder.mkdir()
    called = 0
    given = arguments(second, folder)
    for function in public_functions():
        for call in calls(function, given):
            try:
                told = all_told(function(**call))
            except (Trouble, OSError, ValueError, LookupError, TypeError, ArithmeticError) as error:
                told = repr(error)
            called += 1
            assert SEEN not in told, (function.__qualname__, call)
            assert "INCORRECT" not in told, (function.__qualname__, call)
    assert called > 200
    heard = capsys.readouterr()
    assert SEEN not in heard.out + heard.err + written(folder) + written(second.folder)


def test_t3_the_logbook_of_the_second_holds_nothing_of_the_first(second: Desk) -> None:
    """Not even somebody who opens the file with another program finds it."""
    marked = [one for one in second.logbook.log.read() if one.kind == "mark-set"]
    assert marked == []
    assert SEEN not in written(second.folder)


def test_every_scope_of_a_packet_was_tried() -> None:
    """A new scope has to be thought of here."""
    from observe.store.packet.manifest import SCOPES

    assert {*SCOPES} == {WORKSHOP, OBSERVER, LEARNER}
