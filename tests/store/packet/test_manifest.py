"""What a packet says of itself is read only as it was written."""

from __future__ import annotations

import json
from typing import Any

import pytest

from observe.domain.canonical import canonical
from observe.store.packet.manifest import (
    FORMAT,
    LOG,
    Manifest,
    Member,
    NewerFormatError,
    read_manifest,
)

FORM = f"forms/{'0a' * 32}.toml"
ONE = Manifest(
    kind="record",
    workshops=("w1",),
    scope="learner",
    of="l1",
    made_at="2026-03-02T09:00:00.000+00:00",
    by="o1",
    name="Zoë Ward",
    device="d",
    withheld=2,
    members={LOG: Member(10, "ab" * 32), FORM: Member(3, "cd" * 32)},
)


def changed(**members: Any) -> bytes:  # noqa: ANN401 - anything at all
    return canonical({**json.loads(ONE.as_bytes()), **members})


def test_it_comes_back() -> None:
    assert read_manifest(ONE.as_bytes()) == ONE


def test_a_later_format_is_told_apart_from_a_damaged_one() -> None:
    with pytest.raises(NewerFormatError, match=str(FORMAT + 1)):
        read_manifest(changed(format=FORMAT + 1))


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"{}",
        b"[]",
        b"\xff",
        b" " + ONE.as_bytes(),
        ONE.as_bytes().replace(b'"withheld":2', b'"withheld":2.0'),
        ONE.as_bytes().replace(b'"withheld":2', b'"withheld":NaN'),
        ONE.as_bytes().replace(b'"withheld":2', b'"withheld":2,"withheld":2'),
        changed(format=0),
        changed(format="1"),
        changed(kind="letter"),
        changed(withheld=-1),
        changed(workshops=[1]),
        changed(scope=None),
        changed(scope={"kind": "room", "of": ""}),
        changed(made={"at": "today", "by": "o1", "device": "d", "name": "n"}),
        changed(made={"at": "2026-03-02T09:00:00", "by": "o1", "device": "d", "name": "n"}),
        changed(made={}),
        changed(more=1),
        changed(members={"../escape": {"bytes": 1, "sha256": "ab"}}),
        changed(members={LOG: {"bytes": True, "sha256": "ab"}}),
    ],
)
def test_anything_else_is_no_manifest(data: bytes) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - its message is for a sentence elsewhere
        read_manifest(data)


def test_one_nested_without_end_is_no_manifest() -> None:
    with pytest.raises((ValueError, RecursionError)):
        read_manifest(b'{"a":' * 100_000)
