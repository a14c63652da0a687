"""The standard error on a sheet is absolute, from planned second looks, or there is none."""

from typing import TYPE_CHECKING

from observe.domain.marks import NOT_DONE
from observe.work.debrief import attempt_result
from observe.work.measured import Measuring, measured
from observe.work.reviewing import Pair

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def seal_first(bench: "Bench", *, second_misses: str = "") -> None:
    """Seat 1, whose second look was planned."""
    seat = bench.workshop.seats[0]
    for observer in seat.observers:
        session = bench.session(1, observer)
        misses = {second_misses: NOT_DONE} if second_misses and observer == seat.second else {}
        bench.mark_all(session, but=misses)
        bench.seal(session)


def test_a1_too_few_second_looks_give_a_reason_and_no_number(bench: "Bench") -> None:
    seal_first(bench)
    found = Measuring(bench.logbook).of(bench.workshop, bench.workshop.seats[0])
    assert (found.error, found.pairs) == (None, 1)
    assert found.said == (
        "Standard error between observers: not estimable, since 1 attempt was seen by two as"
        " planned; 10 are needed."
    )


def test_it_is_the_root_of_half_the_mean_squared_difference(bench: "Bench") -> None:
    """Ten times the same pair, d apart: d over root two (Bland & Altman 1996, BMJ 313:744)."""
    seal_first(bench, second_misses="LPX-16")
    seat = bench.workshop.seats[0]
    pair = Pair(
        "a", seat, "l1", ("first", "second"), attempt_result(bench.logbook, bench.workshop, seat)
    )
    one, other = (shown.decision.score.whole.value for shown in pair.reveals)
    assert one is not None
    assert other is not None
    found = measured((pair,) * 10)
    assert found.error is not None
    assert abs(float(found.error) - float(one - other) / 2**0.5) < 1e-6
    assert found.said == "from 10 attempts that two observers saw"


def test_a_later_seal_is_taken_in(bench: "Bench") -> None:
    found = Measuring(bench.logbook)
    assert found.of(bench.workshop, bench.workshop.seats[0]).pairs == 0
    seal_first(bench)
    assert found.of(bench.workshop, bench.workshop.seats[0]).pairs == 1
