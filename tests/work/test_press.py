"""Issued sheets: signed, kept in the log, superseded and never touched."""

import errno
import hashlib
import os
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.marks import INCORRECT
from observe.domain.troubles import Refused
from observe.work.debrief import attempt_result, sign_decision, standing_signature
from observe.work.incidents import note_incident
from observe.work.known import signing_key
from observe.work.learner_screen import open_own
from observe.work.press import Press
from observe.work.verify import Outcome, verify_file, verify_files

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def sealed(bench: "Bench") -> None:
    for observer in bench.workshop.seats[0].observers:
        session = bench.session(1, observer)
        bench.mark_all(session)
        bench.seal(session)


def issue(bench: "Bench", folder: Path, paper: str = "A4") -> Path:
    result = attempt_result(bench.logbook, bench.workshop, bench.workshop.seats[0])
    if result.outcome is not None and not standing_signature(bench.logbook, result):
        sign_decision(bench.logbook, bench.workshop, result, by="o1")
    return Press(bench.logbook, bench.workshop, folder, paper=paper).issue(result, by="o1")


def test_a_sheet_is_kept_in_the_log_by_its_digest(bench: "Bench", tmp_path: Path) -> None:
    sealed(bench)
    path = issue(bench, tmp_path / "sheets")
    assert path.name == "01-lina-one.pdf"
    (event,) = bench.logbook.log.read(kinds=("sheet-issued",))
    assert event.body["sha256"] == hashlib.sha256(path.read_bytes()).hexdigest()
    assert event.by == "o1"


def test_a_later_sheet_supersedes_and_leaves_the_earlier_one(
    bench: "Bench", tmp_path: Path
) -> None:
    sealed(bench)
    first = issue(bench, tmp_path)
    before = first.read_bytes()
    bench.session(1, "o1").do(gestures.amend_step, "LPX-16", INCORRECT, reason="Wrong key.")
    second = issue(bench, tmp_path)
    assert second.name == "01-lina-one-revision-2.pdf"
    assert first.read_bytes() == before
    revisions = [one.body["revision"] for one in bench.logbook.log.read(kinds=("sheet-issued",))]
    assert revisions == [1, 2]


def test_p1_what_stands_on_no_sheet_makes_no_new_one(bench: "Bench", tmp_path: Path) -> None:
    sealed(bench)
    first = issue(bench, tmp_path)
    press, seat = Press(bench.logbook, bench.workshop, tmp_path), bench.workshop.seats[0]
    note_incident(bench.logbook, bench.workshop, "o1", "The lights failed.", attempt=seat.attempt)
    open_own(bench.logbook, bench.workshop, seat).do(gestures.give_overall, 3)
    assert press.standing(seat) == first
    bench.session(1, "o1").do(gestures.amend_step, "LPX-16", INCORRECT, reason="Wrong key.")
    assert press.standing(seat) is None


def test_no_sheet_before_every_planned_observer_has_sealed(bench: "Bench", tmp_path: Path) -> None:
    session = bench.session(1, "o1")
    bench.mark_all(session)
    bench.seal(session)
    with pytest.raises(Refused):
        issue(bench, tmp_path / "sheets")
    assert not (tmp_path / "sheets").exists()


def test_sheets_are_printed_on_letter_too(bench: "Bench", tmp_path: Path) -> None:
    sealed(bench)
    pdf = issue(bench, tmp_path, "Letter").read_bytes()
    assert b"/MediaBox [ 0 0 612 792 ]" in pdf


def test_d4_a_sheet_is_issued_by_the_person_who_signed_its_decision(
    bench: "Bench", tmp_path: Path
) -> None:
    sealed(bench)
    result = attempt_result(bench.logbook, bench.workshop, bench.workshop.seats[0])
    press = Press(bench.logbook, bench.workshop, tmp_path / "sheets")
    with pytest.raises(Refused, match="Nobody has signed"):
        press.issue(result, by="o1")
    second = bench.workshop.seats[0].second
    sign_decision(bench.logbook, bench.workshop, result, by=second)
    with pytest.raises(Refused, match="the person who signed"):
        press.issue(result, by="o1")
    press.issue(result, by=second)
    (event,) = bench.logbook.log.read(kinds=("sheet-issued",))
    assert event.by == second


def test_d4_a_decision_that_changed_since_must_be_signed_anew(
    bench: "Bench", tmp_path: Path
) -> None:
    sealed(bench)
    issue(bench, tmp_path)
    bench.session(1, "o1").do(gestures.amend_step, "LPX-25", INCORRECT, reason="Seen on review.")
    result = attempt_result(bench.logbook, bench.workshop, bench.workshop.seats[0])
    assert standing_signature(bench.logbook, result) is None
    with pytest.raises(Refused):
        Press(bench.logbook, bench.workshop, tmp_path).issue(result, by="o1")


