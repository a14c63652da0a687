"""The demonstration holds one of everything that a workshop can bring."""

import json
from pathlib import Path
from typing import Any

import pytest

from observe.domain.board import Verdict
from observe.domain.decision import Outcome
from observe.domain.form import Mode
from observe.domain.pairing import Joint
from observe.domain.troubles import Refused
from observe.work.check_logbook import check_logbook
from observe.work.logbooks import open_logbook
from observe.work.debrief import AttemptResult, attempt_result
from observe.work.verify import Outcome as Checked
from observe.work.verify import verify_file
from observe.work.demo.run import SUMMARY_JSON, Demonstration, demonstrate
from observe.work.logbooks import Logbook


def quiet(done: int, total: int) -> None:
    del done, total


@pytest.fixture
def results(logbook: Logbook) -> dict[int, AttemptResult]:
    workshop, _ = logbook.workshops().values()
    return {seat.number: attempt_result(logbook, workshop, seat) for seat in workshop.seats}


def test_there_are_eight_learners_three_observers_and_random_second_looks(
    logbook: Logbook,
) -> None:
    workshop, _ = logbook.workshops().values()
    assert len(workshop.seats) == 8
    assert len(workshop.observers) == 3
    assert [seat.number for seat in workshop.seats if seat.second] == [1, 3, 6]


def test_the_outcomes_are_mixed(results: dict[int, AttemptResult]) -> None:
    outcomes = {number: result.outcome for number, result in results.items()}
    assert outcomes == {
        1: Outcome.PASS,
        2: Outcome.PASS,
        3: Outcome.REMEDIATE,
        4: Outcome.UNDECIDED,
        5: Outcome.REMEDIATE,
        6: Outcome.UNDECIDED,
        7: Outcome.PASS,
        8: None,
    }


def test_critical_items_are_fatal_recovered_averted_and_contested(
    results: dict[int, AttemptResult],
) -> None:
    verdicts = {
        number: [one.verdict for one in result.reveals[0].observation.occurrences]
        for number, result in results.items()
    }
    assert verdicts[2] == [Verdict.RECOVERED]
    assert verdicts[5] == [Verdict.FATAL]
    assert verdicts[7] == [Verdict.AVERTED]
    pairing = results[6].pairing
    assert pairing is not None
    assert pairing.joint is Joint.CONTESTED


def test_one_is_undecided_for_lack_of_coverage_with_both_lists(
    results: dict[int, AttemptResult],
) -> None:
    shown = results[4].reveals[0]
    assert shown.decision.score.whole.coverage < shown.evidence.form.rule.coverage[Mode.FORMATIVE]
    assert shown.settling is not None
    assert shown.settling.to_pass
    assert shown.settling.to_remediate


def test_one_step_was_claimed_out_of_order(results: dict[int, AttemptResult]) -> None:
    assert results[3].reveals[0].observation.board.claims == {"LPX-23"}


def test_one_mark_was_amended_after_the_seal_and_one_attempt_is_void(
    results: dict[int, AttemptResult],
) -> None:
    (amendment,) = results[7].reveals[0].observation.amendments
    assert amendment.id == "LPX-24"
    assert results[8].is_void


def test_a_second_workshop_with_two_forms_is_planned_and_not_begun(logbook: Logbook) -> None:
    _, following = logbook.workshops().values()
    assert [seat.ordinal for seat in following.seats] == [2] * 4 + [1] * 4
    used = [logbook.form(following.form_of(seat)).id for seat in following.seats]
    assert used == ["LPX"] * 4 + ["IUP"] * 4
    assert {seat.variant for seat in following.seats} == {"side-lying", "sitting", "levonorgestrel"}
    assert not logbook.log.read(workshop=following.id, kinds=("observation-opened",))


def test_every_learner_has_a_sheet_and_the_logbook_is_sound(made: Demonstration) -> None:
    assert len(made.sheets) == 8
    assert all(sheet.read_bytes().startswith(b"%PDF-") for sheet in made.sheets)
    assert check_logbook(made.logbook).is_sound


def test_the_summary_says_the_same_for_people_and_programs(made: Demonstration) -> None:
    record: dict[str, Any] = json.loads((made.folder / SUMMARY_JSON).read_text(encoding="utf-8"))
    text = made.summary.read_text(encoding="utf-8")
    assert len(record["seats"]) == 8
    for seat in record["seats"]:
        assert seat["learner"] in text
        assert (made.folder / seat["sheet"]).is_file()
    assert record["agreement"]["second_looks"] == {"planned": 3, "complete": 3, "handed_over": 0}
    assert record["agreement"]["contested"] == [{"seat": 6, "items": ["LPX-C2"]}]
    assert "Contested critical items: 1 (seat 6)." in text


def test_the_same_script_makes_the_same_events(made: Demonstration, tmp_path: Path) -> None:
    again = demonstrate(tmp_path / "again", tick=quiet)
    kinds = []
    for one in (made, again):
        with open_logbook(one.logbook, read_only=True) as logbook:
            # Other tests opened the first one, each from a home of its own.
            kinds.append([e.kind for e in logbook.log.read() if e.kind != "device-named"])
    assert kinds[0] == kinds[1]


def test_a_demonstration_is_not_made_over_anything(made: Demonstration, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="already"):
        demonstrate(made.folder, tick=quiet)
    other = tmp_path / "mine"
    other.mkdir()
    (other / "thesis.txt").write_text("words", encoding="utf-8")
    with pytest.raises(Refused) as refused:
        demonstrate(other, tick=quiet)
    assert refused.value.remedy
    assert [one.name for one in tmp_path.iterdir()] == ["mine"]


def test_a_demonstration_that_is_stopped_leaves_nothing_behind(tmp_path: Path) -> None:
    def stop(done: int, total: int) -> None:
        if done:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        demonstrate(tmp_path / "demo", tick=stop)
    assert not list(tmp_path.iterdir())


def test_the_director_has_a_signed_report_on_the_term(made: Demonstration) -> None:
    with open_logbook(made.term, read_only=True) as logbook:
        verdict = verify_file(made.report, logbook=logbook)
    assert verdict.outcome is Checked.SOUND
    assert verdict.kind == "report"
    assert any("issued it on 2026-05-26" in one for one in verdict.sentences)
