"""The risk at a cut, read from a table."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.domain.troubles import BadInput
from observe.work.file_risk import Asked, file_risk


def test_learners_without_a_score_are_left_out_and_those_without_a_name_told_by_line(
    tmp_path: Path,
) -> None:
    file = tmp_path / "s.csv"
    lines = [f"l{place},{40 + 3 * place}" for place in range(15)]
    file.write_text("\n".join(["learner,value", *lines, ",71", "x,"]), encoding="utf-8")
    found = file_risk(file, Asked(60, 0.8))
    assert found.learners is not None
    assert found.learners["line 17"][0] == 71
    assert "1 row without a score left out." in found.notes
    chances = [found.learners[f"l{place}"][1] for place in range(15)]
    assert chances == sorted(chances)


def test_the_scale_is_asked_for(tmp_path: Path) -> None:
    file = tmp_path / "s.csv"
    file.write_text("score\n" + "\n".join(str(place % 30) for place in range(60)), encoding="utf-8")
    with pytest.raises(BadInput, match="outside the scale"):
        file_risk(file, Asked(15, 0.8, most=20))
    assert file_risk(file, Asked(15, 0.8, most=30)).found is not None
