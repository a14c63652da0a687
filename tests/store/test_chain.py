"""What was changed behind the program's back is found, and found where it is (E1, E4)."""

import random
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from observe.domain.events import FIRST, Event, hash_of
from observe.domain.troubles import Doubtful, Stopped, Surroundings
from observe.store.chain import Break, ChainReport, verify
from observe.store.log import Log
from tests.store.builders import STAMP, a_mark, a_name, append, salts, tampered

TEXTS = ("kind", "gesture", "workshop", "attempt", "observation", "by_", "at", "boot")
TEXTS_AND_HASHES = (*TEXTS, "body", "prev", "hash")
NUMBERS = ("version", "part", "monotonic_ns")


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A logbook of nine events of one device, with names beside the first three."""
    path = tmp_path_factory.mktemp("written") / "logbook.observe"
    fresh = salts()
    with Log.open(path, create=True) as log:
        names = [a_name(name) for name in ("Ana", "Ben", "Zoë")]
        log.append(names, gesture="names", stamp=STAMP, salts=lambda: next(fresh))
        for number in range(6):
            append(log, a_mark(f"step-{number}"))
    return path


@pytest.fixture
def path(written: Path, tmp_path: Path) -> Path:
    """A copy of it to be changed."""
    return Path(shutil.copy(written, tmp_path))


@pytest.fixture
def events(path: Path) -> list[Event]:
    with Log.open(path, read_only=True) as log:
        return log.read()


def found(path: Path) -> ChainReport:
    with Log.open(path, read_only=True) as log:
        return verify(log)


def the_break(path: Path) -> Break:
    report = found(path)
    assert not report.is_sound
    (only,) = report.breaks
    return only


def test_a_log_as_it_was_written_is_sound(path: Path, events: list[Event]) -> None:
    report = found(path)
    assert report.is_sound
    assert report.breaks == ()
    (chain,) = report.devices
    assert (chain.device, chain.events, chain.head) == (events[0].device, 9, events[-1].hash)
    assert report.events == 9


def test_an_empty_log_is_sound(tmp_path: Path) -> None:
    with Log.open(tmp_path / "log", create=True) as log:
        assert verify(log) == ChainReport()
        assert verify(log).is_sound


@pytest.mark.parametrize("column", TEXTS_AND_HASHES)
@pytest.mark.parametrize("seq", [1, 5, 9])
def test_one_changed_character_is_found_at_its_event(
    path: Path, events: list[Event], column: str, seq: int
) -> None:
    """E1: the hash covers every column, and one change is one break."""
    tampered(
        path,
        f"UPDATE event SET {column} = 'x' || substr({column}, 2) WHERE seq = ?",  # noqa: S608 - a name from above
        values=[seq],
    )
    broken = the_break(path)
    assert (broken.position, broken.event) == (seq, events[seq - 1].id)


@pytest.mark.parametrize("column", NUMBERS)
def test_one_changed_number_is_found_at_its_event(
    path: Path, events: list[Event], column: str
) -> None:
    tampered(path, f"UPDATE event SET {column} = {column} + 7 WHERE seq = 4")  # noqa: S608 - a name from above
    assert the_break(path).event == events[3].id


@pytest.mark.parametrize(
    "body",
    [
        '{"mark":{"prompt":0,"state":"done"},"step":"step-0"} ',
        '{"step":"step-0","mark":{"prompt":0,"state":"done"}}',
        '{"mark":{"prompt":0,"prompt":0,"state":"done"},"step":"step-0"}',
        '{"mark":{"prompt":0.0,"state":"done"},"step":"step-0"}',
        '{"mark":{"prompt":NaN,"state":"done"},"step":"step-0"}',
        '{"mark":"\\ud800"}',
        "[]",
        "",
        "[" * 100_000,
    ],
)
def test_a_body_written_in_another_way_is_found(path: Path, body: str) -> None:
    """Even one that means the same: there is one way to write a body."""
    tampered(path, "UPDATE event SET body = ? WHERE seq = 4", values=[body])
    broken = the_break(path)
    assert broken.position == 4
    assert "cannot be read" in broken.sentence


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ("body = CAST(X'7B22FF' AS TEXT)", "cannot be read"),
        ("seq = CAST(X'FF' AS TEXT)", "cannot be read"),
        ("part = 'first'", "cannot be read"),
        ("version = 1.5", "cannot be read"),
        ("body = X'00'", "cannot be read"),
        ("kind = CAST(kind AS BLOB)", "cannot be read"),
    ],
)
def test_bytes_that_are_no_event_are_found_and_never_stop_the_walk(
    path: Path, change: str, fault: str
) -> None:
    tampered(path, f"UPDATE event SET {change} WHERE position = 9")  # noqa: S608 - from the list above
    broken = the_break(path)
    assert broken.position == 9
    assert fault in broken.sentence


def test_a_removed_event_is_found_where_it_is_missing(path: Path, events: list[Event]) -> None:
    tampered(path, "DELETE FROM event WHERE seq IN (5, 6)")
    broken = the_break(path)
    assert broken.event == events[6].id
    assert broken.sentence == "Events 5 to 6, which come before it, are missing."


def test_a_removed_first_event_leaves_its_name_as_a_stray(path: Path, events: list[Event]) -> None:
    tampered(path, "DELETE FROM event WHERE seq = 1")
    report = found(path)
    missing, stray = report.breaks
    assert missing == Break(2, events[1].id, "Event 1, which comes before it, is missing.")
    assert (stray.position, stray.event) == (0, events[0].id)
    assert report.strays == (stray,)


def test_events_cut_off_at_the_end_show_in_the_head_only(path: Path, events: list[Event]) -> None:
    tampered(path, "DELETE FROM event WHERE seq > 7")
    report = found(path)
    assert report.is_sound
    assert report.devices[0].head == events[6].hash


def test_two_events_that_changed_places_are_found(path: Path) -> None:
    tampered(
        path,
        "UPDATE event SET seq = 100 WHERE seq = 5",
        "UPDATE event SET seq = 5 WHERE seq = 6",
        "UPDATE event SET seq = 6 WHERE seq = 100",
    )
    assert {one.position for one in found(path).breaks} >= {5, 6}


def test_an_event_put_in_with_a_right_hash_of_its_own_is_found(path: Path) -> None:
    """Rewriting one event with a fitting hash breaks the link of the one after it."""
    tampered(path, "UPDATE event SET kind = 'sealed' WHERE seq = 5")
    with Log.open(path, read_only=True) as log:
        forged = hash_of(log.read()[4])
    tampered(path, "UPDATE event SET hash = ? WHERE seq = 5", values=[forged])
    broken = the_break(path)
    assert broken.position == 6
    assert "does not follow" in broken.sentence


@pytest.mark.parametrize("column", ["text", "salt"])
def test_a_changed_text_or_salt_is_found_at_its_event(
    path: Path, events: list[Event], column: str
) -> None:
    """E4: the event holds a commitment to the text and its salt."""
    tampered(path, f"UPDATE beside SET {column} = {column} || ' ' WHERE seq = 2")  # noqa: S608 - a name from above
    broken = the_break(path)
    assert broken.event == events[1].id
    assert "“name”" in broken.sentence
    assert "Ben" not in broken.sentence


def test_a_removed_text_is_found(path: Path, events: list[Event]) -> None:
    tampered(path, "DELETE FROM beside WHERE seq = 2")
    assert the_break(path) == Break(
        2, events[1].id, "The text “name” that stood beside it is missing."
    )


def test_a_text_under_another_field_is_found(path: Path) -> None:
    tampered(path, "UPDATE beside SET field = 'other' WHERE seq = 2")
    missing, unknown = found(path).breaks
    assert missing.position == unknown.position == 2
    assert "missing" in missing.sentence
    assert "does not know" in unknown.sentence


def test_a_text_that_is_no_text_is_found(path: Path) -> None:
    tampered(path, "UPDATE beside SET text = CAST(X'FF' AS TEXT) WHERE seq = 3")
    assert the_break(path).position == 3


def test_a_text_cut_in_two_at_a_zero_byte_is_found(tmp_path: Path) -> None:
    """Salt, zero byte and text are hashed as one; only the first zero byte may end the salt."""
    path = tmp_path / "logbook.observe"
    with Log.open(path, create=True) as log:
        append(log, a_name("Ana\0Ben"), salt="5a17")
        assert verify(log).is_sound
    tampered(path, "UPDATE beside SET salt = ?, text = 'Ben'", values=["5a17\0Ana"])
    assert the_break(path).position == 1


def test_a_text_stored_as_bytes_is_found(path: Path) -> None:
    """One flipped bit is enough for that, and no byte of the text is another."""
    tampered(path, "UPDATE beside SET text = CAST(text AS BLOB) WHERE seq = 3")
    assert the_break(path).position == 3


def test_names_exchanged_between_two_people_are_found(path: Path) -> None:
    tampered(
        path,
        "UPDATE beside SET text = CASE seq WHEN 1 THEN 'Ben' ELSE 'Ana' END WHERE seq IN (1, 2)",
    )
    assert {one.position for one in found(path).breaks} == {1, 2}


def test_a_guard_that_was_taken_away_is_found(path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER event_no_update")
    report = found(path)
    assert report.guards == ("event_no_update",)
    assert report.breaks == ()
    assert not report.is_sound


def test_each_device_has_its_own_chain(path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("INSERT INTO device (id, made_at) VALUES ('another', '2026-11-25')")
    with Log.open(path) as log:
        assert log.device == "another"
        (event,) = append(log, a_mark())
        assert (event.seq, event.prev) == (1, FIRST)
        report = verify(log)
        assert report.is_sound
        assert sorted(chain.events for chain in report.devices) == [1, 9]


def test_a_long_walk_tells_how_far_it_is_and_can_be_stopped(path: Path) -> None:
    told: list[tuple[int, int]] = []
    with Log.open(path, read_only=True) as log:
        verify(log, tick=lambda done, total: told.append((done, total)))
        assert told == [(0, 9)]

        def stop(*_: int) -> None:
            raise Stopped

        with pytest.raises(Stopped):
            verify(log, tick=stop)
        assert verify(log).is_sound


def test_a_damaged_index_is_told_before_any_walk(path: Path) -> None:
    """SQLite's own check comes first: it sees what reading in one order would not."""
    intact = path.read_bytes()
    kept, copies = b"gesture-9", intact.count(b"gesture-9")
    assert copies == 2  # In the row and in the index over gestures.
    reports = []
    for place in (intact.index(kept), intact.rindex(kept)):
        path.write_bytes(intact[:place] + b"G" + intact[place + 1 :])
        reports.append(found(path))
    assert all(not report.is_sound for report in reports)
    assert all(report.damage and not report.devices for report in reports)


