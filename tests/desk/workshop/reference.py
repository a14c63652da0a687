"""What a workshop must have come to, worked out in plain dicts; it shares nothing with the fold.

It knows the rules as they are written: M1 and M2 for marks, M4 for time-out, M5 for a
claimed order, M6 for a stop, C2 for critical events, E3 for taking back and moving, T5 for
a handover. A mark is (state, prompt, voiced).
"""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from tests.desk.workshop.script import NOOR, SEATED, STEPS, Act

Learner = dict[str, Any]
FIRST, SECOND = "o-1", "o-2"
NOT_APPLICABLE_REASON = "Pencil-point needle used"
FIRST_ERROR_OF_STEP_3 = "One of the four groups is missing"

_STATES = {
    "D": "done",
    "V": "done",
    "I": "incorrect",
    "N": "not-done",
    "A": "not-applicable",
    "X": "did-not-arise",
}


def mark_of(code: str) -> tuple[str, int, bool]:
    """State, prompt level and voiced of a letter of the script."""
    return ("done", int(code), False) if code.isdigit() else (_STATES[code], 0, code == "V")


def _new(front: int = 1) -> Learner:
    return {
        "marks": {},
        "front": front,
        "at": front,
        "claims": set(),
        "criticals": [],
        "reasons": {},
        "texts": {},
        "overall": None,
        "running": None,
        "stopped": False,
        "void": False,
        "sealed": False,
        "handed": False,
    }


