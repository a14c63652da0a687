"""A workshop's sheets in one go: issued, printed together, and who still has none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from observe.domain.troubles import BadInput, Refused, Stopped, Trouble
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import attempt_result, sign_decision, standing_signature
from observe.work.logbooks import Logbook
from observe.work.press import Press
from observe.work.whole_file import write_whole

Tick = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Batch:
    """What became of each attempt. made: new sheets; stood: sheets that stand already.

    left: attempts that no sheet could be made of, each with why and what to do. stopped:
    whether it was stopped before the end; what was made stays.
    """

    made: tuple[tuple[Seat, Path], ...]
    stood: tuple[tuple[Seat, Path], ...]
    left: tuple[tuple[Seat, str], ...]
    stopped: bool = False


def issue_all(
    logbook: Logbook,
    workshop: Workshop,
    press: Press,
    *,
    by: str,
    sign: bool = False,
    tick: Tick = lambda _done, _total: None,
) -> Batch:
    """Issue every sheet of a workshop that can be issued by one person.

    sign: also sign decisions that nobody has signed as they are now; without it these are left.
    tick: called with how many are done and how many there are; may raise Stopped.
    """
    made: list[tuple[Seat, Path]] = []
    stood: list[tuple[Seat, Path]] = []
    left: list[tuple[Seat, str]] = []
    seats = [seat for seat in workshop.seats if not seat.absent]
    for done, seat in enumerate(seats):
        try:
            tick(done, len(seats))
            standing = press.standing(seat)
            if standing is not None:
                stood.append((seat, standing))
                continue
            result = attempt_result(logbook, workshop, seat)
            unsigned = result.outcome is not None and standing_signature(logbook, result) is None
            if sign and unsigned and by in seat.observers:
                sign_decision(logbook, workshop, result, by=by)
            made.append((seat, press.issue(result, by=by)))
        except Stopped:
            return Batch(tuple(made), tuple(stood), tuple(left), stopped=True)
        except Refused as trouble:
            left.append((seat, _said(trouble)))
    tick(len(seats), len(seats))
    return Batch(tuple(made), tuple(stood), tuple(left))


def print_together(press: Press, path: Path) -> int:
    """Write the sheets that stand into one file to be printed; how many there are.

    Never over a file. What is printed is drawn from each sheet's own record. Raises BadInput
    where the file is there already, Refused where no sheet stands.
    """
    from observe.sheets.reading import attached, opened
    from observe.sheets.record import read
    from observe.sheets.setting import Paper
    from observe.sheets.sheet import print_run

    if path.exists():
        raise BadInput("There is such a file already.", where=str(path), remedy="Name another.")
    standing = press.all_standing()
    kept = [attached(opened(file.read_bytes())) for _, _, file in standing]
    contents = [read(one) for one in kept if one is not None]
    if not contents:
        raise Refused("No sheet of this workshop stands.", remedy="Issue the sheets first.")
    write_whole(path, print_run(contents, Paper(press.paper)))
    return len(contents)


def _said(trouble: Trouble) -> str:
    return f"{trouble.what} {trouble.remedy}".strip()
