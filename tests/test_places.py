"""Where things are: a checkout, an installed wheel, a frozen build."""

import sys
from pathlib import Path

import pytest

from observe import places
from observe.domain.troubles import Surroundings


@pytest.fixture(autouse=True)
def no_chosen_home(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("OBSERVE_HOME", raising=False)


def test_in_a_checkout_the_shipped_files_stand_beside_the_package() -> None:
    checkout = Path(places.__file__).parents[1]
    assert places.forms() == checkout / "forms"
    assert places.resources() == checkout / "resources"


def test_in_a_wheel_they_lie_inside_the_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site-packages" / "observe"
    (package / "_bundled" / "forms").mkdir(parents=True)
    (tmp_path / "site-packages" / "forms").mkdir()  # some other library's folder
    monkeypatch.setattr(places, "_PACKAGE", package)
    assert places.forms() == package / "_bundled" / "forms"


def test_in_a_frozen_build_they_lie_where_it_unpacked_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "resources").mkdir()
    monkeypatch.setattr(sys, "_MEIPASS", str(tmp_path), raising=False)
    assert places.resources() == tmp_path / "resources"


def test_a_missing_folder_is_told_with_a_remedy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "_MEIPASS", str(tmp_path), raising=False)
    with pytest.raises(Surroundings, match="“forms” is missing") as told:
        places.forms()
    assert told.value.where == str(tmp_path)
    assert told.value.remedy


def test_the_persons_data_is_where_the_system_keeps_such_things(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    found = places.data()
    assert found.name == "observe"
    assert not found.exists()


def test_the_environment_may_choose_another_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("OBSERVE_HOME", str(tmp_path / "elsewhere"))
    assert places.data() == tmp_path / "elsewhere"


def test_a_blank_choice_is_no_choice(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("OBSERVE_HOME", "  ")
    assert places.data().name == "observe"
