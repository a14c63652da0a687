from typing import TYPE_CHECKING

from observe.work import agree
from observe.work.debrief import attempt_result
from observe.work.demo import summary

if TYPE_CHECKING:
    from observe.work.logbooks import Logbook


def test_the_director_reads_each_learner_in_seat_order_with_what_settles_it(
    logbook: "Logbook",
) -> None:
    workshop, _ = logbook.workshops().values()
    results = [attempt_result(logbook, workshop, seat) for seat in workshop.seats]
    found = agree.agreement(logbook, workshop)
    lines = summary.as_text(workshop, logbook.names(), results, found).splitlines()
    numbered = [line for line in lines if line[:1].isdigit() and line[1:3] == "  "]
    assert [line[0] for line in numbered] == list("12345678")
    assert "Undecided" in numbered[3]
    undecided = lines.index(numbered[3])
    assert lines[undecided + 2].strip().startswith("To pass, seen done: steps ")
    assert "Void" in numbered[7]


def test_the_record_carries_every_observations_exact_trace(logbook: "Logbook") -> None:
    workshop, _ = logbook.workshops().values()
    results = [attempt_result(logbook, workshop, seat) for seat in workshop.seats]
    found = agree.agreement(logbook, workshop)
    record = summary.as_record(workshop, logbook.names(), results, {}, found)
    assert [len(seat["observations"]) for seat in record["seats"]] == [2, 1, 2, 1, 1, 2, 1, 1]
    score = record["seats"][0]["observations"][0]["score"]
    assert "/" in str(score["value"])
