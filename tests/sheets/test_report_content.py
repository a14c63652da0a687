"""What a report holds: as many bars as rows, as many cells as heads."""

from __future__ import annotations

from tests.sheets.reports import short


def test_a_table_has_a_cell_for_each_head_and_a_bar_for_each_row() -> None:
    for section in short().sections:
        for table in section.tables:
            assert {len(row) for row in table.rows} == {len(table.heads)}
            assert len(table.bars) in (0, len(table.rows))
            assert 1 <= table.words <= len(table.heads)
