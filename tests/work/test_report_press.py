"""A report issued: signed by whoever answers for it, kept in the log, never written over."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.domain.troubles import Refused
from observe.work.demo.term import play_term
from observe.work.logbooks import open_logbook
from observe.work.naming import person_named
from observe.work.records import Way, disclosures
from observe.work.report import report
from observe.work.report_figures import Question
from observe.work.report_press import ISSUED, issue_report
from observe.work.verify import Outcome, verify_file


@pytest.fixture(scope="module")
def term(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("press") / "term.observe"
    play_term(path, tick=lambda _done, _total: None)
    return path


def test_a_report_is_signed_kept_and_verified(term: Path, tmp_path: Path) -> None:
    copy, out = tmp_path / "term.observe", tmp_path / "report.pdf"
    copy.write_bytes(term.read_bytes())
    with open_logbook(copy) as logbook:
        made = report(logbook, Question(""))
        by = person_named(logbook, "Prof. Hester Achterberg")
        issue_report(logbook, made, out, by=by)
        (event,) = logbook.log.read(kinds=(ISSUED,))
        assert event.by == by
        assert event.body["form"] == made.form.id
        newest = disclosures(logbook)[0]
        assert (newest.way, newest.kind) == (Way.ISSUED, "director's report")
        with pytest.raises(Refused, match="in that place already"):
            issue_report(logbook, made, out, by=by)
        verdict = verify_file(out, logbook=logbook)
    assert verdict.outcome is Outcome.SOUND
    assert verdict.kind == "report"
    assert any("issued it on" in one for one in verdict.sentences)
    with open_logbook(term, read_only=True) as other:
        said = verify_file(out, logbook=other).sentences
    assert any("knows nothing of this report" in one for one in said)
