"""The measure of agreement compares with its peers and names its goals."""

from __future__ import annotations

import subprocess
from pathlib import Path

SCRIPT = Path(__file__).resolve().parents[2] / "packaging" / "agreeing.py"


def test_it_says_what_it_measures() -> None:
    source = SCRIPT.read_text(encoding="utf-8")
    for goal in ("20)", "500)"):
        assert goal in source


def test_it_says_how_to_run_it(python: str) -> None:
    told = subprocess.run(
        [python, str(SCRIPT), "--help"], capture_output=True, text=True, check=True
    )
    assert "--resamples" in told.stdout