class Reference:
    """Every observation by observer and learner, and who sits where."""

    def __init__(self) -> None:
        self.by = FIRST
        self.seen: dict[tuple[str, str], Learner] = {(FIRST, who): _new() for who in SEATED}
        self.seats = {who: number for number, who in enumerate(SEATED, start=1)}
        self.absent: set[str] = set()
        self._before: dict[tuple[str, str], list[Learner]] = {}
        self._undone: dict[tuple[str, str], list[Learner]] = {}

    def play(self, act: Act) -> None:
        """Let one act happen."""
        name = "_" + act.deed.replace(" ", "_")
        getattr(self, name)(act)

    def learner(self, who: str) -> Learner:
        return self.seen[self.by, who]

    # marks

    def _begin(self, who: str) -> Learner:
        """A gesture that can be taken back is about to happen."""
        key = (self.by, who)
        self._before.setdefault(key, []).append(deepcopy(self.seen[key]))
        self._undone[key] = []
        learner = self.seen[key]
        if learner["running"] is None:
            learner["running"] = True
        return learner

    def _mark(self, act: Act) -> None:
        (code,) = act.more
        learner = self.learner(act.who)
        if learner["at"] != act.step:
            raise AssertionError(f"the script is wrong: {act}, but at step {learner['at']}")
        learner = self._begin(act.who)
        if code == "U":
            learner["front"] = learner["at"] = self._after(act.step)
            return
        self._set(learner, act.step, mark_of(code))
        if code == "A":
            learner["reasons"][act.step] = NOT_APPLICABLE_REASON

    @staticmethod
    def _after(step: int) -> int:
        return step + 1 if step < len(STEPS) else 0

    def _set(self, learner: Learner, step: int, mark: tuple[str, int, bool]) -> None:
        learner["marks"].setdefault(step, []).append(mark)
        if step == learner["front"]:
            there = self._after(step)
            while there in learner["marks"]:
                there = self._after(there)
            learner["front"] = learner["at"] = there
        elif step == learner["at"]:
            learner["at"] = learner["front"]

    def _now_here(self, act: Act) -> None:
        learner = self._begin(act.who)
        learner["front"] = learner["at"] = act.step

    def _visit(self, act: Act) -> None:
        self._begin(act.who)["at"] = act.step

    def _order(self, act: Act) -> None:
        self._begin(act.who)["claims"].add(act.step)

    def _take_back(self, act: Act) -> None:
        key = (self.by, act.who)
        now = self.seen[key]
        self._undone.setdefault(key, []).append(now)
        self.seen[key] = self._kept(self._before[key].pop(), now)

    def _put_back(self, act: Act) -> None:
        key = (self.by, act.who)
        self._before[key].append(self.seen[key])
        self.seen[key] = self._kept(self._undone[key].pop(), self.seen[key])

    @staticmethod
    def _kept(found: Learner, now: Learner) -> Learner:
        """The clock and texts are not taken back."""
        return {**found, **{name: now[name] for name in ("running", "texts", "reasons")}}

    def _together(self, act: Act) -> None:
        code, *exceptions = act.more
        for (by, who), learner in list(self.seen.items()):
            if by != self.by or who in exceptions or act.step in learner["marks"]:
                continue
            self._set(self._begin(who), act.step, mark_of(code))

    def _wrong_learner(self, act: Act) -> None:
        count, target = int(act.more[0]), act.more[1]
        key = (self.by, act.who)
        before = self._before[key][-count]
        steps = [one for one in self.seen[key]["marks"] if one not in before["marks"]]
        moved = [(step, self.seen[key]["marks"][step][-1]) for step in steps]
        self.seen[key] = self._kept(before, self.seen[key])
        del self._before[key][-count:]
        learner = self._begin(target)
        for step, mark in moved:
            self._set(learner, step, mark)

    def _time_is_up(self, act: Act) -> None:
        learner = self._begin(act.who)
        for step in range(learner["front"], len(STEPS) + 1):
            if step not in learner["marks"]:
                learner["marks"][step] = [("not-done", 0, False)]
        learner["front"] = learner["at"] = 0

    # criticals, stops, clocks

    def _look(self, act: Act) -> None:
        """Nothing is recorded."""

    def _critical(self, act: Act) -> None:
        self._begin(act.who)["criticals"].append(["", None])

    def _name(self, act: Act) -> None:
        (item,) = act.more
        counted = "counted" if item == "LPX-C8" else None
        self._begin(act.who)["criticals"][-1] = [item, counted]

    def _judge(self, act: Act) -> None:
        self._begin(act.who)["criticals"][-1][1] = act.more[0]

    def _pause(self, act: Act) -> None:
        self.learner(act.who)["running"] = False

    def _go_on(self, act: Act) -> None:
        self.learner(act.who)["running"] = True

    def _stop(self, act: Act) -> None:
        self.learner(act.who).update(running=False, stopped=True)

    def _lift(self, act: Act) -> None:
        self.learner(act.who).update(running=True, stopped=False)

    def _void(self, act: Act) -> None:
        self.learner(act.who)["void"] = True

    def _pause_all(self, act: Act) -> None:
        self._turn_all(running=False)

    def _all_go_on(self, act: Act) -> None:
        self._turn_all(running=True)

    def _turn_all(self, *, running: bool) -> None:
        for learner in self.seen.values():
            if learner["running"] is not None:
                learner["running"] = running

    # words, seats, the end

    def _note(self, act: Act) -> None:
        self.learner(act.who)["texts"]["note"] = act.more[0]

    def _phrase(self, act: Act) -> None:
        slot = f"step:{STEPS[act.step - 1]}"
        self.learner(act.who)["texts"][slot] = FIRST_ERROR_OF_STEP_3

    def _swap(self, act: Act) -> None:
        (other,) = act.more
        seats = self.seats
        seats[act.who], seats[other] = seats[other], seats[act.who]

    def _not_here(self, act: Act) -> None:
        self.absent.add(act.who)

    def _arrived(self, act: Act) -> None:
        self.absent.remove(act.who)

    def _late_learner(self, act: Act) -> None:
        self.seen[self.by, NOOR] = _new()
        self.seats[act.who] = len(self.seats) + 1

    def _rate_and_seal(self, act: Act) -> None:
        grade, strength, change = act.more
        learner = self.learner(act.who)
        learner.update(overall=int(grade), sealed=True, running=False)
        learner["texts"].update(strength=strength, change=change)

    def _crash(self, act: Act) -> None:
        """What was acknowledged is there again, and nothing else happened."""

    def _hand_over(self, act: Act) -> None:
        for (_, who), learner in list(self.seen.items()):
            if learner["sealed"] or learner["void"]:
                continue
            running = learner["running"]
            learner.update(handed=True, running=False)
            goes_on = _new(learner["front"])
            goes_on["running"] = running
            self.seen[SECOND, who] = goes_on
        self.by = SECOND

    # what must be on the disk

    def expected(self) -> dict[tuple[str, str], Learner]:
        """Every observation as it must be, with the mark that stands on each step (M2)."""
        return {key: _standing(learner) for key, learner in self.seen.items()}


def _standing(learner: Learner) -> Learner:
    marks = {}
    for step, given in learner["marks"].items():
        state, _, voiced = given[-1]
        outcomes = [prompt for at, prompt, _ in given if at in ("done", "incorrect", "not-done")]
        highest = max(outcomes, default=0) if given[-1][0] in _STATES.values() else 0
        marks[STEPS[step - 1]] = (state, highest, voiced)
    named = {name: STEPS[learner[name] - 1] if learner[name] else "" for name in ("front", "at")}
    return {
        **learner,
        **named,
        "marks": marks,
        "claims": {STEPS[step - 1] for step in learner["claims"]},
        "criticals": [tuple(one) for one in learner["criticals"]],
        "reasons": {STEPS[step - 1]: said for step, said in learner["reasons"].items()},
        "running": bool(learner["running"]),
    }
