"""Whatever is handed over is judged, each by what it is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from observe.domain.troubles import BadInput, Stopped
from observe.work.checking import check_files, sheet_of_code
from observe.work.verify import Outcome
from tests.work.machines import Desk, lead_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path)
    yield desk
    desk.logbook.close()


def unheard(done: int, total: int) -> None:
    assert 0 <= done <= total


def test_a_packet_a_logbook_and_anything_else_in_the_order_they_were_named(
    lead: Desk, tmp_path: Path
) -> None:
    packet, other = lead.plan_packet(), tmp_path / "other.pdf"
    other.write_bytes(b"hello")
    heard: list[tuple[int, int]] = []
    found = check_files(
        lead.logbook.path,
        [other, packet, lead.logbook.path],
        lambda *told: heard.append(told),
    )
    assert [one.kind for one in found] == ["sheet", "packet", "logbook"]
    unreadable, sound = Outcome.UNREADABLE, Outcome.SOUND
    assert [one.outcome for one in found] == [unreadable, sound, sound]
    assert "what was signed" in found[1].sentences[0]
    assert heard == [(0, 3), (1, 3), (2, 3), (3, 3)]


def test_a_packet_that_was_changed_is_told(lead: Desk) -> None:
    packet = lead.plan_packet()
    data = bytearray(packet.read_bytes())
    data[len(data) // 2] ^= 1
    packet.write_bytes(bytes(data))
    (found,) = check_files(lead.logbook.path, [packet], unheard)
    assert found.outcome is Outcome.UNREADABLE
    assert found.sentences


def test_it_stops_between_two_files(lead: Desk, tmp_path: Path) -> None:
    def stop(done: int, _: int) -> None:
        if done:
            raise Stopped("Stopped.")

    with pytest.raises(Stopped):
        check_files(lead.logbook.path, [tmp_path / "a", tmp_path / "b"], stop)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=300), head=st.sampled_from([b"", b"PK\x03\x04", b"%PDF-1.7\n"]))
def test_whatever_a_file_holds_there_is_a_sentence(lead: Desk, data: bytes, head: bytes) -> None:
    path = lead.logbook.path.with_name("thing")
    path.write_bytes(head + data)
    (found,) = check_files(lead.logbook.path, [path], unheard)
    assert found.outcome is not Outcome.SOUND
    assert all(found.sentences)


@pytest.mark.parametrize("typed", ["", "43a8", "0000 0000 0000", "no code at all"])
def test_a_code_of_no_sheet_is_told(lead: Desk, typed: str) -> None:
    with pytest.raises(BadInput):
        sheet_of_code(lead.logbook, typed)
