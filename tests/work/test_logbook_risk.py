"""What would flip each decision of a logbook, and how sure the whole rule is."""

from __future__ import annotations

from pathlib import Path

from observe.domain.decision import Outcome
from observe.domain.marks import INCORRECT
from observe.work.logbook_risk import logbook_risk
from tests.work.machines import lead_desk
from tests.work.second_looks import seen_by_two


def test_a_pass_and_a_remediation(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1"))
    desk.seal(desk.watch(2, "o1", mark=INCORRECT))
    found = logbook_risk(desk.logbook, records=20)
    one, other = found.flips
    assert (one.outcome, one.flip.to) == (Outcome.PASS, Outcome.REMEDIATE)
    assert one.flip.size == 1
    assert "not done: step" in one.sentence
    assert other.flip.to is Outcome.PASS
    assert other.flip.size > 5
    assert found.rule is not None
    assert found.rule.attempts == 2
    assert found.pairs == 0
    assert "is assumed" in found.notes[0]
    desk.logbook.close()


def test_second_looks_tell_the_chance_to_err(tmp_path: Path) -> None:
    with seen_by_two(tmp_path / "l.observe", workshops=1, learners=6, seed=2) as logbook:
        found = logbook_risk(logbook, records=5)
    assert found.pairs > 0
    assert not any("assumed" in note for note in found.notes)


def test_an_empty_logbook_has_nothing_to_ask(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path)
    found = logbook_risk(desk.logbook)
    assert (found.flips, found.rule) == ((), None)
    desk.logbook.close()
