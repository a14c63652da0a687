"""Judge the cue for where to look next, and print its table: python3 packaging/rounds.py.

Runs the whole grid of observe/planning/grid.py, which takes a while, and prints in Markdown
what DEVELOPERS.md shows. `--write` puts it there. `--cells 0 41` runs some cells only.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from observe import places  # noqa: E402 - the checkout goes before an installed copy
from observe.domain import formtext  # noqa: E402
from observe.planning import grid  # noqa: E402
from observe.planning.grid import Cell  # noqa: E402
from observe.planning.looking import Stage, stages_of  # noqa: E402
from observe.planning.rounds import Difference, Result, judged  # noqa: E402
from observe.planning.walks import PaceModel  # noqa: E402

PAGE = ROOT / "DEVELOPERS.md"
BEGINS = "<!-- packaging/rounds.py writes from here -->"
ENDS = "<!-- to here -->"
SPOTS, SPOT_RUNS = (17, 59), 5
NOT_RUN = "not run"
HEAD = "| pace, look | form | " + " | ".join(str(n) for n in grid.LEARNERS) + " |"


def main(arguments: Sequence[str]) -> int:
    """Run the cells that were asked for and print their table; returns the exit code."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cells", type=int, nargs="*", help="numbers of cells, from 0")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--write", action="store_true", help="put the table into DEVELOPERS.md")
    asked = parser.parse_args(arguments)
    every = grid.cells()
    chosen = every if asked.cells is None else [every[number] for number in asked.cells]
    results = run(chosen, asked.workers)
    text = f"{page(results)}\n{spots()}"
    print(text)
    if asked.write:
        write(text)
    return 0


def run(cells: Sequence[Cell], workers: int) -> list[Result]:
    """The results of some cells, in their order; progress goes to standard error."""
    found: list[Result] = []
    with ProcessPoolExecutor(workers) as pool:
        for result in pool.map(judged_cell, cells):
            found.append(result)
            worst = min(one.mean for one in result.critical)
            print(f"{len(found)} of {len(cells)}: {worst:+.2f}", file=sys.stderr, flush=True)
    return found


def judged_cell(cell: Cell) -> Result:
    """One cell, run until it is known well enough."""
    return judged(cell, stages(cell.form, cell.variant))


@cache
def stages(form: str, variant: str) -> tuple[Stage, ...]:
    """The steps of a shipped form's variant as the cue knows them."""
    source = (places.forms() / f"{form}.toml").read_text(encoding="utf-8")
    read, faults = formtext.read(source)
    if read is None:
        raise ValueError(f"{form} is not sound: {faults}")
    return stages_of(read, read.steps_of(variant))


# printing


def number(value: float) -> str:
    """A number to one decimal with a true minus; never a minus before nothing."""
    shown = f"{value:+.1f}"
    return shown.replace("+0.0", "0.0").replace("-0.0", "0.0").replace("-", "−")


def entry(result: Result) -> str:
    """What one cell of the table shows: in turn, then led always and mostly, in points."""
    led = " ".join(number(one.mean) for one in result.critical)
    return f"{result.turn.critical:.1f} {led}"


def row(cell: Cell, found: Mapping[Cell, Result]) -> str:
    """One line of the table: the pace, look and form of a cell, by number of learners."""
    cells = [replace(cell, learners=learners) for learners in grid.LEARNERS]
    shown = [entry(found[one]) if one in found else NOT_RUN for one in cells]
    return f"| {cell.pace.value}, {cell.look_s:.0f} s | {short(cell)} | {' | '.join(shown)} |"


def short(cell: Cell) -> str:
    """A form's name in the table."""
    return cell.form.split("-")[0]


def page(results: Sequence[Result]) -> str:
    """The table with what it says: the worst, what it costs, where it does not help."""
    found = {one.cell: one for one in results}
    heads = {replace(cell, learners=0): cell for cell in grid.cells()}.values()
    order = list(PaceModel)
    ordered = sorted(heads, key=lambda one: (order.index(one.pace), one.look_s))
    rows = [row(cell, found) for cell in ordered]
    lines = [HEAD, "|---" * (2 + len(grid.LEARNERS)) + "|", *rows]
    return "\n".join([*lines, "", *sentences(results)])


