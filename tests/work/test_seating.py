"""A workshop that changes on the day: seats, rooms, absence, late arrivals."""

from collections.abc import Callable, Mapping, Sequence

import pytest

from observe.domain import gestures
from observe.domain.arrangement import MOST_SEATS, NOWHERE, Spot
from observe.domain.events import Draft, Event
from observe.domain.marks import DONE
from observe.domain.profile import Departure, Doing
from observe.domain.troubles import Overtaken, Refused
from observe.domain.workshop import Seat, Station, Workshop
from observe.work.logbooks import Logbook
from observe.work.planning import FormPlan, Person, Place, Plan
from observe.work.seating import (
    FreePlace,
    Late,
    add_form,
    add_late,
    arrange,
    first_free,
    free_places,
    move,
    note_absent,
    note_arrived,
    swap,
    swap_rooms,
)
from observe.work.session import Room
from tests.work.conftest import Bench

ONE, TWO, THREE = range(3)
LATE = Late(Person("l9", "Vera Nine"), "sitting")


@pytest.fixture
def three(two_forms: Bench) -> list[str]:
    """The attempts of the bench with two forms: two in room 1, one in room 2."""
    return [seat.attempt for seat in two_forms.workshop.seats]


def where(workshop: Workshop) -> dict[str, Spot]:
    return {seat.learner: seat.spot for seat in workshop.seats}


def mark_one(bench: Bench, seat: int) -> None:
    session = bench.session(seat, "o1")
    session.do(gestures.mark, session.state.steps[0].id, DONE)


def test_marks_stay_with_the_learner_who_changes_seats(two_forms: Bench, three: list[str]) -> None:
    mark_one(two_forms, 1)
    now = swap(two_forms.logbook, two_forms.workshop, three[ONE], three[THREE], by="o1")
    assert where(now) == {"l1": Spot(2, 3), "l2": Spot(1, 2), "l3": Spot(1, 1)}
    room = Room(two_forms.logbook, now, "o1")
    marked = [one.seat.learner for one in room.sessions if one.state.entries]
    assert marked == ["l1"]
    assert [one.seat.number for one in room.sessions] == [1, 2, 3]


def test_an_arrangement_is_undone_by_arranging_again(two_forms: Bench, three: list[str]) -> None:
    logbook, before = two_forms.logbook, two_forms.workshop
    swap(logbook, before, three[ONE], three[TWO], by="o1")
    assert swap(logbook, before, three[ONE], three[TWO], by="o1") == before
    assert len(logbook.log.read(kinds=("seats-arranged",))) == 2


def test_rooms_are_swapped_with_their_seats(two_forms: Bench) -> None:
    now = swap_rooms(two_forms.logbook, two_forms.workshop, by="o1")
    assert where(now) == {"l1": Spot(2, 1), "l2": Spot(2, 2), "l3": Spot(1, 3)}


def test_a_learner_moves_to_a_free_place_of_the_other_room(
    two_forms: Bench, three: list[str]
) -> None:
    now = move(two_forms.logbook, two_forms.workshop, three[ONE], Spot(2, 4), by="o1")
    assert [seat.learner for seat in now.in_room(2)] == ["l3", "l1"]
    assert FreePlace(Spot(1, 1)) in free_places(now, 1)
    assert FreePlace(Spot(1, 1)) not in free_places(now, 2)


def test_the_whole_room_is_arranged_at_once(two_forms: Bench, three: list[str]) -> None:
    turned = {three[ONE]: Spot(1, 2), three[TWO]: Spot(2, 3), three[THREE]: Spot(1, 1)}
    now = arrange(two_forms.logbook, two_forms.workshop, turned, by="o1")
    assert where(now) == {"l1": Spot(1, 2), "l2": Spot(2, 3), "l3": Spot(1, 1)}


ARRANGING: dict[str, Callable[[Logbook, Workshop, list[str]], object]] = {
    "the same learner twice": lambda log, w, of: swap(log, w, of[ONE], of[ONE], by="o1"),
    "no such attempt": lambda log, w, of: swap(log, w, of[ONE], "nobody", by="o1"),
    "cannot sit at one seat": lambda log, w, of: move(log, w, of[ONE], Spot(1, 2), by="o1"),
    "sits there already": lambda log, w, of: move(log, w, of[ONE], Spot(1, 1), by="o1"),
    "two rooms": lambda log, w, of: move(log, w, of[ONE], Spot(3, 9), by="o1"),
    "Everybody sits there": lambda log, w, of: arrange(log, w, {of[ONE]: Spot(1, 1)}, by="o1"),
    "needs a place": lambda log, w, of: arrange(log, w, {of[ONE]: NOWHERE}, by="o1"),
    "not noted absent": lambda log, w, of: note_arrived(log, w, of[ONE], by="o1"),
}
LINA = Late(Person("l1", "Lina One"), "sitting")
ADDING: dict[str, tuple[Late, str]] = {
    "needs a name": (Late(Person("", " "), ""), "o1"),
    "not on the list": (LATE, "nobody"),
    "no such variant": (Late(LATE.learner, "copper"), "o1"),
    "The form is not one": (Late(LATE.learner, "sitting", form="0" * 64), "o1"),
    "planned already, at seat 1": (LINA, "o1"),
}


