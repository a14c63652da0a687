"""A workshop's sheets in one go."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from observe.domain.troubles import BadInput, Refused, Stopped
from observe.sheets.reading import opened, pages
from observe.work.press import Press
from observe.work.printing import issue_all, print_together
from tests.work.test_press import sealed

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def test_what_can_be_issued_is_and_the_rest_is_told(bench: Bench, tmp_path: Path) -> None:
    press = Press(bench.logbook, bench.workshop, tmp_path)
    sealed(bench)
    unsigned = issue_all(bench.logbook, bench.workshop, press, by="o1")
    assert unsigned.made == ()
    assert "Sign the decision first" in unsigned.left[0][1]
    ticks: list[tuple[int, int]] = []
    done = issue_all(
        bench.logbook, bench.workshop, press, by="o1", sign=True, tick=lambda *n: ticks.append(n)
    )
    assert [seat.number for seat, _ in done.made] == [1]
    assert all("seals first" in why for _, why in done.left)
    assert ticks[-1] == (len(bench.workshop.seats),) * 2
    again = issue_all(bench.logbook, bench.workshop, press, by="o1", sign=True)
    assert (again.made, again.stood) == ((), done.made)


def test_what_was_made_before_it_was_stopped_stays(bench: Bench, tmp_path: Path) -> None:
    press = Press(bench.logbook, bench.workshop, tmp_path)
    sealed(bench)

    def tick(done: int, _total: int) -> None:
        if done == 1:
            raise Stopped("Stopped.")

    done = issue_all(bench.logbook, bench.workshop, press, by="o1", sign=True, tick=tick)
    assert done.stopped
    assert done.made[0][1].is_file()


def test_the_sheets_that_stand_go_to_the_printer_in_one_file(bench: Bench, tmp_path: Path) -> None:
    press, path = Press(bench.logbook, bench.workshop, tmp_path / "sheets"), tmp_path / "all.pdf"
    with pytest.raises(Refused):
        print_together(press, path)
    sealed(bench)
    issue_all(bench.logbook, bench.workshop, press, by="o1", sign=True)
    assert print_together(press, path) == 1
    assert len(pages(opened(path.read_bytes()))) == 2
    with pytest.raises(BadInput, match="already"):
        print_together(press, path)
