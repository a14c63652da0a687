"""Who is meant by a name that was typed."""

from __future__ import annotations

import pytest

from observe.domain.events import Draft
from observe.domain.troubles import BadInput
from observe.work.people import find_person
from tests.work.conftest import Bench


@pytest.mark.parametrize("named", ["o2", "Ben", " ben ", "BEN"])
def test_somebody_is_found_by_id_or_name(bench: Bench, named: str) -> None:
    assert find_person(bench.logbook, named, among=bench.workshop.observers) == "o2"


def test_nobody_and_several_are_told_with_who_could_be_meant(bench: Bench) -> None:
    with pytest.raises(BadInput, match="Nobody here") as told:
        find_person(bench.logbook, "Zoe", among=bench.workshop.observers)
    assert "Anna, Ben and Cleo" in told.value.remedy
    same = Draft("person-named", {"person": "o3", "role": "observer"}, texts={"name": "Ben"})
    bench.logbook.append([same])
    with pytest.raises(BadInput, match=r"Several people .* o2 and o3"):
        find_person(bench.logbook, "Ben", among=bench.workshop.observers)
