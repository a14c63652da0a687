from typing import TYPE_CHECKING

from observe.domain.marks import DONE, Mark, State
from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.session import open_session

if TYPE_CHECKING:
    from observe.work.demo.run import Demonstration

AT = "2026-03-02T09:00:00.000+00:00"


def test_a_rehearsal_clock_moves_only_when_it_is_moved() -> None:
    machine = RehearsalMachine(AT)
    assert machine.stamp().at == AT
    machine.seconds += 61.5
    assert machine.stamp().at == "2026-03-02T09:01:01.500+00:00"
    assert machine.stamp().monotonic_ns == 61_500_000_000


def test_a_rehearsal_makes_the_same_ids_each_time() -> None:
    one, other = RehearsalMachine(AT), RehearsalMachine(AT)
    made = [(m.gesture(), m.salt(), m.gesture()) for m in (one, other)]
    assert made[0] == made[1]
    assert len(set(made[0])) == 3


def test_every_observation_of_the_demonstration_was_sealed_in_the_order_of_time(
    made: "Demonstration",
) -> None:
    from observe.work.logbooks import open_logbook

    with open_logbook(made.logbook) as logbook:
        events = logbook.log.read()
        sealed = [event for event in events if event.kind == "sealed"]
        assert len(sealed) == 11
        times = [event.stamp.at for event in events]
        assert times == sorted(times)
        workshop, _ = logbook.workshops().values()
        session = open_session(logbook, workshop, workshop.seats[0], workshop.seats[0].first)
        assert session.state.mark("LPX-01") == DONE
        assert session.state.mark("LPX-05") == Mark(State.DONE, 1)

