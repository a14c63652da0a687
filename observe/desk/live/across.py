"""What Live says before and after a deed that touches several learners, or a time that is past.

Pure readings, no Qt: each says beforehand what the deed will do.
"""

from __future__ import annotations

from collections.abc import Sequence

from observe.desk.live.reading import gesture_words
from observe.domain.board import Entry
from observe.domain.gestures import Part, Share, lost_to_variant
from observe.domain.gestures.moving import replaced
from observe.domain.marks import Mark
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.domain.words import counted, listed, mark_words


def share_words(share: Share) -> str:
    """One learner's part: "taken in", "left out: paused", "done: that mark stays"."""
    if share.part is Part.MARKED:
        return f"{mark_words(share.mark)}: that mark stays"
    return f"left out: {share.reason}" if share.reason else "taken in"


def together_words(shares: Sequence[Share], number: int, mark: Mark) -> str:
    """What a mark for all will do: "Marks step 9 done for 4 learners; 2 left out".

    number: the number of the step as people see it.
    """
    parts = [share.part for share in shares]
    taken, out, kept = (parts.count(one) for one in (Part.TAKEN_IN, Part.LEFT_OUT, Part.MARKED))
    if not taken:
        return "Marks nobody."
    said = [f"Marks step {number} {mark_words(mark)} for {counted(taken, 'learner')}"]
    if kept:
        said.append(f"{kept} {'keeps its mark' if kept == 1 else 'keep their marks'}")
    if out:
        said.append(f"{out} left out")
    return f"{'; '.join(said)}."


def move_words(
    source: Observation, target: Observation, entries: Sequence[Entry], name: str
) -> str:
    """What moving marks will do, as in "Moves Done, step 9 and Critical at 04:12 to Mina Oduya".

    name: the target's learner. Where a mark stands there already, it says so (rule M2).
    """
    said = listed([gesture_words(source, (entry,)) for entry in entries])
    numbers = [str(target.numbers[step]) for step in replaced(target, entries)]
    if not numbers:
        return f"Moves {said} to {name}."
    steps = f"step{'s' if len(numbers) > 1 else ''} {listed(numbers)}"
    verb = "have marks" if len(numbers) > 1 else "has a mark"
    return f"Moves {said} to {name}. There {steps} {verb} already; what is moved stands then."


def late_words(observed_ns: int, entered_ns: int) -> str:
    """Both times of a late entry: "seen about 06:30, entered 09:10"; empty if it was not late."""
    if observed_ns == entered_ns:
        return ""
    return f"seen about {clock(observed_ns)}, entered {clock(entered_ns)}"


def entry_late_words(entry: Entry | None) -> str:
    """The same of an entry, where the two differ by what can be read; empty for what was typed."""
    if entry is None or entry.is_typed:
        return ""
    if clock(entry.observed_ns) == clock(entry.elapsed_ns):
        return ""
    return late_words(entry.observed_ns, entry.elapsed_ns)


def variant_words(observation: Observation, variant: str) -> str:
    """What choosing a variant will do: "Changing to Sitting takes back 3 marks." (rule F5)."""
    labels = {one.id: one.label for one in observation.ground.form.variants}
    label = labels[variant]
    now = observation.board.variant
    if now == variant:
        return f"{label} is chosen."
    if not now:
        return f"Chooses {label}."
    lost = len(lost_to_variant(observation, variant))
    return f"Changing to {label} takes back {counted(lost, 'mark') if lost else 'no mark'}."
