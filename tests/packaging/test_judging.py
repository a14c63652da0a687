"""The measure of decisions runs on a real form and names its goals."""

from __future__ import annotations

import subprocess
from pathlib import Path

SCRIPT = Path(__file__).resolve().parents[2] / "packaging" / "judging.py"


def test_it_decides_and_charts(python: str) -> None:
    told = subprocess.run(
        [python, str(SCRIPT), "--attempts", "20", "--learners", "10"],
        capture_output=True,
        text=True,
        check=True,
    )
    first, second = told.stdout.splitlines()
    assert first.startswith("20 attempts scored and decided in ")
    assert "(goal 2)" in first
    assert "LC-CUSUM of 10 learners with 100 attempts" in second