def sentences(results: Sequence[Result]) -> list[str]:
    """What the whole table says, computed from it."""
    always, mostly = (
        [(one, one.critical[place]) for one in results] for place in range(len(grid.OBEDIENCE))
    )
    cell, worst = min((*always, *mostly), key=lambda pair: pair[1].mean)
    error = max(pair[1].error for pair in (*always, *mostly))
    runs = sum(one.runs for one in results)
    is_whole = len(results) == len(grid.cells())
    is_on = is_whole and worst.mean >= grid.WORST_POINTS
    judged_of = "" if is_whole else f" of the {len(results)} cells that were run; all must be"
    waits = [one.waited_s[0] / one.turn.waited_s for one in results]
    essential = [one.essential[0].mean for one in results]
    every = [one.every[0].mean for one in results]
    default = (
        f"Worst cell{judged_of}: {number(worst.mean)} points ({where(cell.cell)}); the rule allows "
        f"{number(grid.WORST_POINTS)}, so the cue is {'on' if is_on else 'off'} by default."
    )
    whole = (
        f"Mean over the grid: {number(mean(one for _, one in always))} points where the lamp is "
        f"always followed, {number(mean(one for _, one in mostly))} where it is followed seven "
        f"times in ten. Greatest standard error {error:.2f} points, {runs:,} runs."
    )
    price = (
        f"Essential steps: {number(mean_of(essential))} points on average, at worst "
        f"{number(min(essential))}; all steps together: {number(mean_of(every))}, at worst "
        f"{number(min(every))}."
    )
    wait = (
        f"The longest wait of any learner is {mean_of(waits):.1f} times that of going in turn, "
        f"at most {max(waits):.1f} times."
    )
    return [f"- {told}" for told in (default, whole, price, wait, *helpless(results))]


def helpless(results: Sequence[Result]) -> list[str]:
    """Where the cue does not help: by pace, how much it brings, and cells not above two errors."""
    by_pace: dict[PaceModel, list[Result]] = {}
    for one in results:
        by_pace.setdefault(one.cell.pace, []).append(one)
    gains = {pace: mean(one.critical[0] for one in found) for pace, found in by_pace.items()}
    least = sorted(gains, key=gains.__getitem__)
    told = ", ".join(f"{pace.value} ({number(gains[pace])})" for pace in least[:3])
    unclear = [
        where(one.cell)
        for one in results
        if any(each.mean < 2 * each.error for each in one.critical)
    ]
    cells = f"In {len(unclear)} of {len(results)} cells the gain is under two standard errors"
    return [
        f"It helps least with: {told}.",
        f"{cells}{': ' + '; '.join(unclear) if unclear else ''}.",
    ]


def spots() -> str:
    """The first runs of two cells, which the tests run again to hold the table to the code."""
    told = [
        f"{where(cell)}: {entry(judged(cell, stages(cell.form, cell.variant), most=SPOT_RUNS))}"
        for cell in (grid.cells()[number] for number in SPOTS)
    ]
    return f"- The first {SPOT_RUNS} runs alone, for the tests: {'; '.join(told)}."


def where(cell: Cell) -> str:
    """A cell in words."""
    return f"{short(cell)}, {cell.learners} learners, {cell.pace.value}, {cell.look_s:.0f} s looks"


def mean(values: Iterable[Difference]) -> float:
    """The mean of some differences."""
    return mean_of([one.mean for one in values])


def mean_of(values: Sequence[float]) -> float:
    """The mean of some numbers."""
    return sum(values) / len(values)


def write(text: str) -> None:
    """Put the table into DEVELOPERS.md, between its two marks."""
    before, _, rest = PAGE.read_text(encoding="utf-8").partition(BEGINS)
    _, _, after = rest.partition(ENDS)
    PAGE.write_text(f"{before}{BEGINS}\n\n{text}\n\n{ENDS}{after}", encoding="utf-8")


def shown(text: str) -> dict[Cell, str]:
    """The cells of a table that was printed, as they stand there."""
    lines = {}
    for line in text.splitlines():
        parts = [part.strip() for part in line.strip().strip("|").split("|")]
        if line.startswith("|") and len(parts) == 2 + len(grid.LEARNERS):
            lines[parts[0], parts[1]] = parts[2:]
    return {
        cell: lines[key][grid.LEARNERS.index(cell.learners)]
        for cell in grid.cells()
        if (key := (f"{cell.pace.value}, {cell.look_s:.0f} s", short(cell))) in lines
    }


def points(entry_shown: str) -> list[float]:
    """The differences of a cell as it stands in the table, in points."""
    return [float(part.replace("−", "-")) for part in entry_shown.split()[1:]]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