def test_k2_a_second_observer_and_the_department_sign_later_and_the_first_stays_valid(
    bench: "Bench", tmp_path: Path
) -> None:
    from observe.sheets.content import Part
    from observe.work.department import answer_request, ask, found_department, requests
    from observe.work.known import keys_of

    stick = tmp_path / "stick"
    stick.mkdir()
    at = datetime.fromisoformat(bench.logbook.machine.stamp().at)
    words = "quiet harbour lamp"
    found_department(keys_of(bench.logbook), "Acute Care", stick, passphrase=words, at=at)
    ask(bench.logbook, "o1")
    (asked,) = requests(bench.logbook)
    answer_request(bench.logbook, asked, passphrase=words, by="o1")
    sealed(bench)
    first = issue(bench, tmp_path / "sheets")
    press, seat = Press(bench.logbook, bench.workshop, tmp_path / "sheets"), bench.workshop.seats[0]
    second = press.countersign(seat, Part.OBSERVED, by=seat.second)
    third = press.acknowledge(seat, response="Seen.", passphrase=words, by="o1")
    assert third is not None
    assert press.standing(seat) == third
    assert len({first, second, third}) == 3
    found = verify_file(third, 3, bench.logbook)
    assert found.outcome is Outcome.SOUND, found.sentences
    assert [one["field"] for one in found.facts["signed"]] == ["decided", "observed", "read"]
    trusts = [one["known"] for one in found.facts["signed"]]
    assert trusts[0] == "own"
    assert trusts[2] == "confirmed"
    with pytest.raises(Refused, match="no empty place"):
        press.countersign(seat, Part.OBSERVED, by=seat.second)
    with pytest.raises(Refused, match="signs as its observer"):
        press.countersign(seat, Part.DIRECTED, by="o1")


def test_a_replaced_sheet_still_verifies_and_is_said_to_be_replaced(
    bench: "Bench", tmp_path: Path
) -> None:
    sealed(bench)
    first = issue(bench, tmp_path)
    bench.session(1, "o1").do(gestures.amend_step, "LPX-16", INCORRECT, reason="Wrong key.")
    second = issue(bench, tmp_path)
    old, new = (verify_file(one, None, bench.logbook) for one in (first, second))
    assert (old.outcome, new.outcome) == (Outcome.SOUND, Outcome.SOUND)
    assert old.sentences[0].startswith("Superseded: revision 2, code ")
    assert "superseded" not in new.facts
    alone = verify_files([first, second])
    assert alone[0].sentences[0].startswith("Superseded: 01-lina-one-revision-2.pdf says")
    other = verify_file(first, None, bench.logbook)
    assert other.facts["logbook"] == "issued"


def test_a_record_signed_again_by_somebody_else_is_named(bench: "Bench", tmp_path: Path) -> None:
    from observe.sheets import reading
    from observe.sheets.record import read
    from observe.sheets.sign import issue as signed_by
    from observe.trust.keys import make, opened

    sealed(bench)
    path = issue(bench, tmp_path)
    kept = reading.attached(reading.opened(path.read_bytes()))
    assert kept is not None
    at = datetime.fromisoformat(bench.logbook.machine.stamp().at)
    thief = opened(make("Anna", at))
    forged = tmp_path / "forged.pdf"
    forged.write_bytes(signed_by(read(kept), thief, at))
    found = verify_file(forged, None, bench.logbook)
    assert found.facts["logbook"] == "unknown"
    assert "only what the key says of itself" in " ".join(found.sentences)


def test_files_are_never_written_over(bench: "Bench", tmp_path: Path) -> None:
    sealed(bench)
    (tmp_path / "01-lina-one.pdf").write_text("mine")
    path = issue(bench, tmp_path)
    assert path.name == "01-lina-one.2.pdf"
    assert (tmp_path / "01-lina-one.pdf").read_text() == "mine"
    assert Press(bench.logbook, bench.workshop, tmp_path).standing(bench.workshop.seats[0]) == path


@pytest.mark.parametrize("written", [0, 1])
def test_a_full_disk_leaves_no_half_sheet_and_nothing_in_the_log(
    bench: "Bench", tmp_path: Path, monkeypatch: pytest.MonkeyPatch, written: int
) -> None:
    """Whether the sheet itself finds no room, or the page for reading beside it."""
    sealed(bench)
    result = attempt_result(bench.logbook, bench.workshop, bench.workshop.seats[0])
    sign_decision(bench.logbook, bench.workshop, result, by="o1")
    Press(bench.logbook, bench.workshop, tmp_path).preview(result, by="o1")
    signing_key(bench.logbook, "o1", datetime.fromisoformat("2026-03-02T09:00:00+00:00"))
    before = bench.logbook.log.position()
    sound, left = os.fsync, iter([False] * written + [True] * 9)

    def fill(handle: int) -> None:
        if next(left):
            raise OSError(errno.ENOSPC, "No space left on device")
        sound(handle)

    with monkeypatch.context() as disk:
        disk.setattr(os, "fsync", fill)
        with pytest.raises(OSError, match="No space"):
            Press(bench.logbook, bench.workshop, tmp_path / "out").issue(result, by="o1")
    assert [*(tmp_path / "out").iterdir()] == []
    assert bench.logbook.log.position() == before
    path = Press(bench.logbook, bench.workshop, tmp_path / "out").issue(result, by="o1")
    assert verify_file(path).outcome is Outcome.SOUND


def test_a_folder_that_may_not_be_written_gets_no_sheet_and_the_log_says_none(
    bench: "Bench", tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sealed(bench)
    result = attempt_result(bench.logbook, bench.workshop, bench.workshop.seats[0])
    sign_decision(bench.logbook, bench.workshop, result, by="o1")

    def refuse(**_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    with monkeypatch.context() as disk:
        disk.setattr("observe.work.whole_file.tempfile.mkstemp", refuse)
        with pytest.raises(PermissionError):
            Press(bench.logbook, bench.workshop, tmp_path).issue(result, by="o1")
    press = Press(bench.logbook, bench.workshop, tmp_path)
    assert press.newest(bench.workshop.seats[0]) is None
