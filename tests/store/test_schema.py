"""Tables and guards are those the program made; the guards hold against any program."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from observe.domain.troubles import Doubtful
from observe.store.log import Log
from observe.store.schema import changed_schema, require_schema
from tests.store.builders import a_mark, a_name, append

PATH = Path("logbook.observe")


@pytest.fixture
def raw(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    """A filled logbook under a plain connection, as another program would open it."""
    path = tmp_path / "logbook.observe"
    with Log.open(path, create=True) as log:
        append(log, a_mark(), a_name(), gesture="g1")
        log.add_form("d1", "s1", "a form", "its text")
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        yield connection


TABLES = ("upgrade", "device", "form", "event", "beside")


def contents(raw: sqlite3.Connection) -> list[str]:
    return list(raw.iterdump())


def columns_of(raw: sqlite3.Connection, table: str) -> list[str]:
    return [row[1] for row in raw.execute(f"PRAGMA table_info({table})")]


@pytest.mark.parametrize("table", TABLES)
def test_no_row_is_changed_or_removed(raw: sqlite3.Connection, table: str) -> None:
    before = contents(raw)
    column = columns_of(raw, table)[0]
    for statement in (
        f"UPDATE {table} SET {column} = {column}",  # noqa: S608 - names from above
        f"UPDATE OR REPLACE {table} SET {column} = {column}",  # noqa: S608 - the same
        f"DELETE FROM {table}",  # noqa: S608 - the same
    ):
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            raw.execute(statement)
    assert contents(raw) == before


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("conflict", ["REPLACE", "IGNORE", "ABORT"])
def test_no_row_is_replaced(raw: sqlite3.Connection, table: str, conflict: str) -> None:
    """INSERT OR REPLACE removes a row without a DELETE trigger; a guard of its own refuses it."""
    before = contents(raw)
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        raw.execute(
            f"INSERT OR {conflict} INTO {table} SELECT * FROM {table} LIMIT 1"  # noqa: S608 - names from above
        )
    assert contents(raw) == before


@pytest.mark.parametrize(
    "taken",
    [
        {"position": 1, "device": "x", "seq": 1, "gesture": "x"},
        {"position": 99, "seq": 1, "gesture": "x"},
        {"position": 99, "device": "x", "gesture": "g1", "part": 1},
    ],
    ids=["position", "device and seq", "gesture and part"],
)
def test_each_key_of_an_event_is_given_once(
    raw: sqlite3.Connection, taken: dict[str, object]
) -> None:
    raw.row_factory = sqlite3.Row
    row = dict(raw.execute("SELECT * FROM event WHERE position = 1").fetchone()) | taken
    names = ", ".join(row)
    values = ", ".join(f":{name}" for name in row)
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        raw.execute(f"INSERT OR REPLACE INTO event ({names}) VALUES ({values})", row)  # noqa: S608 - names from the table


@pytest.mark.parametrize(
    ("table", "row"),
    [("form", "'d2', 's', 'n', 't'"), ("beside", "'{device}', 1, 'field', 'text', 'salt'")],
)
def test_no_row_is_replaced_by_its_hidden_number(
    raw: sqlite3.Connection, table: str, row: str
) -> None:
    values = row.format(device=raw.execute("SELECT device FROM event").fetchone()[0])
    columns = ", ".join(columns_of(raw, table))
    replace = f"INSERT OR REPLACE INTO {table} (rowid, {columns}) VALUES (1, {values})"  # noqa: S608 - names from the table
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        raw.execute(replace)


def test_a_schema_as_it_was_made_is_accepted(raw: sqlite3.Connection) -> None:
    assert changed_schema(raw) == ()
    require_schema(raw, PATH, to_write=True)


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ("DROP TRIGGER beside_once", "beside_once"),
        ("DROP INDEX event_kind", "event_kind"),
        (
            "CREATE TRIGGER swallow BEFORE INSERT ON event BEGIN SELECT RAISE(IGNORE); END",
            "swallow",
        ),
        ("CREATE VIEW names AS SELECT text FROM beside", "names"),
    ],
)
def test_a_changed_guard_is_named_and_keeps_from_writing(
    raw: sqlite3.Connection, change: str, name: str
) -> None:
    raw.execute(change)
    assert changed_schema(raw) == (name,)
    with pytest.raises(Doubtful, match=name):
        require_schema(raw, PATH, to_write=True)
    require_schema(raw, PATH, to_write=False)


@pytest.mark.parametrize(
    "change",
    ["DROP TABLE beside", "CREATE TABLE more (x)", "ALTER TABLE form ADD COLUMN more TEXT"],
)
def test_changed_tables_keep_from_reading_too(raw: sqlite3.Connection, change: str) -> None:
    raw.execute(change)
    with pytest.raises(Doubtful, match="not as Observe made them"):
        require_schema(raw, PATH, to_write=False)


def test_statistics_that_a_database_tool_adds_do_no_harm(raw: sqlite3.Connection) -> None:
    raw.execute("ANALYZE")
    require_schema(raw, PATH, to_write=True)