@pytest.mark.parametrize("said", ARRANGING)
def test_an_arrangement_that_cannot_be_is_refused_in_words_and_keeps_nothing(
    two_forms: Bench, three: list[str], said: str
) -> None:
    before = two_forms.logbook.log.read()
    with pytest.raises(Refused) as refused:
        ARRANGING[said](two_forms.logbook, two_forms.workshop, three)
    assert said in str(refused.value)
    assert refused.value.remedy
    assert two_forms.logbook.log.read() == before


@pytest.mark.parametrize("said", ADDING)
def test_who_cannot_be_added_is_refused_in_words_and_nothing_is_kept(
    two_forms: Bench, said: str
) -> None:
    before = two_forms.logbook.log.read()
    late, by = ADDING[said]
    with pytest.raises(Refused) as refused:
        add_late(two_forms.logbook, two_forms.workshop, late, by=by)
    assert said in str(refused.value)
    assert refused.value.remedy
    assert two_forms.logbook.log.read() == before


def test_a_form_is_added_once(two_forms: Bench) -> None:
    known = FormPlan(two_forms.workshop.forms[0].form)
    with pytest.raises(Refused, match="has this form already"):
        add_form(two_forms.logbook, two_forms.workshop, known, by="o1")


def test_an_absent_learners_place_is_free_with_the_name(two_forms: Bench, three: list[str]) -> None:
    now = note_absent(two_forms.logbook, two_forms.workshop, three[TWO], by="o1")
    assert now.seat_of(three[TWO]).absent
    assert FreePlace(Spot(1, 2), three[TWO]) in free_places(now, 1)
    with pytest.raises(Refused, match="absent already"):
        note_absent(two_forms.logbook, now, three[TWO], by="o1")
    assert note_arrived(two_forms.logbook, now, three[TWO], by="o1") == two_forms.workshop


def test_who_has_marks_was_here(two_forms: Bench, three: list[str]) -> None:
    mark_one(two_forms, 1)
    logbook, workshop = two_forms.logbook, two_forms.workshop
    with pytest.raises(Refused, match="clock of Lina One runs"):
        note_absent(logbook, workshop, three[ONE], by="o1")
    session = two_forms.session(1, "o1")
    session.do(gestures.pause_clock)
    with pytest.raises(Refused, match="so they were here") as refused:
        note_absent(logbook, workshop, three[ONE], by="o1")
    assert "hand the learner over" in refused.value.remedy
    session.do(gestures.take_back)
    assert note_absent(logbook, workshop, three[ONE], by="o1").seat_of(three[ONE]).absent


def test_who_moves_to_an_absent_learners_place_leaves_them_the_old_one(
    two_forms: Bench, three: list[str]
) -> None:
    away = note_absent(two_forms.logbook, two_forms.workshop, three[TWO], by="o1")
    now = move(two_forms.logbook, away, three[ONE], Spot(1, 2), by="o1")
    assert where(now)["l1"] == Spot(1, 2)
    assert where(now)["l2"] == Spot(1, 1)


def test_who_comes_late_is_observed_by_who_adds_them_t4(two_forms: Bench) -> None:
    now = add_late(two_forms.logbook, two_forms.workshop, LATE, by="o2")
    seat = next(one for one in now.seats if one.learner == "l9")
    assert (seat.first, seat.second, seat.ordinal, seat.spot) == ("o2", "", 1, Spot(1, 4))
    room = Room(two_forms.logbook, now, "o2")
    assert room.name("l9") == "Vera Nine"
    assert "l9" in [one.seat.learner for one in room.sessions]


def test_a_late_learner_is_somebody_new_unless_known(two_forms: Bench) -> None:
    late = Late(
        Person("", "  Vera Nine "), "copper", Spot(2, 7), two_forms.workshop.forms[1].form,
        Station("trainer"),
    )  # fmt: skip
    now = add_late(two_forms.logbook, two_forms.workshop, late, by="o1")
    again = add_late(two_forms.logbook, now, Late(late.learner, "sitting"), by="o1")
    seat = again.in_room(2)[-1]
    assert (seat.number, seat.station.trainer) == (7, "trainer")
    assert len({one.learner for one in again.seats}) == 5
    assert two_forms.logbook.names()[seat.learner] == "Vera Nine"


