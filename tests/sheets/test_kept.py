"""Which kind of record a file holds."""

from __future__ import annotations

import pytest

from observe.domain.troubles import BadInput
from observe.sheets import kept, record, report_record
from observe.sheets.content import Part
from observe.sheets.report_content import FIELD
from observe.sheets.setting import Paper
from tests.sheets.reports import short
from tests.sheets.samples import remediate


def test_each_record_is_read_as_what_it_is() -> None:
    sheet, report = remediate(), short()
    assert kept.read(record.written(sheet)) == sheet
    assert kept.read(report_record.written(report)) == report
    assert kept.first_field(sheet) == kept.first_field(None) == Part.DECIDED.value
    assert kept.first_field(report) == FIELD
    assert kept.engine(report) == report.engine
    assert kept.facts(report) == {"report": report.title}
    assert kept.facts(sheet)["learner"] == sheet.occasion.learner


def test_each_is_drawn_as_what_it_is() -> None:
    for content in (remediate(), short()):
        drawn = kept.drawn(content, Paper.LETTER)
        assert {field.name for field in drawn.fields} <= kept.FIELDS
        assert kept.first_field(content) in {field.name for field in drawn.fields}


def test_what_is_neither_is_refused() -> None:
    with pytest.raises(BadInput):
        kept.read(b"{}")
