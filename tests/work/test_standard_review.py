"""Cuts side by side from a logbook and judges' tables: the same figures as the command's."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from observe.domain.standard import Rounding
from observe.domain.troubles import BadInput
from observe.work.approving import approve, standard_of
from observe.work.demo.term import play_term
from observe.work.file_standard import file_standard
from observe.work.logbooks import Logbook, open_logbook
from observe.work.standard_record import result_of
from observe.work.standard_review import Judges, Target, review_standards, targets
from observe.work.standard_tables import Wanted
from tests.work.second_looks import plan_some

TODAY = "2026-06-01"


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("standards") / "term.observe"
    play_term(made, tick=lambda _done, _total: None)
    return made


@pytest.fixture
def term(path: Path) -> Iterator[Logbook]:
    with open_logbook(path, read_only=True) as logbook:
        yield logbook


@pytest.fixture
def side(term: Logbook) -> Target:
    return next(one for one in targets(term) if one.variant == "side-lying")


def test_every_variant_is_a_target_of_its_own(term: Logbook, side: Target) -> None:
    assert [one.variant for one in targets(term)] == ["side-lying", "sitting"]
    assert side.title.startswith("Lumbar puncture 1.0, Side-lying")


def test_the_cuts_are_those_of_the_command(term: Logbook, side: Target, path: Path) -> None:
    made = review_standards(term, side, today=TODAY)
    said = file_standard("compare", path, Wanted(variant="side-lying"))
    assert [(one.label, one.value, one.low) for one in made.cuts] == [
        (one.label, one.value, one.low) for one in said.cuts
    ]
    assert (made.present, made.present_is) == (80.0, "provisional, of the form")
    assert len(made.scores) == 20
    assert made.impact is not None
    assert all(one.passed + one.failed == 20 for one in made.impact.effects)


def test_a_variant_nobody_did_says_so_and_takes_judges_all_the_same(
    term: Logbook, tmp_path: Path
) -> None:
    sitting = next(one for one in targets(term) if one.variant == "sitting")
    empty = review_standards(term, sitting, today=TODAY)
    assert empty.cuts == ()
    assert "judges" in empty.empty[1]
    table = tmp_path / "angoff.csv"
    table.write_text("judge,item,value\nA,x,60\nA,y,80\nB,x,70\nB,y,90\n", encoding="utf-8")
    made = review_standards(term, sitting, [Judges("angoff", table, percent=True)], today=TODAY)
    (cut,) = made.cuts
    assert cut.value == pytest.approx(75.0)  # The mean of the judges' means of 70 and 80.
    assert made.impact is None


def test_judges_limits_are_set_beside_the_learners(
    term: Logbook, side: Target, tmp_path: Path
) -> None:
    table = tmp_path / "limits.csv"
    table.write_text(
        "judge,min_cut,max_cut,min_fail,max_fail\nA,50,70,5,40\nB,55,75,10,50\n", encoding="utf-8"
    )
    made = review_standards(term, side, [Judges("hofstee", table)], today=TODAY)
    assert made.cuts[-1].method == "hofstee"
    assert made.impact is not None
    assert made.impact.effects[-1].name == made.cuts[-1].label


def test_a_faulty_table_is_refused_with_its_line(
    term: Logbook, side: Target, tmp_path: Path
) -> None:
    table = tmp_path / "angoff.csv"
    table.write_text("judge,item,value\nA,x,0.6\nA,y,much\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        review_standards(term, side, [Judges("angoff", table)], today=TODAY)
    assert "line 3" in caught.value.where


def test_an_approved_cut_is_the_one_in_force_from_its_day(path: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.observe"
    copy.write_bytes(path.read_bytes())
    with open_logbook(copy) as logbook:
        side = targets(logbook)[0]
        made = review_standards(logbook, side, today=TODAY)
        day = logbook.machine.stamp().at[:10]
        standard = standard_of(
            result_of(made.cuts[0]),
            side.form,
            variant=side.variant,
            rounding=Rounding.UP,
            places=1,
            effective=day,
        )
        approve(logbook, standard, by="Prof. Hester Achterberg")
        again = review_standards(logbook, side, today=day)
        assert again.present == float(Fraction(standard.cut))
        assert again.present_is == f"in force since {day}"
        assert [one.standard for one in again.approved] == [standard]
        before = review_standards(logbook, side, today="2026-01-01")
        assert before.present == 80.0


def test_without_attempts_there_is_a_reason(tmp_path: Path) -> None:
    with open_logbook(tmp_path / "l.observe", create=True) as logbook:
        assert targets(logbook) == ()
        plan_some(logbook, workshops=1, learners=3)
        made = review_standards(logbook, targets(logbook)[0], today=TODAY)
    assert made.cuts == ()
    assert all(made.empty)
