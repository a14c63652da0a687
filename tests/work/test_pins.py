"""K1: observers who share a tablet are kept apart by a PIN; nothing is lost by a bad file."""

import json
import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import Refused, Surroundings
from observe.work import pins
from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.pins import WAITS_S, Pins, pins_path, require_fit


@pytest.fixture
def machine() -> RehearsalMachine:
    return RehearsalMachine("2026-03-02T09:00:00.000+00:00")


@pytest.fixture
def held(tmp_path: Path, machine: RehearsalMachine, monkeypatch: pytest.MonkeyPatch) -> Pins:
    monkeypatch.setattr(pins, "COST", 4)
    return Pins(pins_path(tmp_path / "logbook.observe"), machine)


def refusal(held: Pins, person: str, pin: str) -> str:
    with pytest.raises(Refused) as told:
        held.enter(person, pin)
    return str(told.value)


def test_k1_without_a_pin_a_room_opens_freely(held: Pins) -> None:
    held.enter("o1", "")
    assert not held.has("o1")
    assert not held.path.exists()


def test_k1_a_room_with_a_pin_opens_to_that_pin_only(held: Pins) -> None:
    held.choose("o1", "2718", "2718")
    held.enter("o1", "2718")
    assert "not the PIN" in refusal(held, "o1", "2719")
    assert "not the PIN" in refusal(held, "o1", "")
    held.enter("o2", "")


def test_k1_the_cost_makes_guessing_slow_and_a_check_short() -> None:
    """8 MB a guess; the time itself is measured by the bench, not here."""
    assert 128 * pins.COST * 8 >= 8_000_000
    assert pins.COST <= 2**14


def test_the_first_pin_is_typed_twice(held: Pins) -> None:
    with pytest.raises(Refused, match="not the same"):
        held.choose("o1", "2718", "2781")
    assert not held.has("o1")


def test_a_pin_that_is_set_is_not_set_over(held: Pins) -> None:
    held.choose("o1", "2718", "2718")
    with pytest.raises(Refused, match="already"):
        held.choose("o1", "3141", "3141")
    held.enter("o1", "2718")


@given(st.text(alphabet="0123456789a²", max_size=8))
def test_a_pin_has_four_to_six_digits_that_are_not_all_the_same(pin: str) -> None:
    fits = 4 <= len(pin) <= 6 and set(pin) <= set("0123456789") and len(set(pin)) > 1
    if fits:
        require_fit(pin)
    else:
        with pytest.raises(Refused):
            require_fit(pin)


def test_neither_pin_nor_anything_like_it_stands_in_the_file(held: Pins) -> None:
    held.choose("o1", "271828", "271828")
    held.choose("o2", "271828", "271828")
    text = held.path.read_text("utf-8")
    assert "271828" not in text
    rows = json.loads(text)["people"]
    assert rows["o1"]["hash"] != rows["o2"]["hash"]
    assert rows["o1"]["salt"] != rows["o2"]["salt"]


def test_only_the_owner_may_read_the_file(held: Pins) -> None:
    held.choose("o1", "2718", "2718")
    assert stat.S_IMODE(held.path.stat().st_mode) == 0o600
    held.choose("o2", "2718", "2718")
    assert stat.S_IMODE(held.path.stat().st_mode) == 0o600
    assert list(held.path.parent.iterdir()) == [held.path]


def test_wrong_pins_are_heard_slower_and_slower(held: Pins, machine: RehearsalMachine) -> None:
    held.choose("o1", "2718", "2718")
    for wait in (*WAITS_S, WAITS_S[-1]):
        refusal(held, "o1", "0001")
        assert held.wait_s("o1") == wait
        if wait:
            machine.seconds += wait - 1
            assert "Too many" in refusal(held, "o1", "2718")
            assert held.wait_s("o1") == 1
            machine.seconds += 1
    held.enter("o1", "2718")
    refusal(held, "o1", "0001")
    assert held.wait_s("o1") == 0


