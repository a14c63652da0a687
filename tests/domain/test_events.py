"""Events, each bound to the one before it (rules E1, E4)."""

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace

import pytest

from observe.domain import events
from observe.domain.canonical import canonical
from observe.domain.events import (
    FIRST,
    KINDS,
    Body,
    Draft,
    Event,
    Stamp,
    commitment,
    content,
    hash_of,
    is_newer,
    lifted,
    sealed_event,
)
from tests.domain.builders import read_back

STAMP = Stamp("2026-03-02T09:15:04.120Z", 2**60, "boot")


def an_event(draft: Draft | None = None, **commitments: str) -> Event:
    return sealed_event(
        draft or Draft("mark-set", {"step": "S07"}, "w", "a", "o", "obs-01"),
        device="d1",
        seq=1,
        prev=FIRST,
        gesture="g",
        part=0,
        stamp=STAMP,
        commitments=commitments,
    )


def test_e1_the_key_is_device_and_sequence() -> None:
    assert an_event().id == "d1/1"


def test_e1_an_event_carries_the_newest_version_of_its_kind() -> None:
    event = an_event()
    assert event.version == KINDS["mark-set"]
    assert not is_newer(event)


def test_e1_the_hash_is_sha_256_over_canonical_json() -> None:
    event = an_event()
    text = canonical(content(event))
    assert event.hash == hash_of(event) == hashlib.sha256(text).hexdigest()
    assert "hash" not in json.loads(text)


@pytest.mark.parametrize(
    "change",
    [
        {"device": "d2"},
        {"seq": 2},
        {"kind": "moved-to"},
        {"version": 2},
        {"gesture": "h"},
        {"part": 1},
        {"workshop": "v"},
        {"attempt": "b"},
        {"observation": "p"},
        {"by": "obs-02"},
        {"stamp": replace(STAMP, at="2026-03-02T09:15:04.121Z")},
        {"stamp": replace(STAMP, monotonic_ns=2**60 + 1)},
        {"stamp": replace(STAMP, boot="other")},
        {"body": {"step": "S08"}},
        {"prev": "1" * 64},
    ],
)
def test_e1_the_hash_covers_every_field(change: dict[str, object]) -> None:
    event = an_event()
    assert hash_of(replace(event, **change)) != event.hash  # type: ignore[arg-type] # each is typed


def test_e1_the_hash_names_the_event_before() -> None:
    assert content(an_event())["prev"] == FIRST == "0" * 64


def test_a_body_is_what_canonical_json_holds() -> None:
    event = an_event(Draft("watch-attested", {"items": ("X", "Y")}))
    assert event.body == {"items": ["X", "Y"]}
    assert read_back(event) == event


def test_e4_a_text_stands_beside_the_event_which_holds_a_salted_commitment() -> None:
    salted = commitment("steady hands", "5a")
    assert salted == hashlib.sha256(b"5a\x00steady hands").hexdigest()
    event = an_event(Draft("text-written", {"slot": "note"}, texts={"text": "x"}), text=salted)
    assert event.body == {"slot": "note", "texts": {"text": salted}}
    assert "texts" not in an_event().body


def test_e4_the_same_text_under_another_salt_commits_otherwise() -> None:
    assert commitment("yes", "1") != commitment("yes", "2")


@pytest.mark.parametrize(
    "change", [{"kind": "mark-dreamed"}, {"version": KINDS["mark-set"] + 1}, {"version": 0}]
)
def test_e1_unknown_kind_or_version_is_newer(change: dict[str, object]) -> None:
    assert is_newer(replace(an_event(), **change))  # type: ignore[arg-type] # each is typed


def test_e1_an_old_body_is_lifted_version_by_version_and_never_rewritten(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lifts: dict[tuple[str, int], Callable[[Body], Body]] = {
        ("mark-set", 1): lambda body: {**body, "second": True},
        ("mark-set", 2): lambda body: {**body, "third": body["second"]},
    }
    monkeypatch.setattr(events, "LIFTS", lifts)
    event = an_event()
    assert lifted(event) == {"step": "S07", "second": True, "third": True}
    assert lifted(replace(event, version=3)) == {"step": "S07"}
    assert event.body == {"step": "S07"}


def test_every_kind_is_plain_words_with_a_version() -> None:
    for kind, version in KINDS.items():
        assert kind == kind.lower()
        assert kind.replace("-", "").isalpha()
        assert version >= 1
