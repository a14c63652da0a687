"""Faults in the order of the text; one slip of the pen is one fault."""

from observe.domain.formfindings import Findings, meant, shorten
from observe.domain.formplaces import Places
from tests.domain.smallform import SMALL, changed, faults_of, line_of


def found() -> Findings:
    return Findings(Places(SMALL))


def test_what_could_not_be_read_is_not_compared() -> None:
    findings = found()
    findings.add(("rule", "cut"), "The cut is text.", "Write a number.")
    findings.misfit(("rule", "cut"), "The cut is low.", "Raise it.")
    findings.misfit(
        ("rule", "k"), "The rule has a k.", "Leave it out.", rests_on=(("rule", "cut"),)
    )
    findings.remark(("rule", "cut"), "The cut is odd.", "Look again.")
    assert [fault.sentence for fault in findings.sorted()] == ["The cut is text."]
    assert findings.unread(("rule", "cut"), ("rule", "k"))


def test_two_misfits_of_one_entry_are_two_faults() -> None:
    findings = found()
    findings.misfit(("credit", "done"), "It rises.", "Let it fall.")
    findings.misfit(("credit", "done"), "It begins low.", "Begin with 1.")
    assert [fault.line for fault in findings.sorted()] == [line_of("done = [1,")] * 2


def test_a_remark_does_not_block() -> None:
    findings = found()
    findings.remark(("rule",), "The rule is odd.", "Look again.")
    assert [fault.blocking for fault in findings.sorted()] == [False]


def test_meant_is_silent_where_nothing_comes_close() -> None:
    assert meant("voise", ["voice", "when"]) == " Did you mean “voice”?"
    assert meant("zzz", ["voice", "when"]) == ""
    assert meant(7, ["voice"]) == ""


def test_names_from_a_file_are_shortened() -> None:
    assert len(shorten("x" * 500)) == 40


def test_findings_come_sorted_by_line() -> None:
    text = changed("weight = 0.5", "weight = 0", changed('short = "Small"', "short = 1"))
    assert [fault.line for fault in faults_of(text)] == sorted(
        [line_of('short = "Small"'), line_of("weight = 0.5")]
    )
