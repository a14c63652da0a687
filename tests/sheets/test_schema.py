"""The schema of the record is kept true, and every sheet's record meets it."""

from __future__ import annotations

import json

import pytest
from jsonschema import Draft202012Validator

from observe import places
from observe.sheets.record import written
from observe.sheets.schema import schema
from tests.sheets.samples import ALL, remediate

FILE = places.resources() / "formats" / "sheet-record.schema.json"


def test_the_published_schema_is_that_of_the_program() -> None:
    assert json.loads(FILE.read_text(encoding="utf-8")) == schema()


def test_it_is_a_schema_of_its_draft() -> None:
    Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("name", ALL)
def test_every_record_meets_it(name: str) -> None:
    found = [*Draft202012Validator(schema()).iter_errors(json.loads(written(ALL[name]())))]
    assert found == []


def test_p1_a_record_with_anything_more_does_not() -> None:
    kept = json.loads(written(remediate()))
    kept["sheet"]["rank"] = 3
    assert not Draft202012Validator(schema()).is_valid(kept)
    del kept["sheet"]["rank"], kept["sheet"]["occasion"]["learner"]
    assert not Draft202012Validator(schema()).is_valid(kept)
