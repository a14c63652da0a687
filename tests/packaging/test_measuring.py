"""The measurements run through once, small; what they find is never judged here."""

import json
import subprocess
from pathlib import Path

import pytest

from observe.domain import formtext

measuring = pytest.importorskip("measuring")


def test_the_form_that_is_measured_is_sound() -> None:
    form, faults = formtext.read(measuring.form_text())
    assert faults == ()
    assert form is not None
    assert len(form.steps) == measuring.STEPS


def test_it_prints_every_figure_beside_its_floor(checkout: Path, python: str) -> None:
    pytest.importorskip("PySide6")
    script = checkout / "packaging" / "measuring.py"
    small = ["--events", "50", "--taps", "15", "--starts", "1", "--json"]
    found = subprocess.run([python, str(script), *small], capture_output=True, check=True)
    figures = json.loads(found.stdout)
    for name in ("mark p50", "mark p99", "first paint", "first mark"):
        assert figures[f"{name} ratio"] > 0
    assert "goal" in measuring.table(figures)
