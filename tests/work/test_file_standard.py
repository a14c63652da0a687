"""Cut scores from files: what goes together, and what is set side by side."""

from pathlib import Path

import pytest

from observe.domain.troubles import BadInput
from observe.work.file_standard import METHODS, STATISTICS, file_standard
from observe.work.standard_tables import Wanted
from tests.standards.data import GRADES, SCORES, SIXTY


@pytest.fixture
def station(tmp_path: Path) -> Path:
    path = tmp_path / "station.csv"
    rows = [f"{n},{s},{g}" for n, (s, g) in enumerate(zip(SCORES, GRADES, strict=True))]
    path.write_text("\n".join(["learner,score,grade", *rows]))
    return path


@pytest.fixture
def limits(tmp_path: Path) -> Path:
    path = tmp_path / "limits.csv"
    path.write_text("judge,min_cut,max_cut,min_fail,max_fail\nA,50,68,5,25\n")
    return path


def test_side_by_side_with_what_each_would_do(station: Path, limits: Path) -> None:
    found = file_standard("compare", station, Wanted(borderline="2", judges=limits, present=60))
    names = [cut.label for cut in found.cuts]
    assert names[:3] == [
        "Borderline regression",
        "Borderline group (median)",
        "Borderline group (mean)",
    ]
    assert names[-1] == "Hofstee"
    # The reference takes grade 3 and above as qualified: R 4.2.2 glm.
    assert found.cuts[3].value == pytest.approx(59.62196878, abs=1e-5)
    assert found.impact is not None
    assert [effect.name for effect in found.impact.effects] == names
    assert found.impact.effects[0].failed == 7


def test_the_statistic_that_was_asked_for_comes_first(station: Path) -> None:
    found = file_standard("group", station, Wanted(borderline="2", statistic="mean"))
    assert [cut.value for cut in found.cuts] == [53.25, 53.5]


def test_faults_of_both_files_are_gathered(tmp_path: Path, limits: Path) -> None:
    limits.write_text("judge,min_cut,max_cut,min_fail,max_fail\nA,50,x,5,25\n")
    scores = tmp_path / "scores.csv"
    scores.write_text("learner,score\na,y\n")
    found = file_standard("hofstee", limits, Wanted(scores=scores))
    assert [file.path for file in found.faulty] == [limits, scores]
    assert found.cuts == ()


def test_hofstee_of_sixty(tmp_path: Path, limits: Path) -> None:
    scores = tmp_path / "scores.csv"
    scores.write_text("learner,score\n" + "".join(f"{n},{s}\n" for n, s in enumerate(SIXTY)))
    found = file_standard("hofstee", limits, Wanted(scores=scores))
    assert found.cuts[0].value == 54
    assert found.impact is not None
    assert found.impact.effects[0].failed == 9


def test_angoff_in_percent_and_its_impact(tmp_path: Path) -> None:
    judges, scores = tmp_path / "judges.csv", tmp_path / "scores.csv"
    judges.write_text("judge,item,value\nA,x,60\nA,y,70\nB,x,50\nB,y,80\n")
    scores.write_text("learner,score\na,64\nb,65\n")
    found = file_standard("angoff", judges, Wanted(percent=True, scores=scores))
    assert found.cuts[0].value == pytest.approx(65)
    assert found.impact is not None
    assert found.impact.effects[0].failed == 1


def test_scores_beside_judges_are_in_points_up_to_all_that_items_can_earn(tmp_path: Path) -> None:
    judges, scores = tmp_path / "judges.csv", tmp_path / "scores.csv"
    judges.write_text("judge,item,value\nA,x,3\nA,y,4\nB,x,2\nB,y,5\n")
    scores.write_text("learner,score\na,6\nb,9\n")
    found = file_standard("angoff", judges, Wanted(maximum=5, scores=scores))
    assert found.cuts[0].value == pytest.approx(7)
    assert found.impact is not None
    assert found.impact.effects[0].failed == 1
    scores.write_text("learner,score\na,60\n")
    (file,) = file_standard("angoff", judges, Wanted(maximum=5, scores=scores)).faulty
    assert "not on the scale from 0 to 10" in file.faults[0].sentence


def test_all_essential_leaves_no_cut(tmp_path: Path) -> None:
    judges = tmp_path / "judges.csv"
    judges.write_text("judge,item,value,essential\nA,x,0.6,yes\nA,y,0.7,yes\n")
    found = file_standard("essential", judges, Wanted())
    assert (found.cuts, found.panel) == ((), None)
    assert found.safety is not None
    assert found.safety.essential == ("x", "y")


@pytest.mark.parametrize(
    ("method", "wanted", "said"),
    [
        ("angoff", Wanted(statistic="mean"), "no statistic “mean”"),
        ("group", Wanted(statistic="logistic"), "no statistic “logistic”"),
        ("regression", Wanted(percent=True, maximum=5), "in percent, or up to a maximum"),
        ("regression", Wanted(scores=Path("x")), "in the table itself"),
        ("angoff", Wanted(present=60), "Without scores"),
        ("hofstee", Wanted(), "needs the scores"),
    ],
)
def test_what_does_not_go_together(method: str, wanted: Wanted, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        file_standard(method, Path("absent.csv"), wanted)


def test_every_named_statistic_belongs_to_a_method() -> None:
    assert set(STATISTICS) <= set(METHODS)
