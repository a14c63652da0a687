"""The log: append, repeat, read back (rule E1); texts beside events (rule E4); forms."""

import random
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.domain.canonical import LARGEST_WHOLE
from observe.domain.events import FIRST, KINDS, Draft, Stamp, commitment, hash_of
from observe.domain.troubles import Doubtful, Overtaken, Refused, Surroundings
from observe.store.chain import verify
from observe.store.log import Head, Log
from tests.store.builders import SALT, STAMP, a_mark, a_name, append, fill, salts, tampered


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.observe"


@pytest.fixture
def log(path: Path) -> Iterator[Log]:
    with Log.open(path, create=True) as opened:
        yield opened


def test_what_append_gives_is_what_is_read(log: Log) -> None:
    made = append(log, a_name(), a_mark(), gesture="g1")
    assert log.read() == list(made)


def test_a_gesture_is_numbered_through_and_bound_together(log: Log) -> None:
    """E1: key (device, seq) from 1 without gaps, each bound to the hash before it."""
    events = [*append(log, a_mark(), a_mark(), a_mark()), *append(log, a_mark())]
    assert [one.seq for one in events] == [1, 2, 3, 4]
    assert [one.part for one in events] == [1, 2, 3, 1]
    assert events[0].prev == FIRST
    assert all(later.prev == earlier.hash for earlier, later in pairwise(events))
    assert all(one.hash == hash_of(one) for one in events)
    assert {one.device for one in events} == {log.device}


def test_a_repeated_tap_is_harmless(log: Log) -> None:
    """E1: the random gesture id makes a repeat harmless: the first events come back."""
    first = append(log, a_mark(), a_name(), gesture="tap")
    assert append(log, a_mark("another"), gesture="tap") == first
    assert log.read() == list(first)


def test_what_another_window_writes_is_known_once_and_ones_own_is_not(log: Log, path: Path) -> None:
    append(log, a_mark())
    assert not log.was_written_elsewhere()
    with Log.open(path) as other:
        assert not other.was_written_elsewhere()
        (made,) = append(other, a_mark())
        assert not other.was_written_elsewhere()
        assert log.was_written_elsewhere()
        assert not log.was_written_elsewhere()
        assert log.newest(made.observation) == made.id
    assert log.newest("nobody's") == ""


def test_a_tap_repeated_after_a_restart_is_harmless(path: Path) -> None:
    with Log.open(path, create=True) as log:
        first = append(log, a_mark(), gesture="tap")
    with Log.open(path) as log:
        assert append(log, a_mark(), gesture="tap") == first


def test_an_empty_gesture_writes_nothing(log: Log) -> None:
    assert append(log) == ()
    assert log.position() == 0


def test_the_head_moves_with_each_event(log: Log) -> None:
    assert log.head() == Head(log.device, 0, FIRST)
    _, last = append(log, a_mark(), a_mark())
    assert log.head() == Head(log.device, 2, last.hash)


def test_a_logbook_goes_on_where_it_ended(path: Path) -> None:
    with Log.open(path, create=True) as log:
        (first,) = append(log, a_mark())
    with Log.open(path) as log:
        (second,) = append(log, a_mark())
        assert (second.device, second.seq, second.prev) == (first.device, 2, first.hash)


def test_two_programs_writing_by_turns_make_one_chain(log: Log, path: Path) -> None:
    with Log.open(path) as other:
        for _ in range(3):
            append(log, a_mark())
            append(other, a_mark())
        assert other.read() == log.read()
    assert [one.seq for one in log.read()] == [1, 2, 3, 4, 5, 6]
    assert verify(log).is_sound


def test_a_gesture_is_written_wholly_or_not_at_all(log: Log) -> None:
    with pytest.raises(KeyError):
        append(log, a_mark(), Draft("no-such-kind"))
    assert log.read() == []
    assert len(append(log, a_mark())) == 1


