"""Cuts from a logbook's own attempts: one form, one variant, each learner once (A4, A6)."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from observe.commands.main import run
from observe.domain.troubles import BadInput, Trouble
from observe.standards import borderline_regression
from observe.work.debrief import attempt_result
from observe.work.file_standard import file_standard
from observe.work.logbooks import Logbook, open_logbook
from observe.work.standard_logbook import graded_in
from observe.work.standard_tables import Wanted
from tests.work.second_looks import plan_some, seen_by_two

SIDE = Wanted(variant="side-lying")


@pytest.fixture(scope="module")
def busy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Logbook]:
    path = tmp_path_factory.mktemp("busy") / "l.observe"
    with seen_by_two(path, workshops=2, learners=6, seed=7) as logbook:
        yield logbook


def by_hand(logbook: Logbook) -> list[tuple[Fraction, int]]:
    """Score and grade of the first look of every attempt of which enough was seen."""
    found = []
    for workshop in logbook.workshops().values():
        for seat in workshop.seats:
            shown = attempt_result(logbook, workshop, seat).reveals[0]
            enough = next(one for one in shown.decision.lines if one.id == "evidence")
            score, grade = shown.decision.score.whole.value, shown.evidence.overall
            if enough.standing.value == "met" and score is not None and grade is not None:
                found.append((100 * score, grade))
    return found


def test_each_attempt_gives_its_score_in_percent_and_its_overall_grade(busy: Logbook) -> None:
    learners, borderline = graded_in(busy.path, SIDE)
    pairs = zip(learners.scores, learners.grades, strict=True)
    assert sorted(pairs) == sorted((float(s), float(g)) for s, g in by_hand(busy))
    assert borderline == "2"
    assert len(learners.scores) + sum(int(one.split()[0]) for one in learners.dropped) == 12


def test_the_cut_is_that_of_the_same_numbers_in_a_table(busy: Logbook) -> None:
    found = file_standard("regression", busy.path, SIDE)
    pairs = by_hand(busy)
    cut = borderline_regression(
        [float(score) for score, _ in pairs], [float(grade) for _, grade in pairs], borderline=2
    )
    assert found.cuts[0].value == (None if cut.value is None else pytest.approx(cut.value))
    assert found.cuts[0].scale.unit == "percent"


def test_attempts_that_nobody_sealed_are_counted(tmp_path: Path) -> None:
    with open_logbook(tmp_path / "l.observe", create=True) as logbook:
        plan_some(logbook, workshops=1, learners=3)
    learners, _ = graded_in(tmp_path / "l.observe", SIDE)
    assert learners.scores == []
    assert learners.dropped == ("3 attempts not sealed by all who watched left out.",)
    cut = file_standard("group", tmp_path / "l.observe", SIDE).cuts[0]
    assert "nobody was graded borderline" in cut.undefined


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        (Wanted(), "the variant was not said"),
        (Wanted(variant="standing"), "no variant “standing”"),
        (replace(SIDE, form="other"), "no form of this logbook"),
    ],
)
def test_a_standard_is_of_one_form_and_variant(busy: Logbook, wanted: Wanted, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        graded_in(busy.path, wanted)


def test_an_empty_logbook_and_another_method(tmp_path: Path) -> None:
    path = tmp_path / "l.observe"
    open_logbook(path, create=True).close()
    with pytest.raises(BadInput, match="No workshop"):
        graded_in(path, SIDE)
    with pytest.raises(BadInput, match="does not read a logbook"):
        file_standard("contrasting", path, SIDE)


def test_what_is_no_sound_logbook_is_not_computed_from(tmp_path: Path) -> None:
    path = tmp_path / "l.observe"
    path.write_bytes(b"SQLite format 3\x00" + b"\x00" * 100)
    with pytest.raises(Trouble):
        graded_in(path, SIDE)


def test_through_the_command(busy: Logbook, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["standard", "compare", str(busy.path), "--variant", "side-lying"]) == 0
    assert "Borderline regression" in capsys.readouterr().out
