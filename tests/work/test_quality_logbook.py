"""A form judged by a logbook: first attempts, first looks, and what was left out."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.domain.troubles import BadInput
from observe.work.demo.term import play_term
from observe.work.quality import quality
from observe.work.quality_logbook import records_in
from observe.work.standard_logbook import graded_in
from observe.work.standard_tables import Wanted

SIDE = Wanted(variant="side-lying")


@pytest.fixture(scope="module")
def term(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("quality") / "term.observe"
    play_term(path, tick=lambda _done, _total: None)
    return path


def test_each_learner_has_one_record_with_the_score_that_standards_rest_on(term: Path) -> None:
    found = records_in(term, SIDE)
    learners, _ = graded_in(term, SIDE)
    assert len({one.learner for one in found.records}) == len(found.records) == 20
    assert [one.score for one in found.records] == pytest.approx(learners.scores)
    assert [one.grade for one in found.records] == learners.grades
    assert "44 attempts by learners who came back left out." in found.notes


def test_a_step_that_never_applied_is_no_item(term: Path) -> None:
    found = records_in(term, SIDE)
    assert all("LPX-17" not in one.credits for one in found.records)
    assert any(found.labels["LPX-17"] in note for note in found.notes)


def test_grades_and_observers_rest_on_all_who_have_a_score(term: Path) -> None:
    found = quality(records_in(term, SIDE).records, cut=80)
    assert found.scored == 20
    assert found.learners < 20
    assert found.grades is not None
    assert found.grades.r_squared is not None
    assert found.observers == 3
    assert found.failures is not None
    assert 0 < found.failures < 20
    assert any("with a missing item left out of alpha" in note for note in found.notes)


def test_a_variant_that_is_not_there_is_refused(term: Path) -> None:
    with pytest.raises(BadInput, match="no variant"):
        records_in(term, Wanted(variant="standing"))
