"""The measure of signed sheets draws what the program draws."""

from pathlib import Path

SCRIPT = Path(__file__).resolve().parents[2] / "packaging" / "pressing.py"


def test_it_says_its_goal_beside_the_ratio() -> None:
    assert "goal 1.5" in SCRIPT.read_text(encoding="utf-8")