def test_t5_a_gesture_over_several_observations_is_overtaken_in_any_of_them(log: Log) -> None:
    """Nothing of it is kept then, not in the observations that nobody else wrote into."""
    (one,) = append(log, a_mark(observation="o1"))
    (two,) = append(log, a_mark(observation="o2"))
    known = {"o1": one.id, "o2": two.id, "o3": ""}
    drafts = [a_mark(observation=name) for name in known]
    append(log, a_mark(observation="o2"))
    before = log.read()
    with pytest.raises(Overtaken):
        log.append(drafts, gesture="g", stamp=STAMP, salts=lambda: SALT, newest=known)
    assert log.read() == before
    known["o2"] = before[-1].id
    made = log.append(drafts, gesture="g", stamp=STAMP, salts=lambda: SALT, newest=known)
    assert [event.observation for event in made] == ["o1", "o2", "o3"]
    assert {event.gesture for event in made} == {"g"}


def test_events_are_found_by_what_they_belong_to(log: Log) -> None:
    one, two, three = append(
        log,
        a_mark(observation="o1", attempt="a1"),
        a_mark(observation="o2", attempt="a1"),
        a_mark(observation="o3", attempt="a2"),
    )
    planned, named = append(log, Draft("attempt-planned", workshop="w2", attempt="a1"), a_name())
    assert log.read(observation="o2") == [two]
    assert log.read(attempt="a1") == [one, two, planned]
    assert log.read(workshop="w1") == [one, two, three]
    assert log.read(workshop="w2", attempt="a1") == [planned]
    assert log.read(kinds={"person-named", "attempt-planned"}) == [planned, named]
    assert log.read(kinds=("mark-set",), attempt="a1") == [one, two]
    assert log.read(kinds=()) == []
    assert log.read(observation="") == [planned, named]
    assert log.read(observation="none such") == []


def test_reading_goes_on_after_a_position(log: Log) -> None:
    append(log, a_mark(), a_mark())
    reached = log.position()
    later = append(log, a_mark(), a_mark())
    assert log.read(after=reached) == list(later)
    assert log.read(after=log.position()) == []


def test_names_stand_beside_the_event_and_never_in_it(log: Log, path: Path) -> None:
    """E4: the event holds a salted commitment only."""
    (event,) = append(log, a_name("Zoë Ångström"))
    assert log.texts([event]) == {(event.id, "name"): "Zoë Ångström"}
    assert event.body["texts"] == {"name": commitment("Zoë Ångström", SALT)}
    with closing(sqlite3.connect(path)) as connection:
        dump = [line for line in connection.iterdump() if 'INSERT INTO "event"' in line]
    assert len(dump) == 1
    assert "Zoë" not in dump[0]


def test_each_text_has_a_salt_of_its_own(log: Log) -> None:
    """E4: two people of one name do not have one commitment."""
    fresh = salts()
    ana, namesake = log.append(
        (a_name("Ana"), a_name("Ana")), gesture="g", stamp=STAMP, salts=lambda: next(fresh)
    )
    assert ana.body["texts"] != namesake.body["texts"]


def test_one_text_can_be_asked_for(log: Log) -> None:
    (event,) = append(log, Draft("voided", texts={"reason": "trainer broke", "note": ""}))
    assert log.text(event.id, "reason") == "trainer broke"
    assert log.text(event.id, "note") == ""
    assert log.text(event.id, "other") is None
    assert log.text(f"{log.device}/99", "reason") is None


def test_texts_of_very_many_events_come_in_one_answer(log: Log) -> None:
    events = append(log, *(a_name(f"Person {number}") for number in range(1201)))
    texts = log.texts(events)
    assert len(texts) == 1201
    assert texts[events[-1].id, "name"] == "Person 1200"


def test_a_text_that_is_gone_is_left_out(log: Log, path: Path) -> None:
    kept, gone = append(log, a_name("Ana"), a_name("Ben"))
    tampered(path, "DELETE FROM beside WHERE seq = ?", values=[gone.seq])
    assert log.texts([kept, gone]) == {(kept.id, "name"): "Ana"}
    assert log.text(gone.id, "name") is None


