"""Settings of this machine: kept whole, read with patience, never in the way of the desk."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput, Surroundings
from observe.work import settings as module
from observe.work.settings import (
    ASIDE,
    EDGE_FULL_S,
    MOST_BYTES,
    NAME,
    TEXT_SIZES,
    Motion,
    Settings,
    ThemeChoice,
    WritingHand,
    from_record,
    read_settings,
    to_record,
    write_settings,
)

SOME = st.builds(
    Settings,
    theme=st.sampled_from(ThemeChoice),
    text=st.sampled_from(TEXT_SIZES),
    hand=st.sampled_from(WritingHand),
    gloves=st.booleans(),
    motion=st.sampled_from(Motion),
    cue=st.none() | st.booleans(),
    edge_full_s=st.integers(*EDGE_FULL_S),
    unknown=st.dictionaries(
        st.text(min_size=1).map(lambda name: f"x-{name}"), st.integers() | st.text()
    ).map(MappingProxyType),
)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=8,
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "home" / NAME


def test_without_a_file_the_usual_settings_hold(path: Path) -> None:
    read = read_settings(path)
    assert read.settings == Settings()
    assert read.trouble is None
    assert not path.parent.exists()


def test_what_was_chosen_is_there_at_the_next_start(path: Path) -> None:
    chosen = Settings(ThemeChoice.CONTRAST, 200, WritingHand.LEFT, gloves=True, cue=False)
    write_settings(chosen, path)
    assert read_settings(path).settings == chosen
    assert read_settings(path).trouble is None
    assert [one.name for one in path.parent.iterdir()] == [NAME]


@given(SOME)
def test_any_settings_come_back_as_they_were(settings: Settings) -> None:
    text = json.dumps(to_record(settings))
    assert from_record(json.loads(text)) == (settings, ())


def test_what_a_newer_program_wrote_is_kept(path: Path) -> None:
    path.parent.mkdir()
    path.write_text('{"text": 150, "voice": {"of": "thunder"}}', encoding="utf-8")
    write_settings(replace(read_settings(path).settings, gloves=True), path)
    kept = json.loads(path.read_text(encoding="utf-8"))
    assert kept["voice"] == {"of": "thunder"}
    assert kept["text"] == 150
    assert kept["gloves"] is True


@pytest.mark.parametrize(
    "damage",
    [
        b"",
        b"{",
        b"\xff\xfe\x00",
        b"[1, 2]",
        b"17",
        b'{"text": NaN}',
        b"[" * 50_000,
        b" " * (MOST_BYTES + 1),
        b'{"theme": "sepia"}',
        b'{"text": 117}',
        b'{"text": 100.0}',
        b'{"text": true}',
        b'{"gloves": 1}',
        b'{"hand": null}',
        b'{"edge_full_s": 0}',
    ],
    ids=str,
)
def test_a_damaged_file_gives_the_usual_settings_a_sentence_and_is_kept_aside(
    path: Path, damage: bytes
) -> None:
    path.parent.mkdir()
    path.write_bytes(damage)
    read = read_settings(path)
    assert read.settings == Settings()
    assert isinstance(read.trouble, BadInput)
    assert ASIDE in read.trouble.remedy
    assert path.with_name(ASIDE).read_bytes() == damage[:MOST_BYTES]


def test_one_value_that_is_not_understood_does_not_cost_the_others(path: Path) -> None:
    path.parent.mkdir()
    path.write_text('{"text": 200, "hand": "third", "gloves": true}', encoding="utf-8")
    read = read_settings(path)
    assert read.settings == Settings(text=200, gloves=True)
    assert read.trouble is not None
    assert "hand" in read.trouble.what


@given(JSON)
def test_no_json_is_answered_with_a_defect(value: object) -> None:
    if isinstance(value, dict):
        settings, wrong = from_record(value)
        assert set(wrong) <= set(value)
        assert settings.text in TEXT_SIZES


def test_a_file_that_may_not_be_read_is_told_and_the_desk_opens(path: Path) -> None:
    path.mkdir(parents=True)
    read = read_settings(path)
    assert read.settings == Settings()
    assert isinstance(read.trouble, Surroundings | BadInput)


def test_a_disk_that_refuses_is_told_in_words(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_bytes(b"")
    with pytest.raises(Surroundings, match="cannot be kept"):
        write_settings(Settings(), in_the_way / NAME)


def test_a_write_that_fails_leaves_the_settings_before_it(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_settings(Settings(text=125), path)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(Surroundings, match="the disk is full"):
        write_settings(Settings(text=200), path)
    monkeypatch.undo()
    assert read_settings(path).settings.text == 125
    assert [one.name for one in path.parent.iterdir()] == [NAME]


def test_they_are_kept_among_the_persons_data(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("OBSERVE_HOME", str(tmp_path))
    assert module.default_path() == tmp_path / NAME
