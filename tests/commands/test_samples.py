"""`observe samples`: published numbers through the command line."""

from __future__ import annotations

import json

import pytest

from observe.commands.main import run

Out = pytest.CaptureFixture[str]


@pytest.mark.parametrize(
    ("words", "n"),
    [  # Bonett 2002; Walter, Eliasziw and Donner 1998; Donner and Eliasziw 1992.
        ("bonett --icc 0.8 --width 0.2 --observers 3", 36),
        ("walter --least 0.6 --expected 0.8 --observers 2", 39),
        ("walter --least 0.6 --expected 0.8 --observers 2 --tails 2", 49),
        ("kappa --least 0.4 --expected 0.6 --prevalence 0.3", 191),
        ("phi --universe 0.65 --error 0.35 --target 0.9", 5),
    ],
)
def test_for_programs(words: str, n: int, capsys: Out) -> None:
    assert run(["samples", *words.split(), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["n"] == n
    assert found["n_raw"] <= n


def test_for_people_with_the_unrounded_number(capsys: Out) -> None:
    assert run(["samples", "bonett", "--icc", "0.8", "--width", "0.2", "--observers", "2"]) == 0
    said = capsys.readouterr().out
    assert "Learners: 51 (50.79, rounded up)" in said
    assert "take 55" in said


@pytest.mark.parametrize(
    "words",
    [
        "bonett --icc 2 --width 0.2 --observers 3",
        "bonett --icc x --width 0.2 --observers 3",
        "walter --least 0.9 --expected 0.8 --observers 2",
        "kappa --least 0.4 --expected 0.6 --prevalence 1",
        "nothing",
    ],
)
def test_what_cannot_be_asked_is_told(words: str, capsys: Out) -> None:
    assert run(["samples", *words.split()]) == 2
    assert "what to do" in capsys.readouterr().err


def test_the_answer_echoes_what_was_asked(capsys: Out) -> None:
    words = "walter --least 0.6 --expected 0.8 --observers 2 --json"
    assert run(["samples", *words.split()]) == 0
    assert json.loads(capsys.readouterr().out)["asked"] == {
        "least": 0.6,
        "expected": 0.8,
        "alpha": 0.05,
        "power": 0.8,
        "tails": 1,
        "observers": 2,
    }


@pytest.mark.parametrize("question", ["bonett", "walter", "kappa", "phi"])
def test_every_question_has_an_example(question: str, capsys: Out) -> None:
    assert run(["samples", question, "--help"]) == 0
    assert f"example: observe samples {question} --" in " ".join(capsys.readouterr().out.split())
