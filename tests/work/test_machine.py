import re
import uuid
from datetime import UTC, datetime, timedelta, timezone

from observe.work.machine import ThisMachine, iso, time_ordered_id


def test_a_time_ordered_id_is_the_published_example() -> None:
    # RFC 9562, appendix A.6: 1645557742000 ms gives 017F22E2-79B0-7CC3-98C4-DC0C0C07398F.
    noise = bytes.fromhex("0cc318c4dc0c0c07398f")
    assert time_ordered_id(1645557742000, noise) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_ids_made_later_sort_later() -> None:
    noise = bytes(10)
    ids = [time_ordered_id(moment, noise) for moment in (1, 2, 1_000_000, 2**47)]
    assert ids == sorted(ids)
    assert {uuid.UUID(one).version for one in ids} == {7}


def test_moments_are_written_in_utc_with_milliseconds() -> None:
    moment = datetime(2026, 3, 2, 11, 0, 0, 1500, tzinfo=timezone(timedelta(hours=2)))
    assert iso(moment) == "2026-03-02T09:00:00.001+00:00"


def test_this_machine_stamps_with_one_boot_and_a_clock_that_runs_on() -> None:
    machine = ThisMachine()
    first, second = machine.stamp(), machine.stamp()
    assert first.boot == second.boot
    assert second.monotonic_ns >= first.monotonic_ns
    assert abs(datetime.fromisoformat(first.at) - datetime.now(UTC)) < timedelta(minutes=1)


def test_salts_and_gestures_are_never_twice_the_same() -> None:
    machine = ThisMachine()
    assert len({machine.salt() for _ in range(100)}) == 100
    assert len({machine.gesture() for _ in range(100)}) == 100
    assert re.fullmatch(r"[0-9a-f]{32}", machine.salt())
