"""Cuts on one axis: round ends, every cut in words, what would change with its sign."""

from __future__ import annotations

import pytest

from observe import places
from observe.desk.review.cut_rows import CutRows
from observe.desk.theme import Skin
from observe.domain.form import Form
from observe.standards import borderline_regression, impact
from observe.standards.cut import PERCENT, Asking
from observe.work.approving import read_form
from observe.work.standard_review import StandardReview, Target

SCORES = (41.0, 52.5, 55.0, 61.0, 70.5, 72.0, 80.0, 91.0)
GRADES = (1.0, 2.0, 2.0, 3.0, 3.0, 4.0, 4.0, 5.0)


def reviewed(form: Form, grades: tuple[float | None, ...], present: float) -> StandardReview:
    cut = borderline_regression(SCORES, grades, borderline=2, asking=Asking(PERCENT))
    named = {} if cut.value is None else {cut.label: (cut.value, cut.se)}
    effect = impact(SCORES, named, present=present)
    return StandardReview(
        Target(form, ""), present, "provisional, of the form", (cut,), effect, SCORES, ()
    )


@pytest.fixture(scope="module")
def lumbar() -> Form:
    return read_form(places.forms() / "lumbar-puncture-adult.toml")


@pytest.fixture
def rows(skin: Skin) -> CutRows:
    return CutRows(skin)


def test_the_axis_begins_at_a_round_number_below_all(rows: CutRows, lumbar: Form) -> None:
    rows.show_standards(reviewed(lumbar, GRADES, 80), ("", ""))
    assert [*rows.axis.ticks] == [40, 50, 60, 70, 80, 90, 100]
    rows.show_standards(reviewed(lumbar, GRADES, 5), ("", ""))
    assert [*rows.axis.ticks] == [0, 20, 40, 60, 80, 100]


def test_what_would_change_has_its_sign(rows: CutRows, lumbar: Form) -> None:
    made = reviewed(lumbar, GRADES, 80)
    rows.show_standards(made, ("", ""))
    cut = made.cuts[0]
    assert cut.value is not None
    newly = sum(cut.value <= score < 80 for score in SCORES)
    assert rows.figures(cut)[-1] == f"+{newly}"
    stricter = reviewed(lumbar, GRADES, 40)
    rows.show_standards(stricter, ("", ""))
    failing = sum(40 <= score < cut.value for score in SCORES)
    assert rows.figures(cut)[-1] == f"−{failing}"


def test_a_cut_without_a_value_says_why(rows: CutRows, lumbar: Form) -> None:
    made = reviewed(lumbar, (None,) * 8, 80)
    rows.show_standards(made, ("", ""))
    assert rows.spoken(made.cuts[0]) == f"Borderline regression: {made.cuts[0].undefined}"
    assert rows.figures(made.cuts[0])[0] == "/"
    rows.resize(900, 400)
    rows.grab()