def test_a_late_learner_takes_the_place_of_who_is_absent(
    two_forms: Bench, three: list[str]
) -> None:
    logbook = two_forms.logbook
    away = note_absent(logbook, two_forms.workshop, three[TWO], by="o1")
    late = Late(LATE.learner, "sitting", Spot(1, 2))
    taken = add_late(logbook, away, late, by="o1")
    assert where(taken) == {
        "l1": Spot(1, 1),
        "l9": Spot(1, 2),
        "l3": Spot(2, 3),
        "l2": NOWHERE,
    }
    with pytest.raises(Refused, match="has no place"):
        swap(logbook, taken, three[TWO], three[ONE], by="o1")
    back = note_arrived(logbook, taken, three[TWO], by="o1")
    assert where(back)["l2"] == Spot(1, 4)
    assert not back.seat_of(three[TWO]).absent


def test_who_arrives_may_sit_elsewhere(two_forms: Bench, three: list[str]) -> None:
    logbook = two_forms.logbook
    away = note_absent(logbook, two_forms.workshop, three[TWO], by="o1")
    with pytest.raises(Refused, match="cannot sit at one seat"):
        note_arrived(logbook, away, three[TWO], by="o1", spot=Spot(1, 1))
    here = note_arrived(logbook, away, three[TWO], by="o1", spot=Spot(2, 9))
    assert where(here)["l2"] == Spot(2, 9)


def full_room(bench: Bench, plan: Callable[..., Plan]) -> Workshop:
    seated = tuple(
        Place(Person(f"f{n}", f"Full {n}"), "sitting", "o1") for n in range(1, MOST_SEATS + 1)
    )
    form = bench.workshop.forms[0].form
    return bench.plan(plan(form, places=seated, looks=0, seed="full"))


def test_a_thirteenth_goes_to_the_other_room_or_to_an_absent_learners_place(
    bench: Bench, plan: Callable[..., Plan]
) -> None:
    workshop = full_room(bench, plan)
    assert free_places(workshop, 1) == ()
    assert first_free(workshop) == Spot(2, 13)
    here = Late(LATE.learner, "sitting", Spot(1, 13))
    with pytest.raises(Refused, match="12 seats are the most"):
        add_late(bench.logbook, workshop, here, by="o1")
    away = workshop.seats[4]
    now = note_absent(bench.logbook, workshop, away.attempt, by="o1")
    assert free_places(now, 1) == (FreePlace(Spot(1, 5), away.attempt),)
    now = add_late(bench.logbook, now, Late(LATE.learner, "sitting", Spot(1, 5)), by="o1")
    assert len(now.in_room(1)) == MOST_SEATS
    assert where(now)["l9"] == Spot(1, 5)


def test_where_both_rooms_are_full_nobody_is_added(bench: Bench, plan: Callable[..., Plan]) -> None:
    workshop = full_room(bench, plan)
    for n in range(MOST_SEATS):
        learner = Person(f"r{n}", f"Room Two {n}")
        workshop = add_late(bench.logbook, workshop, Late(learner, "sitting"), by="o2")
    assert [len(workshop.in_room(room)) for room in (1, 2)] == [MOST_SEATS, MOST_SEATS]
    with pytest.raises(Refused, match="Both rooms are full"):
        add_late(bench.logbook, workshop, LATE, by="o2")


def test_w1_a_form_is_added_on_the_day_with_its_profile(bench: Bench, two_forms: Bench) -> None:
    first, second = two_forms.workshop.forms
    plain = bench.logbook.workshops()[next(iter(bench.logbook.workshops()))]
    voiced = (Departure("IUP-07", Doing.VOICE, "The dose is named."),)
    now = add_form(bench.logbook, plain, FormPlan(second.form, voiced), by="o1")
    assert [one.form for one in now.forms] == [first.form, second.form]
    late = Late(LATE.learner, "copper", form=second.form)
    seat: Seat = add_late(bench.logbook, now, late, by="o1").seats[-1]
    assert now.profile_of(seat).departures == voiced


def test_a_mark_that_another_window_sets_in_that_moment_is_not_overlooked(
    two_forms: Bench, three: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between looking whether anything is kept, and noting the absence."""
    session = two_forms.session(2, two_forms.workshop.seats[1].first)
    logbook, append = two_forms.logbook, two_forms.logbook.append

    def marked_before(
        drafts: Sequence[Draft], *, newest: Mapping[str, str] | None = None
    ) -> tuple[Event, ...]:
        monkeypatch.undo()
        session.do(gestures.mark, session.state.steps[0].id, DONE)
        return append(drafts, newest=newest)

    monkeypatch.setattr(logbook, "append", marked_before)
    with pytest.raises(Overtaken):
        note_absent(logbook, two_forms.workshop, three[TWO], by="o1")
    assert not logbook.workshops()[two_forms.workshop.id].seat_of(three[TWO]).absent
