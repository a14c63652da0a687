"""SQLAlchemy's connection and the driver's are one, and both speak in sentences."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import exc, select

from observe.domain.troubles import Surroundings
from observe.store.engine import OpenFile, open_copy, open_file
from observe.store.tables import device, form

ROW = {"digest": "d", "scoring": "s", "name": "n", "source": "t"}
INSERT = "INSERT INTO form VALUES (:digest, :scoring, :name, :source)"


@pytest.fixture
def file(tmp_path: Path) -> Iterator[OpenFile]:
    opened = open_file(tmp_path / "logbook.observe", create=True)
    yield opened
    opened.close()


def test_what_is_written_is_seen_at_once_and_by_other_programs(file: OpenFile) -> None:
    with file.writing() as driver:
        driver.execute(INSERT, ROW)
    other = open_file(file.path, read_only=True)
    for one in (file, other):
        assert one.connection.execute(select(form.c.name)).scalars().all() == ["n"]
    other.close()


def test_an_error_takes_back_what_was_written(file: OpenFile) -> None:
    with pytest.raises(ZeroDivisionError), file.writing() as driver:
        _ = driver.execute(INSERT, ROW).rowcount / 0
    assert file.connection.execute(select(form)).all() == []
    with file.writing() as driver:
        driver.execute(INSERT, ROW)


def test_reading_holds_no_lock(file: OpenFile) -> None:
    file.connection.execute(select(device)).all()
    assert not file.driver.in_transaction


def test_the_disks_answer_to_either_is_a_sentence(file: OpenFile) -> None:
    file.driver.execute("PRAGMA query_only = ON")
    with pytest.raises(Surroundings, match="may not be written") as told:
        file.connection.execute(form.insert(), ROW)
    assert told.value.where == str(file.path)
    with pytest.raises(Surroundings, match="may not be written"), file.writing() as driver:
        driver.execute(INSERT, ROW)


def test_a_defect_of_ours_stays_one(file: OpenFile) -> None:
    with pytest.raises(exc.OperationalError):
        file.connection.exec_driver_sql("SELECT no_such_column")


def test_what_is_tried_in_a_copy_reaches_the_file_of_nobody(file: OpenFile) -> None:
    with file.writing() as driver:
        driver.execute(INSERT, ROW)
    copy = open_copy(file.path)
    with copy.writing() as tried:
        assert tried.execute("SELECT name FROM form").fetchall() == [("n",)]
        tried.execute(INSERT, {**ROW, "digest": "tried"})
        with file.writing() as driver:  # Nobody waits for who tries.
            driver.execute(INSERT, {**ROW, "digest": "kept"})
    copy.close()
    kept = file.driver.execute("SELECT digest FROM form ORDER BY digest").fetchall()
    assert kept == [("d",), ("kept",)]
