"""The top of the first page."""

from dataclasses import replace

from observe.look.marks import DecisionLook, LineLook
from observe.look.shapes import Rect
from observe.look.tokens import Token
from observe.sheets.blocks import Block, Line, seen_of
from observe.sheets.heading import band, criticals, decision, rule_lines, settling
from observe.sheets.setting import SETTINGS, Paper
from tests.sheets.samples import LONG_NAME, fatal, passed, practice, remediate, undecided, void

ROOM = 493.0
NORMAL = SETTINGS[1]


def text(block: Block) -> str:
    return " ".join(item.text for item in block.items if isinstance(item, Line))


def test_the_band_is_as_wide_as_the_page_and_holds_the_longest_name() -> None:
    width = Paper.A4.size[0]
    for learner in ("Ravi Senapathi", LONG_NAME, "W" * 80):
        block = band(replace(remediate().occasion, learner=learner), NORMAL, width)
        ground = block.items[0]
        assert isinstance(ground, Rect)
        assert (ground.x, ground.y, ground.width, ground.ink) == (0, 0, width, Token.BAND)
        for line in block.items:
            if isinstance(line, Line):
                assert line.box[1] >= 0
                assert line.box[3] <= block.height


def test_the_band_says_who_what_when_and_where() -> None:
    said = text(band(remediate().occasion, NORMAL, 595))
    for part in ("Ravi Senapathi", "Adult lumbar puncture", "second attempt, formative"):
        assert part in said
    assert "14:05" in said


def test_a_decision_has_its_word_its_sentence_and_its_mark() -> None:
    block = decision(remediate(), NORMAL, ROOM)
    assert text(block).startswith("Remediate One line of the rule failed")
    inks = {item.ink for item in block.items if not isinstance(item, Line) and hasattr(item, "ink")}
    assert inks == {Token.WRONG}


def test_practice_has_no_mark_of_a_decision() -> None:
    block = decision(practice(), NORMAL, ROOM)
    assert all(isinstance(item, Line) for item in seen_of(block.items))
    assert "no decision" in text(block)


def test_a_later_revision_names_what_it_replaces() -> None:
    said = text(decision(void(), NORMAL, ROOM))
    assert "Revision 2. It replaces revision 1" in said
    assert "Revision" not in text(decision(remediate(), NORMAL, ROOM))


def test_only_failed_lines_lie_on_a_coloured_ground() -> None:
    content = remediate()
    grounds = [
        item
        for item in rule_lines(content, NORMAL, ROOM).items
        if isinstance(item, Rect) and item.ink is Token.WRONGBG
    ]
    assert len(grounds) == sum(line.look is LineLook.FAILED for line in content.lines)
    assert rule_lines(practice(), NORMAL, ROOM).height == 0


def test_critical_items_come_with_time_and_word() -> None:
    said = text(criticals(fatal(), NORMAL, ROOM))
    assert "Takes the needle out without the stylet 14:27 fatal" in said
    assert "14:22 fatal, 3 of 3" in said
    assert "14:11 withdrawn" in said
    assert criticals(passed(), NORMAL, ROOM).height == 0


def test_critical_items_that_nobody_watched_are_listed() -> None:
    said = text(criticals(undecided(), NORMAL, ROOM))
    assert "Not watched throughout, 2 of 8: Leaves a sharp in the field;" in said


def test_d2_an_undecided_sheet_shows_both_lists() -> None:
    said = text(settling(undecided(), NORMAL, ROOM))
    assert "A pass, if these are seen and done" in said
    assert "17 Advances in small steps" in said
    assert "Remediation, if these are seen and not done" in said
    assert "not by memory" in said
    assert settling(remediate(), NORMAL, ROOM).height == 0


def test_d2_an_empty_list_says_that_it_cannot_come_to_that() -> None:
    content = undecided()
    one_sided = replace(content, settling=replace(content.settling, to_remediate=()))
    assert "it cannot come to that" in text(settling(one_sided, NORMAL, ROOM))


def test_every_decision_has_a_heading() -> None:
    for look in DecisionLook:
        content = replace(passed(), decision=replace(passed().decision, look=look))
        assert decision(content, NORMAL, ROOM).height > 25
