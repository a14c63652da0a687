"""What a paper scoring sheet holds."""

from dataclasses import fields

from observe.sheets.paper_content import PaperSheet
from tests.sheets.papers import a_sheet


def test_steps_stand_in_the_order_of_the_form_though_a_phase_comes_again() -> None:
    sheet = a_sheet()
    assert [step.number for step in sheet.steps] == list(range(1, 32))
    assert sheet.phases[0].label == sheet.phases[-1].label


def test_d3_nothing_on_it_could_be_a_score_a_decision_or_a_cut() -> None:
    names = {one.name for one in fields(PaperSheet)}
    assert not names & {"score", "decision", "cut", "coverage", "bounds", "weight"}
