"""What a form's records say of the form."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from observe.agreement.consistency import cronbach_alpha
from observe.agreement.ratings import Ratings
from observe.domain.troubles import BadInput
from observe.work.quality import Record, quality, read_records


def drawn(learners: int = 30) -> list[Record]:
    """Six items that go together, one that nearly all do, and one that is noise."""
    draw = np.random.default_rng(6)
    found = []
    for place in range(learners):
        good = draw.normal(0, 1)
        marks: dict[str, float | None] = {
            f"i{n}": float(good + draw.normal(0, 0.8) > 0) for n in range(6)
        }
        marks["easy"] = 0.0 if place == 0 else 1.0
        marks["noise"] = float(draw.random() > 0.5)
        grade = float(np.clip(round(3 + good), 1, 5))
        found.append(Record(f"l{place}", marks, grade, "AB"[place % 2]))
    return found


def test_the_measures_are_those_of_the_statistics() -> None:
    records = drawn()
    found = quality(records, cut=4)
    table = [list(one.credits.values()) for one in records]
    alpha = cronbach_alpha(Ratings.from_table(table, scale="interval"))
    assert found.alpha.value == alpha.value
    assert found.grades is not None
    assert found.grades.r_squared is not None
    assert found.grades.r_squared > 0.5
    assert found.observers == 2
    sums = [sum(value or 0 for value in one.credits.values()) for one in records]
    assert found.failures == sum(total < 4 for total in sums)


def test_suggestions_name_the_items_to_look_at() -> None:
    said = {one.item.name: one.suggestion for one in quality(drawn()).items}
    assert "Nearly everybody does it" in said["easy"]
    assert "hardly goes with the rest" in said["noise"]
    assert all("hardly" not in said[f"i{n}"] for n in range(6))


def test_under_twenty_learners_it_is_indicative_only() -> None:
    assert any("Indicative only" in note for note in quality(drawn(12)).notes)
    assert not any("Indicative only" in note for note in quality(drawn(30)).notes)


def test_a_learner_with_a_missing_item_is_left_out_and_counted() -> None:
    records = drawn(25)
    records[3] = Record("l3", {**records[3].credits, "i1": None}, 3.0, "A")
    found = quality(records)
    assert found.learners == 24
    assert "1 learner with a missing item left out of alpha." in found.notes


@pytest.mark.parametrize("records", [[], [Record("a", {"i": 1.0})]])
def test_too_little_is_told(records: list[Record]) -> None:
    with pytest.raises(BadInput, match="tell nothing"):
        quality(records)


def test_records_are_read_from_rows(tmp_path: Path) -> None:
    path = tmp_path / "i.csv"
    path.write_text(
        "learner,item,value,grade,observer\na,x,1,3,Ann\na,y,0,,\nb,x,,4,Ben\n", encoding="utf-8"
    )
    file, records = read_records(path)
    assert not file.faults
    assert records[0] == Record("a", {"x": 1.0, "y": 0.0}, 3.0, "Ann")
    assert records[1].credits == {"x": None}
    path.write_text("learner,item,value\na,x,1\na,x,0\n", encoding="utf-8")
    assert read_records(path)[0].faults[0].line == 3


@pytest.mark.parametrize(
    ("second", "said"),
    [("a,y,0,4,Ann", "another grade"), ("a,y,0,3,Ben", "another observer")],
)
def test_a_learner_has_one_grade_and_one_observer(second: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "i.csv"
    path.write_text(f"learner,item,value,grade,observer\na,x,1,3,Ann\n{second}\n", encoding="utf-8")
    (fault,) = read_records(path)[0].faults
    assert said in fault.sentence
    assert fault.line == 3


def test_a_sum_that_is_the_cut_but_for_rounding_passes() -> None:
    """0.1 three times is a little more than 0.3, and 0.7 + 0.1 a little less than 0.8."""
    some = [Record("a", {"x": 0.7, "y": 0.1}), Record("b", {"x": 0.1, "y": 0.1})]
    assert quality(some, cut=0.8).failures == 1
