"""What an observer may do, and the events it makes. Pure: refuses or answers with drafts.

Every function takes the state and returns the drafts of one gesture; it raises
`Refused` with a sentence when the rules forbid it. The caller appends them to the
log and folds what comes back.
"""

from __future__ import annotations

from observe.domain.gestures.amending import (
    amend_dimension,
    amend_occurrence,
    amend_overall,
    amend_step,
)
from observe.domain.gestures.clock import go_on, pause_clock, start_clock, stop_for_safety
from observe.domain.gestures.criticals import (
    attest_watched,
    classify,
    name_critical,
    offered_verdicts,
    record_critical,
)
from observe.domain.gestures.guards import Drafts
from observe.domain.gestures.leaving import continuation, hand_over, is_begun
from observe.domain.gestures.looking import look, suggest_look
from observe.domain.gestures.marking import (
    call_time,
    choose_variant,
    claim_order,
    give_reason,
    lost_to_variant,
    mark,
    move_to,
    pass_unseen,
)
from observe.domain.gestures.moving import last_marks, marks_on, movable, move
from observe.domain.gestures.rating import give_independence, give_overall, rate_dimension
from observe.domain.gestures.sealing import missing, seal, void
from observe.domain.gestures.together import Part, Share, mark_together, shares
from observe.domain.gestures.transcribing import (
    begin_transcription,
    leave_untyped,
    mark_live_again,
    type_time,
)
from observe.domain.gestures.undoing import put_back, take_back, take_back_target
from observe.domain.gestures.writing import add_phrase, has_phrase, remove_phrase, step_slot, write

__all__ = [
    "Drafts",
    "Part",
    "Share",
    "add_phrase",
    "amend_dimension",
    "amend_occurrence",
    "amend_overall",
    "amend_step",
    "attest_watched",
    "begin_transcription",
    "call_time",
    "choose_variant",
    "claim_order",
    "classify",
    "continuation",
    "give_independence",
    "give_overall",
    "give_reason",
    "go_on",
    "hand_over",
    "has_phrase",
    "is_begun",
    "last_marks",
    "leave_untyped",
    "look",
    "lost_to_variant",
    "mark",
    "mark_live_again",
    "mark_together",
    "marks_on",
    "missing",
    "movable",
    "move",
    "move_to",
    "name_critical",
    "offered_verdicts",
    "pass_unseen",
    "pause_clock",
    "put_back",
    "rate_dimension",
    "record_critical",
    "remove_phrase",
    "seal",
    "shares",
    "start_clock",
    "step_slot",
    "stop_for_safety",
    "suggest_look",
    "take_back",
    "take_back_target",
    "type_time",
    "void",
    "write",
]
