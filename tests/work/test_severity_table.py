"""Severity as a table: the same figures, one row for each observer."""

from __future__ import annotations

from observe.work.file_severity import Asked, Score, severity_of
from observe.work.severity_logbook import Habits
from observe.work.severity_table import HEADS, severity_table

SCORES = [
    Score(f"learner {place}", who, 60 + 3 * place + shift, (float(place), ""))
    for place in range(6)
    for who, shift in (("Ada", -2.0), ("Bo", 1.5))
]


def test_every_figure_stands_under_its_head() -> None:
    study = severity_of(SCORES, Asked(), ordered=True)
    heads, *rows = severity_table(study, {"Ada": Habits(6, 1, 2)})
    assert heads == HEADS
    found = {row[0]: dict(zip(HEADS, row, strict=True)) for row in rows}
    ada = next(one for one in study.observers if one.effect.observer == "Ada")
    assert float(found["Ada"]["fixed"]) == ada.effect.fixed
    assert float(found["Ada"]["fixed"]) < 0
    assert (found["Ada"]["scores"], found["Ada"]["late"]) == ("6", "2")
    assert found["Bo"]["records"] == ""


def test_what_is_not_estimable_is_an_empty_cell() -> None:
    study = severity_of(SCORES, Asked(), ordered=False)
    _, *rows = severity_table(study, {})
    assert {row[HEADS.index("drift")] for row in rows} == {""}
