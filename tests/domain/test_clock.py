"""The clock of one attempt (rule E2)."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from observe.domain.clock import Clock, between_ns
from observe.domain.events import Stamp

SECOND = 10**9
BASE = datetime(2026, 3, 2, 9, tzinfo=UTC)


def stamp(wall_s: float, monotonic_s: int, boot: str = "a") -> Stamp:
    at = (BASE + timedelta(seconds=wall_s)).isoformat(timespec="milliseconds")
    return Stamp(at, monotonic_s * SECOND, boot)


stamps = st.builds(
    stamp, st.integers(-5000, 5000), st.integers(0, 5000), st.sampled_from(["a", "b"])
)


def test_e2_within_one_boot_durations_are_monotonic() -> None:
    assert between_ns(stamp(0, 10), stamp(-3600, 25)) == 15 * SECOND


def test_e2_across_boots_durations_are_wall_time() -> None:
    assert between_ns(stamp(0, 5000), stamp(90.5, 3, "b")) == 90_500_000_000


def test_e2_a_clock_set_back_gives_0() -> None:
    assert between_ns(stamp(0, 10), stamp(60, 9)) == 0
    assert between_ns(stamp(0, 10), stamp(-60, 9, "b")) == 0


def test_e2_wall_times_of_other_zones_are_compared_in_utc() -> None:
    assert (
        between_ns(
            Stamp("2026-03-02T10:00:00.000+01:00", 0, "a"),
            Stamp("2026-03-02T09:00:01.000Z", 0, "b"),
        )
        == SECOND
    )


def test_a_clock_that_never_started_shows_0() -> None:
    assert Clock().elapsed_ns(stamp(9, 9)) == 0
    assert not Clock().is_running


def test_a_clock_adds_up_its_runs() -> None:
    clock = Clock().start(stamp(0, 100)).pause(stamp(5, 105)).start(stamp(60, 160))
    assert clock.elapsed_ns(stamp(63, 163)) == 8 * SECOND
    stands = clock.pause(stamp(64, 164))
    assert (stands.spent_ns, stands.is_running) == (9 * SECOND, False)
    assert stands.elapsed_ns(stamp(999, 999)) == 9 * SECOND
    assert stands.started == stamp(0, 100)


def test_starting_a_running_clock_and_pausing_a_standing_one_change_nothing() -> None:
    running = Clock().start(stamp(0, 0))
    assert running.start(stamp(5, 5)) == running
    stands = running.pause(stamp(6, 6))
    assert stands.pause(stamp(9, 9)) == stands


def test_e2_a_run_across_boots_is_said_to_be_one() -> None:
    crossed = Clock().start(stamp(0, 100)).pause(stamp(5, 3, "b"))
    assert crossed.across_boots
    assert crossed.spent_ns == 5 * SECOND
    assert crossed.start(stamp(6, 4, "b")).pause(stamp(7, 5, "b")).across_boots


def test_e2_a_run_within_one_boot_is_not_across_boots() -> None:
    assert not Clock().start(stamp(0, 100)).pause(stamp(5, 105)).across_boots


@given(st.lists(st.tuples(st.sampled_from(["start", "pause"]), stamps), max_size=8), stamps)
def test_e2_time_is_never_negative_and_never_lost(
    runs: list[tuple[str, Stamp]], now: Stamp
) -> None:
    clock = Clock()
    for what, at in runs:
        after = clock.start(at) if what == "start" else clock.pause(at)
        assert after.spent_ns >= clock.spent_ns >= 0
        clock = after
    assert clock.elapsed_ns(now) >= clock.spent_ns


def test_a_moment_that_is_past_has_its_reading() -> None:
    clock = Clock().start(stamp(0, 100)).pause(stamp(10, 110)).start(stamp(60, 160))
    wanted = {90: 0, 100: 0, 104: 4, 110: 10, 130: 10, 160: 10, 165: 15}
    found = {moment: clock.reading_at(stamp(0, moment)) // SECOND for moment in wanted}
    assert found == wanted
    assert Clock().reading_at(stamp(0, 5)) == 0


def test_e2_a_moment_of_another_boot_is_read_by_the_wall() -> None:
    clock = Clock().start(stamp(0, 5000)).pause(stamp(30, 5030)).start(stamp(90, 3, "b"))
    assert clock.reading_at(stamp(20, 1, "b")) == 20 * SECOND
    assert clock.reading_at(stamp(100, 9000, "a")) == 40 * SECOND
