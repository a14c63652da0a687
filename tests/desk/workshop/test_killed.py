"""The tablet is killed right after an act; a second process goes on with the next one."""

from __future__ import annotations

import os
import random
import signal
import subprocess
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.desk.workshop.disk import on_disk
from tests.desk.workshop.reference import FIRST, Reference
from tests.desk.workshop.script import Act, morning

ACTS = tuple(morning())
HOUR = 3600


def places(acts: Sequence[Act]) -> list[int]:
    """Acts after which it may be killed: any, unless the next answers what was just asked."""
    return [n for n in range(len(acts) - 1) if acts[n + 1].deed != "judge"]


def play_and_kill(python: str, checkout: Path, path: Path, first: int, last: int) -> None:
    """Play some acts in a process of its own, and kill it once the last is acknowledged."""
    began = HOUR * (1 + (first > 0))
    command = [python, "-m", "tests.desk.workshop.child", path, first, last, began]
    with subprocess.Popen(
        [str(word) for word in command],
        cwd=checkout,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        for number in range(first, last + 1):
            said = process.stdout.readline().strip()
            if said != str(number):
                process.kill()
                pytest.fail(f"{ACTS[number]}: {said!r}\n{process.stderr.read()}")
        process.send_signal(signal.SIGKILL)
        process.wait(timeout=30)


def play_with_a_kill(
    seed: int, python: str, checkout: Path, planned: Path, acts: Sequence[Act] = ACTS
) -> None:
    """Half a day with a kill at a place drawn from a seed, against the reference."""
    killed = random.Random(seed).choice(places(acts))
    play_and_kill(python, checkout, planned, 0, killed)
    play_and_kill(python, checkout, planned, killed + 1, len(acts) - 1)
    reference = Reference()
    for act in acts:
        reference.play(act)
    seen, seats, absent = on_disk(planned, (FIRST,))
    assert seen == reference.expected(), f"killed after {ACTS[killed]}"
    assert seats == reference.seats
    assert absent == reference.absent


def test_killed_after_an_act_nothing_is_lost(python: str, checkout: Path, planned: Path) -> None:
    play_with_a_kill(1, python, checkout, planned, ACTS[:40])


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(2, 52))
def test_killed_anywhere_nothing_is_lost(
    python: str, checkout: Path, planned: Path, seed: int
) -> None:
    play_with_a_kill(seed, python, checkout, planned)