def test_half_a_character_is_refused_before_anything_is_written(log: Log) -> None:
    with pytest.raises(Refused) as refused:
        append(log, a_mark(), a_name("Ana \ud83d"))
    assert refused.value.where == "name"
    assert log.read() == []


def test_a_form_is_kept_once_and_stays_as_it_is(log: Log) -> None:
    log.add_form("d1", "s1", "lumbar-puncture 1", "title = 'Lumbar puncture'")
    log.add_form("d1", "s1", "another name", "another text")
    log.add_form("d0", "s1", "lumbar-puncture 1", "title = 'Lumbar  puncture'")
    assert log.form_source("d1") == "title = 'Lumbar puncture'"
    assert log.forms() == (
        ("d0", "s1", "lumbar-puncture 1"),
        ("d1", "s1", "lumbar-puncture 1"),
    )


def test_a_form_that_is_not_there_is_refused_in_words(log: Log) -> None:
    with pytest.raises(Refused, match="does not hold this form"):
        log.form_source("d1")


def test_a_logbook_opened_to_read_is_not_written(path: Path) -> None:
    with Log.open(path, create=True) as log:
        made = append(log, a_mark())
    before = path.read_bytes()
    with Log.open(path, read_only=True) as log:
        assert log.read() == list(made)
        with pytest.raises(Surroundings, match="may not be written"):
            append(log, a_mark())
        with pytest.raises(Surroundings, match="may not be written"):
            log.add_form("d", "s", "n", "t")
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_a_reader_sees_what_is_written_meanwhile(log: Log, path: Path) -> None:
    with Log.open(path, read_only=True) as reader:
        made = append(log, a_mark())
        assert reader.read() == list(made)


def test_an_event_that_cannot_be_read_is_told_and_named(log: Log, path: Path) -> None:
    append(log, a_mark(), a_mark())
    tampered(path, "UPDATE event SET body = '[1' WHERE seq = 2")
    with pytest.raises(Doubtful) as doubtful:
        log.read()
    assert doubtful.value.where == f"event {log.device}/2"


def test_text_that_is_no_text_is_told_as_damage(log: Log, path: Path) -> None:
    append(log, a_mark())
    tampered(path, "UPDATE event SET kind = CAST(X'FF' AS TEXT)")
    with pytest.raises(Surroundings, match="damaged"):
        log.read()


def test_text_stored_as_bytes_is_told_and_named(log: Log, path: Path) -> None:
    """One flipped bit of the file makes a text a blob."""
    (event,) = append(log, a_name())
    log.add_form("d", "s", "n", "t")
    tampered(path, "UPDATE beside SET text = CAST(text AS BLOB)")
    tampered(path, "UPDATE form SET source = CAST(source AS BLOB)")
    for read in (
        lambda: log.texts([event]),
        lambda: log.text(event.id, "name"),
        lambda: log.form_source("d"),
    ):
        with pytest.raises(Doubtful, match="cannot be read"):
            read()
    tampered(path, "UPDATE event SET kind = CAST(kind AS BLOB)")
    with pytest.raises(Doubtful, match="cannot be read"):
        log.read()


def test_a_logbook_without_a_device_is_told_as_damage(path: Path) -> None:
    Log.open(path, create=True).close()
    tampered(path, "DELETE FROM device")
    with pytest.raises(Surroundings, match="damaged"):
        Log.open(path)


def test_closing_twice_is_harmless(path: Path) -> None:
    log = Log.open(path, create=True)
    log.close()
    log.close()


def test_a_closed_logbook_is_one_file(path: Path) -> None:
    with Log.open(path, create=True) as log:
        fill(log, 3)
    assert [one.name for one in path.parent.iterdir()] == [path.name]


words = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
values = st.recursive(
    st.none() | st.booleans() | st.integers(-LARGEST_WHOLE, LARGEST_WHOLE) | words,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("abcé", max_size=3), inner),
    max_leaves=6,
)
drafts = st.builds(
    Draft,
    kind=st.sampled_from(sorted(KINDS)),
    body=st.dictionaries(st.text("abcé", max_size=3), values, max_size=3),
    workshop=words,
    attempt=words,
    observation=words,
    by=words,
    texts=st.dictionaries(st.sampled_from(["name", "note", "reason"]), words, max_size=2),
)
stamps = st.builds(Stamp, at=words, monotonic_ns=st.integers(-(2**63), 2**63 - 1), boot=words)
gestures = st.lists(st.tuples(st.lists(drafts, max_size=3), stamps), max_size=5)


@given(gestures)
@settings(max_examples=25)
def test_whatever_is_appended_reads_back_the_same(many: list[tuple[list[Draft], Stamp]]) -> None:
    """E1, E4: append gives what reading gives, and the chain and the texts are sound."""
    fresh = salts()
    with TemporaryDirectory() as folder, Log.open(Path(folder) / "log", create=True) as log:
        made = [
            event
            for number, (some, stamp) in enumerate(many)
            for event in log.append(
                some, gesture=str(number), stamp=stamp, salts=lambda: next(fresh)
            )
        ]
        assert log.read() == made
        given_texts = [one.texts for some, _ in many for one in some]
        assert log.texts(made) == {
            (event.id, field): text
            for event, texts in zip(made, given_texts, strict=True)
            for field, text in texts.items()
        }
        report = verify(log)
        assert report.is_sound
        assert report.events == len(made)


def tap_until_killed(path: Path, checkout: Path, first: int, patience: int) -> list[int]:
    """Run the writer, kill it after some acknowledgements; the gestures it acknowledged."""
    command = [sys.executable, "-m", "tests.store.writer", str(path), str(first)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=checkout) as writer:
        assert writer.stdout is not None
        heard = [int(next(writer.stdout)) for _ in range(patience)]
        writer.kill()
        # What it had said before it died is still in the pipe; the last line may be cut.
        heard += [int(line) for line in writer.stdout if line.endswith("\n")]
    return heard


def kill_again_and_again(path: Path, checkout: Path, times: int) -> None:
    draw = random.Random(times)
    first = reached = unheard = 0
    for _ in range(times):
        heard = tap_until_killed(path, checkout, first, draw.randrange(1, 120))
        first = heard[-1] + 1_000
        with Log.open(path) as log:
            written = {one.gesture for one in log.read(after=reached)}
            assert {f"g{number}" for number in heard} <= written
            unheard += len(written) - len(heard)
            # A tap may be kept without having been acknowledged: repeating it is harmless.
            before = log.head()
            append(log, a_mark(), a_name(), gesture=f"g{heard[-1]}")
            assert log.head() == before
            reached = log.position()
    assert 0 <= unheard <= times
    with Log.open(path, read_only=True) as log:
        assert verify(log).is_sound


def test_no_acknowledged_tap_is_lost_by_a_kill(path: Path, checkout: Path) -> None:
    kill_again_and_again(path, checkout, 8)


@pytest.mark.deep
@pytest.mark.timeout(3600)
def test_no_acknowledged_tap_is_lost_by_a_thousand_kills(path: Path, checkout: Path) -> None:
    kill_again_and_again(path, checkout, 1_000)


def test_t5_who_is_here_and_who_watches_is_looked_at_anew(log: Log) -> None:
    """By attempt; a handing over that names its observation is that observation's own."""
    append(log, Draft("absence-noted", attempt="a1"))
    known = {"a1": log.position()}

    def tap(gesture: str) -> None:
        draft = a_mark(attempt="a1")
        log.append([draft], gesture=gesture, stamp=STAMP, salts=lambda: SALT, turns=known)

    append(log, Draft("absence-noted", attempt="a2"), Draft("incident-noted", attempt="a1"))
    append(log, Draft("handed-over", attempt="a1", observation="o9"))
    tap("g1")
    append(log, Draft("handed-over", attempt="a1"))
    before = log.read()
    with pytest.raises(Overtaken, match="who watches"):
        tap("g2")
    assert log.read() == before
