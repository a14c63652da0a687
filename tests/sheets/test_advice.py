from dataclasses import replace

from observe.look.shapes import Rect
from observe.look.tokens import Token
from observe.sheets.advice import keep_and_change, what_now, work_on
from observe.sheets.blocks import Block, Line
from observe.sheets.content import Advice
from observe.sheets.setting import SETTINGS
from tests.sheets.samples import passed, remediate

ROOM = 493.0
NORMAL = SETTINGS[1]


def text(block: Block) -> str:
    return " ".join(item.text for item in block.items if isinstance(item, Line))


def test_d3_one_strength_and_one_change_in_the_observers_words() -> None:
    said = text(keep_and_change(remediate(), NORMAL, ROOM))
    assert "Keep doing Small steps with the needle" in said
    assert "Change next time Count before you mark" in said


def test_one_of_the_two_alone_keeps_its_side() -> None:
    content = replace(remediate(), advice=Advice("", "Count aloud."))
    block = keep_and_change(content, NORMAL, ROOM)
    assert "Keep doing" not in text(block)
    assert min(item.x for item in block.items if isinstance(item, Line)) > ROOM / 2
    assert keep_and_change(replace(content, advice=Advice("", "")), NORMAL, ROOM).height == 0


def test_a_step_to_work_on_says_what_good_looks_like_and_what_often_goes_wrong() -> None:
    said = text(work_on(remediate().advice.work_on, "Steps to work on", NORMAL, ROOM))
    assert "Palpates crests and names the interspace" in said
    assert "Next time: Finds both crests" in said
    assert "Often: One crest only; Names a space without counting." in said
    assert work_on((), "Steps to work on", NORMAL, ROOM).height == 0


def test_what_happens_now_lies_on_a_ground_with_a_stripe() -> None:
    block = what_now(remediate(), NORMAL, ROOM)
    grounds = [item.ink for item in block.items if isinstance(item, Rect)]
    assert grounds == [Token.PANEL, Token.ACT]
    assert "“I will count aloud" in text(block)
    assert block.width == ROOM
    assert what_now(passed(), NORMAL, ROOM).height == 0


def test_what_went_well_is_tied_to_its_step() -> None:
    said = text(keep_and_change(remediate(), NORMAL, ROOM))
    assert "Step 17, in the observer's words." in said
    said = said.replace("\xa0", "")
    assert "11 Drapes with window over the mark: done alone at 14:12" in said
    assert said.index("Also done well") < said.index("9 Hand hygiene")


def test_steps_that_went_well_stand_without_the_observers_words() -> None:
    advice = replace(remediate().advice, strength="", change="")
    said = text(keep_and_change(replace(remediate(), advice=advice), NORMAL, ROOM))
    assert said.replace("\xa0", "").startswith("Keep doing 9 Hand hygiene")
    assert "Step 17" not in said
    assert "Change next time" not in said
