"""The top and the end of a paper sheet."""

from observe.look.shapes import Rect
from observe.sheets import paper_ends
from observe.sheets.blocks import Block, Line
from tests.sheets.papers import a_sheet

ROOM = 538.0


def said(block: Block) -> str:
    return " ".join(line.text for line in block.items if isinstance(line, Line))


def test_the_head_says_whose_it_is_and_what_is_left_out_with_its_reason() -> None:
    words = said(paper_ends.heading(a_sheet(), ROOM))
    for told in ("Lina One", "On the left", "Anna", "Not clinically reviewed."):
        assert told in words
    assert "Not today, so not on this sheet: 4 Cuts the strings (kits are reused)." in words
    assert "Not seen: leave the row blank." in words


def test_what_is_not_known_has_a_line_to_write_on() -> None:
    def lines(block: Block) -> int:
        return sum(isinstance(item, Rect) for item in block.items)

    named = paper_ends.heading(a_sheet(), ROOM)
    spare = paper_ends.heading(a_sheet(learner=""), ROOM)
    assert lines(spare) == lines(named) + 1
    assert lines(paper_ends.running(a_sheet(learner=""), ROOM)) == 2


def test_every_page_says_whose_it_is_of_which_form_and_how_many_there_are() -> None:
    assert "Lina One" in said(paper_ends.running(a_sheet(), ROOM))
    foot = said(paper_ends.foot(a_sheet(), 2, 4, ROOM))
    assert "LPX 1.0, 1234567890ab" in foot
    assert "page 2 of 4" in foot
    long = paper_ends.running(a_sheet(learner="Anna-Katharina " * 6), ROOM)
    assert all(line.box[2] <= ROOM + 0.01 for line in long.items if isinstance(line, Line))


def test_m4_m6_time_out_and_stop_can_be_told() -> None:
    words = said(paper_ends.clock_and_stop(ROOM))
    for told in ("Start", "End", "time-out", "Safety stop at", "void", "countersigned"):
        assert told in words


def test_who_watched_and_who_typed_it_in_sign_apart() -> None:
    words = said(paper_ends.signatures(ROOM))
    assert "Watched by" in words
    assert "Typed in by" in words
    assert words.count("date, time") == 2
    assert "One strength" in said(paper_ends.words(ROOM))
    assert "Overall grade" in said(paper_ends.overall(a_sheet(), ROOM))


def test_notes_have_lines_where_there_is_room_for_some() -> None:
    assert paper_ends.notes(ROOM, 40).height == 0
    assert 60 < paper_ends.notes(ROOM, 100).height <= 100
