from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from observe import places
from observe.domain.troubles import BadInput, Doubtful, Surroundings
from observe.work.logbooks import NAME, default_path, is_logbook, open_logbook

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def test_the_default_place_is_the_persons_own_folder(own_home: Path) -> None:
    assert default_path() == own_home / NAME


def test_a_logbook_that_is_not_there_is_not_made_unasked(tmp_path: Path) -> None:
    with pytest.raises(Surroundings) as refused:
        open_logbook(tmp_path / "absent.observe")
    assert refused.value.remedy
    assert not list(tmp_path.iterdir())


def test_f1_a_form_is_kept_by_its_whole_digest(bench: "Bench") -> None:
    form = bench.logbook.form(bench.workshop.forms[0].form)
    assert form.whole_digest == bench.workshop.forms[0].form
    source = (places.forms() / "lumbar-puncture-adult.toml").read_text(encoding="utf-8")
    assert bench.logbook.add_form(source, "again") == form
    assert len(bench.logbook.log.forms()) == 1


def test_a_form_with_faults_is_not_kept(bench: "Bench") -> None:
    with pytest.raises(BadInput, match="faults"):
        bench.logbook.add_form('format = 1\nid = "X"\n', "x.toml")
    assert len(bench.logbook.log.forms()) == 1


def test_a_form_that_is_not_what_its_digest_says_is_doubtful(
    bench: "Bench", monkeypatch: pytest.MonkeyPatch
) -> None:
    source = bench.logbook.log.form_source(bench.workshop.forms[0].form).replace(
        "weight = 3", "weight = 2"
    )
    bench.logbook.close()
    with open_logbook(bench.path) as again:
        monkeypatch.setattr(again.log, "form_source", lambda _: source)
        with pytest.raises(Doubtful):
            again.form(bench.workshop.forms[0].form)


def test_a_name_given_again_replaces_the_earlier_one(bench: "Bench") -> None:
    from observe.domain.events import Draft

    named = Draft("person-named", {"person": "l1", "role": "learner"}, texts={"name": "Lina Uno"})
    bench.logbook.append([named])
    assert bench.logbook.names()["l1"] == "Lina Uno"
    bench.logbook.append([Draft("person-named", {"role": "learner"}, texts={"name": "Nobody"})])
    assert bench.logbook.names()["l1"] == "Lina Uno"


def test_a_logbook_is_known_by_how_it_starts(bench: "Bench", tmp_path: Path) -> None:
    bench.logbook.close()
    assert is_logbook(bench.path)
    other = tmp_path / "ratings.csv"
    other.write_text("unit,observer,value\n", encoding="utf-8")
    assert not is_logbook(other)
    assert not is_logbook(tmp_path)
    assert not is_logbook(tmp_path / "absent")


def test_a_seat_is_read_against_its_own_form_and_profile(two_forms: "Bench") -> None:
    workshop = two_forms.workshop
    grounds = [two_forms.logbook.ground(workshop, seat) for seat in workshop.seats]
    assert [one.form.id for one in grounds] == ["LPX", "LPX", "IUP"]
    assert grounds[2].profile == workshop.forms[1].profile


def test_e5_a_workshop_that_is_not_in_force_is_doubtful_and_not_lost(bench: "Bench") -> None:
    assert bench.logbook.workshop(bench.workshop.id) == bench.workshop
    with pytest.raises(Doubtful, match="not in what is in force") as caught:
        bench.logbook.workshop("w-0")
    assert "adopts one of the two tails" in caught.value.remedy