def content(path: Path) -> tuple[object, ...]:
    with Log.open(path, read_only=True) as log:
        events = log.read()
        return (events, dict(log.texts(events)), log.forms(), log.device)


def flips(seed: int, size: int, many: int) -> Iterator[tuple[int, int]]:
    draw = random.Random(seed)
    return ((draw.randrange(size), 1 << draw.randrange(8)) for _ in range(many))


def flip_and_look(path: Path, copy: Path, many: int) -> int:
    """Flip so many single bits, each in a copy of its own; how many were noticed."""
    intact, before = path.read_bytes(), content(path)
    noticed = 0
    for place, bit in flips(many, len(intact), many):
        changed = bytearray(intact)
        changed[place] ^= bit
        copy.write_bytes(changed)
        try:
            report = found(copy)
        except (Surroundings, Doubtful):
            noticed += 1
            continue
        if report.is_sound:
            assert content(copy) == before, f"bit {bit} of byte {place}"
        noticed += not report.is_sound
    return noticed


def test_a_flipped_bit_of_the_file_is_found_or_changes_nothing(path: Path, tmp_path: Path) -> None:
    """Wherever the disk loses a bit, what still reads as sound still says the same."""
    assert flip_and_look(path, tmp_path / "copy.observe", 60) > 3


@pytest.mark.deep
@pytest.mark.timeout(600)
def test_thousands_of_flipped_bits_are_found_or_change_nothing(path: Path, tmp_path: Path) -> None:
    assert flip_and_look(path, tmp_path / "copy.observe", 1500) > 150
