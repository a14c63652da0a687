"""A ratings file becomes estimates by item, nothing pooled."""

from pathlib import Path

import pytest

from observe.domain.troubles import BadInput
from observe.work.file_agreement import Wanted, declared_categories, file_agreement

BY_ITEM = """\
item,unit,observer,value
landmark,u1,A,done
landmark,u1,B,done
landmark,u2,A,not done
landmark,u2,B,done
needle,u1,A,done
needle,u1,B,
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    file = tmp_path / "ratings.csv"
    file.write_text(BY_ITEM)
    return file


def test_items_are_answered_one_by_one_and_never_pooled(path: Path) -> None:
    found = file_agreement(path, Wanted(methods=["percent_agreement"]))
    assert [one.item for one in found.items] == ["landmark", "needle"]
    landmark, needle = (one.estimates[0] for one in found.items)
    assert (landmark.value, landmark.used) == (0.5, 2)
    assert needle.value is None
    assert "no unit was rated by two or more observers" in (needle.undefined or "")
    assert "Left out: B, who rated nothing." in needle.notes


def test_the_usual_panel_or_all_that_fits(path: Path) -> None:
    usual = file_agreement(path, Wanted(categories=["done", "not done"])).items[0]
    assert [e.coefficient for e in usual.estimates] == [
        "percent_agreement",
        "cohen_kappa",
        "pabak",
        "gwet_ac1",
        "specific_agreement",
        "specific_agreement",
    ]
    assert usual.advice.first is not None
    assert usual.note()[0].text == "Agreement between observers: landmark."
    everything = file_agreement(path, Wanted(everything=True)).items[0]
    assert len(everything.estimates) > len(usual.estimates)


def test_declared_categories_leave_no_note_undeclared_ones_do(path: Path) -> None:
    declared = file_agreement(path, Wanted(categories=["done", "not done"])).items[0].estimates
    assert not any("not declared" in e.note for e in declared)
    found = file_agreement(path).items[0].estimates
    assert all("Categories taken from the ratings, not declared" in e.note for e in found)


def test_nothing_is_computed_while_there_are_faults(path: Path) -> None:
    found = file_agreement(path, Wanted(categories=["done", "incorrect"]))
    assert found.items == ()
    assert [fault.line for fault in found.faults] == [4]


def test_words_without_a_declared_order_are_refused_for_that_file(path: Path) -> None:
    with pytest.raises(BadInput, match="order of these categories is not known") as trouble:
        file_agreement(path, Wanted(scale="ordinal"))
    assert trouble.value.where == str(path)


def test_numbers_are_compared_as_numbers(tmp_path: Path) -> None:
    file = tmp_path / "scores.csv"
    file.write_text("unit,observer,value\nu1,A,60\nu1,B,60.0\nu2,A,70\nu2,B,75\n")
    names = ["percent_agreement", "weighted_kappa"]
    wanted = Wanted(scale="interval", methods=names)
    share, *weighted = file_agreement(file, wanted).items[0].estimates
    assert share.value == 0.5
    assert [e.form for e in weighted] == ["linear, by value", "quadratic, by value"]
    icc = file_agreement(file, Wanted(methods=["icc"])).items[0]
    assert icc.ratings.scale == "interval"
    with pytest.raises(BadInput, match="interval scale needs numbers; found many"):
        file_agreement(file, Wanted(scale="interval", categories=["60", "70", "75", "many"]))


def test_arguments_are_checked_before_the_file_is_read(tmp_path: Path) -> None:
    absent = tmp_path / "absent.csv"
    with pytest.raises(BadInput, match="Not in this version: pearson"):
        file_agreement(absent, Wanted(methods=["pearson"]))
    with pytest.raises(BadInput, match="not between 0 and 1"):
        file_agreement(absent, Wanted(level=2))


@pytest.mark.parametrize("names", [[], [""], ["a", ""], ["1", "1.0"]])
def test_declared_categories_are_named_once(names: list[str]) -> None:
    with pytest.raises(BadInput):
        declared_categories(names)
