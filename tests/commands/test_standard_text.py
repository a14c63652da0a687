"""Cut scores as people read them."""

from observe.commands.standard_text import standard_text
from observe.standards import angoff, borderline_group, borderline_regression, impact
from observe.work.file_standard import FileStandard
from tests.standards.data import GRADES, SCORES, TEN_ITEMS, judged


def test_a_cut_in_full_says_what_it_rests_on_and_what_it_is_not() -> None:
    cut = borderline_regression(SCORES, GRADES, borderline=2)
    effect = impact(SCORES, {cut.label: (cut.value or 0.0, cut.se)}, present=50)
    text = standard_text(FileStandard("regression", (), (cut,), effect))
    lines = text.splitlines()
    assert lines[0] == "Borderline regression: 40 candidates; scores as given"
    assert "  cut, unrounded                         53.1466" in lines
    assert "  standard error                          1.2559" in lines
    assert "50.6043 to 55.689" in text
    assert "To weigh" in lines
    assert "What it is not" in lines
    assert "more would fail" in text
    assert max(map(len, lines)) <= 100


def test_no_cut_is_a_sentence() -> None:
    cut = borderline_group(SCORES, GRADES, borderline=7)
    text = standard_text(FileStandard("group", (), (cut, cut)))
    assert "The cut is not estimable: nobody was graded borderline." in text
    assert "None" not in text
    assert "nan" not in text


def test_judges_are_shown_with_their_totals() -> None:
    panel = angoff(judged(TEN_ITEMS))
    text = standard_text(FileStandard("angoff", (), (panel.cut,), None, panel))
    assert "judge 1" in text
    assert "6.35" in text
    assert "Angoff: 4 judges; scores from 0 to 10" in text
