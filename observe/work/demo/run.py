"""The whole demonstration into one folder: logbook, signed sheets, summary, director's report.

The logbook also holds a second workshop with two forms, planned and not begun, to try
Live on. A term of workshops, to try Review on, stands beside it in a logbook of its own, with
the director's report on it.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from observe import places
from observe.domain import gestures
from observe.domain.marks import Mark, State
from observe.domain.troubles import Refused
from observe.domain.workshop import Workshop
from observe.work import agree
from observe.work.check_forms import read_text
from observe.work.debrief import AttemptResult, attempt_result, sign_decision
from observe.work.demo import cast, script, summary
from observe.work.demo.rehearsal import RehearsalMachine, play
from observe.work.demo.term import TERM_NAME, play_term
from observe.work.logbooks import NAME, Logbook, open_logbook
from observe.work.naming import person_named
from observe.work.planning import plan_workshop
from observe.work.press import Press, sheets_folder
from observe.work.report import report
from observe.work.report_figures import Question
from observe.work.report_press import issue_report
from observe.work.session import Session, open_session

Tick = Callable[[int, int], None]

SUMMARY_TEXT, SUMMARY_JSON = "summary.txt", "summary.json"
REPORT_NAME = "report.pdf"


@dataclass(frozen=True, slots=True)
class Demonstration:
    """What was made. sheets: in seat order."""

    folder: Path
    logbook: Path
    sheets: tuple[Path, ...]
    summary: Path
    term: Path
    report: Path


def demonstrate(folder: Path, *, paper: str = "A4", tick: Tick) -> Demonstration:
    """Play the invented workshop into `folder`, which must not exist or be empty.

    The folder appears only when everything in it is complete. Raises Refused if
    there is something in it already.
    """
    _require_room(folder)
    with _beside(folder) as making:
        sheets = _play(making, paper, tick)
        play_term(making / TERM_NAME, tick=tick)
        _report(making, paper)
        if folder.exists():
            folder.rmdir()
        making.rename(folder)
    return Demonstration(
        folder,
        folder / NAME,
        tuple(folder / sheet for sheet in sheets),
        folder / SUMMARY_TEXT,
        folder / TERM_NAME,
        folder / REPORT_NAME,
    )


def _require_room(folder: Path) -> None:
    if folder.is_dir() and not any(folder.iterdir()):
        return
    if not folder.exists():
        return
    if (folder / SUMMARY_JSON).is_file():
        raise Refused(
            "The demonstration is there already.",
            where=str(folder),
            remedy=f"Open it with “observe --logbook {folder / NAME}”, or choose another folder.",
        )
    raise Refused(
        "There is something in that place already.",
        where=str(folder),
        remedy="Choose a folder that is empty or does not exist.",
    )


@contextmanager
def _beside(folder: Path) -> Iterator[Path]:
    parent = folder.absolute().parent
    parent.mkdir(parents=True, exist_ok=True)
    making = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=parent))
    try:
        making.chmod(0o755)
        yield making
    finally:
        if making.exists():
            shutil.rmtree(making)


def _play(folder: Path, paper: str, tick: Tick) -> tuple[str, ...]:
    machine = RehearsalMachine(cast.STARTS_AT)
    with open_logbook(folder / NAME, create=True, machine=machine) as logbook:
        form = logbook.add_form(read_text(places.forms() / cast.FORM), cast.FORM)
        workshop = plan_workshop(logbook, cast.plan(form.whole_digest))
        sessions = _sessions(logbook, workshop)
        steps = len(sessions) + len(workshop.seats)
        tick(0, steps)
        play(machine, sessions)
        machine.seconds += 900
        _amend(sessions)
        tick(len(sessions), steps)
        results = [attempt_result(logbook, workshop, seat) for seat in workshop.seats]
        sheets = _sheets(logbook, workshop, results, folder, paper, tick)
        other = logbook.add_form(read_text(places.forms() / cast.OTHER_FORM), cast.OTHER_FORM)
        plan_workshop(logbook, cast.next_plan(form.whole_digest, other.whole_digest))
        _summarise(logbook, workshop, results, sheets, folder)
        return tuple(sheets.values())


def _report(folder: Path, paper: str) -> None:
    """The director's report on the term, a week after its last afternoon."""
    machine = RehearsalMachine(cast.REPORTED_AT, "director")
    with open_logbook(folder / TERM_NAME, machine=machine) as logbook:
        by = person_named(logbook, cast.DIRECTOR.name)
        made = report(logbook, Question(""))
        issue_report(logbook, made, folder / REPORT_NAME, by=by, paper=paper)


def _sessions(logbook: Logbook, workshop: Workshop) -> list[tuple[Session, script.Part]]:
    parts = []
    for seat in workshop.seats:
        parts.append((open_session(logbook, workshop, seat, seat.first), script.FIRST[seat.number]))
        if seat.second:
            second = open_session(logbook, workshop, seat, seat.second)
            parts.append((second, script.SECOND[seat.number]))
    return parts


def _amend(sessions: list[tuple[Session, script.Part]]) -> None:
    session = next(one for one, _ in sessions if one.seat.number == script.AMENDMENT_SEAT)
    session.do(
        gestures.amend_step,
        script.AMENDMENT_STEP,
        Mark(State.DONE, prompt=1),
        reason=script.AMENDMENT_REASON,
    )


def _sheets(
    logbook: Logbook,
    workshop: Workshop,
    results: list[AttemptResult],
    folder: Path,
    paper: str,
    tick: Tick,
) -> dict[str, str]:
    press = Press(logbook, workshop, sheets_folder(logbook, workshop), paper=paper)
    made: dict[str, str] = {}
    total = len(results) + sum(len(one.reveals) for one in results)
    for result in results:
        if result.outcome is not None:
            sign_decision(logbook, workshop, result, by=result.seat.first)
        sheet = press.issue(result, by=result.seat.first)
        made[result.seat.attempt] = os.path.relpath(sheet, folder)
        tick(total - len(results) + len(made), total)
    return made


def _summarise(
    logbook: Logbook,
    workshop: Workshop,
    results: list[AttemptResult],
    sheets: dict[str, str],
    folder: Path,
) -> None:
    names, found = logbook.names(), agree.agreement(logbook, workshop)
    text = summary.as_text(workshop, names, results, found)
    (folder / SUMMARY_TEXT).write_text(text, encoding="utf-8")
    record = summary.as_record(workshop, names, results, sheets, found)
    written = json.dumps(record, ensure_ascii=False, indent=1)
    (folder / SUMMARY_JSON).write_text(written + "\n", encoding="utf-8")
