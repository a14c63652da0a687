"""What this machine knows of keys, and what it makes of answers that are none (rule K1)."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.domain.events import Draft
from observe.work.department import requests
from observe.work.known import answers, as_text, departments, from_text, known_here
from tests.work.machines import lead_desk


@pytest.mark.parametrize(
    "body", [{}, {"chain": 1}, {"chain": []}, {"chain": ["!"]}, {"chain": [as_text(b"junk")]}]
)
def test_an_answer_that_cannot_be_read_answers_nothing(
    tmp_path: Path, body: dict[str, object]
) -> None:
    desk = lead_desk(tmp_path)
    desk.logbook.append([Draft("key-answered", {"person": "o2", **body}, by="o1")])
    desk.logbook.append([Draft("key-requested", {"person": "o2", "request": "AA=="}, by="o2")])
    desk.logbook.append([Draft("keys-revoked", {"list": 3}, by="o1")])
    assert answers(desk.logbook) == []
    assert departments(desk.logbook) == ()
    assert requests(desk.logbook) == ()
    assert known_here(tmp_path / "none", desk.logbook).pins == []
    desk.logbook.close()


def test_bytes_come_back_from_what_an_event_holds() -> None:
    assert from_text(as_text(b"\x00\xff")) == b"\x00\xff"
    assert from_text("no base64!") == b""