def test_the_wait_outlives_the_program_and_is_each_persons_own(
    held: Pins, machine: RehearsalMachine
) -> None:
    held.choose("o1", "2718", "2718")
    for _ in range(3):
        refusal(held, "o1", "0001")
    again = Pins(held.path, machine)
    assert again.wait_s("o1") == WAITS_S[2]
    assert again.wait_s("o2") == 0


def test_a_clock_set_back_shortens_no_wait(held: Pins, machine: RehearsalMachine) -> None:
    held.choose("o1", "2718", "2718")
    for _ in range(3):
        refusal(held, "o1", "0001")
    machine.seconds -= 3600
    assert held.wait_s("o1") == WAITS_S[2]


def test_a_forgotten_pin_is_removed_on_another_observers_own(held: Pins) -> None:
    held.choose("o1", "2718", "2718")
    assert held.vouchers("o1") == ()
    with pytest.raises(Refused, match="Another observer"):
        held.remove("o1", by="o1", pin="2718")
    with pytest.raises(Refused, match="Another observer"):
        held.remove("o1", by="o2", pin="")
    held.choose("o2", "3141", "3141")
    assert held.vouchers("o1") == ("o2",)
    with pytest.raises(Refused, match="not the PIN"):
        held.remove("o1", by="o2", pin="2718")
    held.remove("o1", by="o2", pin="3141")
    assert not held.has("o1")
    assert held.has("o2")


def test_one_is_asked_to_set_a_pin_once_a_second_observes(held: Pins) -> None:
    assert not held.should_ask("o1", 1)
    assert held.should_ask("o1", 2)
    held.asked.add("o1")
    assert not held.should_ask("o1", 2)
    held.choose("o2", "2718", "2718")
    assert not held.should_ask("o2", 2)


ROW = {
    "salt": "00",
    "hash": "00" * 32,
    "cost": 4,
    "digits": 4,
    "wrong": 0,
    "last_wrong": None,
}
BROKEN: dict[str, object] = {
    "salt": "not hex",
    "hash": "00",
    "cost": 2**40,
    "digits": 12,
    "wrong": "none",
    "last_wrong": {"at": "yesterday", "ns": 1, "boot": "b"},
}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "\x00\xff",
        '{"format": 1}',
        '{"format": 1, "people": []}',
        "[" * 100_000,
        *(
            json.dumps({"format": 1, "people": {"o1": {**ROW, key: value}}})
            for key, value in BROKEN.items()
        ),
    ],
)
def test_a_damaged_file_is_told_and_stays_as_it_is(held: Pins, text: str) -> None:
    held.path.write_text(text, "latin-1")
    before = held.path.read_bytes()
    for ask in (
        lambda: held.has("o1"),
        lambda: held.enter("o1", "2718"),
        lambda: held.choose("o1", "2718", "2718"),
    ):
        with pytest.raises(Surroundings, match="damaged"):
            ask()
    assert held.path.read_bytes() == before
    aside = held.set_aside()
    assert aside.read_bytes() == before
    assert not held.has("o1")


def test_a_newer_file_is_not_read_as_an_old_one(held: Pins) -> None:
    held.path.write_text('{"format": 2, "people": {}}', "utf-8")
    with pytest.raises(Surroundings, match="newer"):
        held.has("o1")


def test_a_file_that_cannot_be_read_or_written_is_told(held: Pins) -> None:
    held.path.mkdir()
    with pytest.raises(Surroundings, match="could not be read"):
        held.has("o1")
    held.path.rmdir()
    gone = Pins(held.path.parent / "absent" / "x.pins", held.machine)
    with pytest.raises(Surroundings, match="it is not there"):
        gone.choose("o1", "2718", "2718")
    with pytest.raises(Surroundings):
        gone.set_aside()


def test_the_pins_are_beside_the_logbook_and_not_in_it(tmp_path: Path) -> None:
    place = pins_path(tmp_path / "course.observe")
    assert place == tmp_path / "course.observe.pins"
