"""Measure decisions and learning charts: python judging.py [--attempts N] [--learners N].

Prints how long scoring and deciding of attempts takes, each with steps, prompts, unseen steps and
critical items drawn at random on a real form, and how long LC-CUSUM charts of many learners take.
Nothing is kept from one attempt to the next. Run it with the program's own environment.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import numpy as np

from observe import places
from observe.domain import formtext
from observe.domain.board import Verdict
from observe.domain.decision import decide
from observe.domain.form import Form, Mode
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, NOT_SEEN, Mark, State
from observe.domain.scoring import Cut, Evidence
from observe.standards.lc_cusum import learning, reached

FORM = "lumbar-puncture-adult.toml"
MARKS = (DONE, DONE, DONE, Mark(State.DONE, 1), Mark(State.DONE, 2), INCORRECT, NOT_DONE, NOT_SEEN)
ATTEMPTS_A_LEARNER = 100


def main(arguments: list[str]) -> int:
    """Measure and print; returns 0."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--attempts", type=int, default=10_000)
    parser.add_argument("--learners", type=int, default=1000)
    asked = parser.parse_args(arguments)
    form, found = formtext.read((places.forms() / FORM).read_text(encoding="utf-8"))
    if form is None:
        raise SystemExit(str(found))
    draw = random.Random(1)  # noqa: S311 - the same attempts each time
    some = [evidence(form, draw) for _ in range(asked.attempts)]
    decide(some[0])
    started = time.perf_counter()
    outcomes = [decide(one).outcome for one in some]
    took = time.perf_counter() - started
    counts = {str(one): outcomes.count(one) for one in dict.fromkeys(outcomes)}
    print(f"{asked.attempts} attempts scored and decided in {took:.2f} s (goal 2): {counts}")
    design = learning(0.1, 0.25)
    failing = np.random.default_rng(1).random((asked.learners, ATTEMPTS_A_LEARNER)) < 0.1
    reached(failing, design)
    started = time.perf_counter()
    at = reached(failing, design)
    took = time.perf_counter() - started
    print(
        f"LC-CUSUM of {asked.learners} learners with {ATTEMPTS_A_LEARNER} attempts in "
        f"{1000 * took:.1f} ms (goal 100): {int((at > 0).sum())} shown competent"
    )
    return 0


def evidence(form: Form, draw: random.Random) -> Evidence:
    """One attempt as its observer might have seen it."""
    variant = draw.choice([one.id for one in form.variants] or [""])
    steps = tuple(one for one in form.steps if not one.variants or variant in one.variants)
    verdicts: dict[str, tuple[Verdict, ...]] = {}
    for item in form.criticals:
        if draw.random() < 0.05:
            verdicts[item.id] = (draw.choice((Verdict.FATAL, Verdict.RECOVERED, Verdict.AVERTED)),)
    return Evidence(
        form=form,
        mode=Mode.SUMMATIVE,
        steps=steps,
        marks={one.id: draw.choice(MARKS) for one in steps},
        cut=Cut(form.rule.cut),
        verdicts=verdicts,
        overall=draw.randint(1, 5),
        elapsed_s=draw.randint(300, 1500),
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
