"""Which sheets left, what became of them, and what is still to be done today."""

from __future__ import annotations

import hashlib
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.marks import INCORRECT
from observe.domain.troubles import BadInput
from observe.work.issued import (
    Handled,
    Lack,
    changes_since,
    find_code,
    held_since,
    issued,
    lacking,
    latest,
)
from observe.work.press import Press
from tests.work.test_press import issue, sealed

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def lack_of(bench: Bench) -> Lack:
    return lacking(bench.logbook, bench.workshop)[0][1]


def test_what_a_learner_lacks_from_the_seal_to_the_reading(bench: Bench, tmp_path: Path) -> None:
    press, seat = Press(bench.logbook, bench.workshop, tmp_path), bench.workshop.seats[0]
    assert lack_of(bench) is Lack.SEAL
    sealed(bench)
    assert lack_of(bench) is Lack.SIGN
    issue(bench, tmp_path)
    assert lack_of(bench) is Lack.HAND
    press.handle(seat, Handled.PRINTED, by="o1")
    press.handle(seat, Handled.HANDED_OVER, by="o1")
    assert lack_of(bench) is Lack.READ
    press.acknowledge(seat, response="Seen.", passphrase="", by="o1")
    assert lack_of(bench) is Lack.NOTHING
    (one,) = issued(bench.logbook)
    assert all((one.printed, one.handed, one.acknowledged))
    bench.session(1, "o1").do(gestures.amend_step, "LPX-16", INCORRECT, reason="Wrong key.")
    assert lack_of(bench) is Lack.SIGN


def test_what_changed_since_is_said_and_what_stands_on_no_sheet_is_not(
    bench: Bench, tmp_path: Path
) -> None:
    sealed(bench)
    issue(bench, tmp_path)
    seat = bench.workshop.seats[0]
    (sheet,) = issued(bench.logbook)
    assert changes_since(bench.logbook, seat, sheet) == ()
    bench.session(1, "o1").do(gestures.amend_step, "LPX-16", INCORRECT, reason="Wrong key.")
    changed = changes_since(bench.logbook, seat, sheet)
    assert changed == ("what was recorded was amended after the seal",)
    issue(bench, tmp_path)
    first, second = issued(bench.logbook)
    assert latest((second, first))[seat.attempt] == second
    assert changes_since(bench.logbook, seat, second) == ()


def test_a_code_typed_in_any_way_finds_its_sheet(bench: Bench, tmp_path: Path) -> None:
    sealed(bench)
    issue(bench, tmp_path)
    (sheet,) = issued(bench.logbook)
    assert len(sheet.code) == 14
    for typed in (sheet.code, sheet.code.upper(), sheet.code.replace(" ", "-")):
        assert find_code(bench.logbook, typed) == sheet
    with pytest.raises(BadInput, match="no code"):
        find_code(bench.logbook, "43a8")
    with pytest.raises(BadInput, match="No sheet"):
        find_code(bench.logbook, "0" * 12)


def test_a_file_is_held_since_it_was_made_here(bench: Bench, tmp_path: Path) -> None:
    sealed(bench)
    path = issue(bench, tmp_path)
    (sheet,) = issued(bench.logbook)
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    held = held_since(bench.logbook, sheet, digest)
    assert held is not None
    assert held == datetime.fromisoformat(sheet.at)
    assert held_since(bench.logbook, sheet, "0" * 64) is None
