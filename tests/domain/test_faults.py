"""Faults are data, sorted by where they stand."""

from observe.domain.faults import Fault


def test_faults_sort_by_line_then_sentence() -> None:
    faults = [Fault(9, "b", ""), Fault(10, "a", ""), Fault(9, "a", "")]
    assert [(fault.line, fault.sentence) for fault in sorted(faults)] == [
        (9, "a"),
        (9, "b"),
        (10, "a"),
    ]


def test_a_fault_blocks_unless_it_is_a_remark() -> None:
    assert Fault(1, "a", "b").blocking
    assert not Fault(1, "a", "b", blocking=False).blocking
