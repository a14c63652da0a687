"""What an observer may do, and the events it makes. Pure: refuses or answers with drafts.

Every function takes the state and returns the drafts of one gesture; it raises
`Refused` with a sentence when the rules forbid it. The caller appends them to the
log and folds what comes back.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from observe.domain.board import Entry, Occurrence, Verdict, fits_occurrence, verdicts_for
from observe.domain.criticals import Finding, standings
from observe.domain.events import Draft
from observe.domain.form import Mode, Step
from observe.domain.marks import NOT_SEEN, Mark, State, record
from observe.domain.observation import Observation, Slot, open_reasons
from observe.domain.scoring import evidence
from observe.domain.troubles import Refused

Drafts = tuple[Draft, ...]


def mark(
    observation: Observation, step_id: str, mark: Mark, *, observed_ns: int | None = None
) -> Drafts:
    """Set a mark (rule M1). The first one of an attempt starts its clock.

    observed_ns: the attempt's clock when it was seen, for a mark entered late.
    """
    _require_open(observation)
    step = _step(observation, step_id)
    _require_allowed(observation, step, mark)
    if step.variants and not observation.board.variant:
        raise Refused(
            "This step belongs to a variant, and none is chosen yet.",
            where=step.id,
            remedy="Choose the variant first.",
        )
    body: dict[str, Any] = {"step": step.id, "mark": record(mark)}
    if observed_ns is not None:
        if observed_ns < 0:
            raise Refused(
                "Nothing was seen before the clock started.",
                where=step.id,
                remedy="Give a time on the attempt's clock.",
            )
        body["observed_ns"] = observed_ns
    return (*_clock_if_needed(observation), Draft("mark-set", body))


def _require_allowed(observation: Observation, step: Step, mark: Mark) -> None:
    if mark.state is State.NOT_SEEN:
        raise Refused(
            "Not seen is not a mark.", where=step.id, remedy="Take the mark back, or go on."
        )
    if mark.state is State.NOT_APPLICABLE and not step.not_applicable:
        raise Refused(
            "The form does not let this step be not applicable.",
            where=step.id,
            remedy="Leave it not seen if you could not see it.",
        )
    if mark.state is State.DID_NOT_ARISE and not step.when:
        raise Refused(
            "This step does not depend on a circumstance, so it always arises.",
            where=step.id,
            remedy="Leave it not seen if you could not see it.",
        )
    variant = observation.board.variant
    if mark.voiced and not observation.ground.profile.may_be_voiced(step, variant):
        raise Refused(
            "This step must be performed; talking it through does not count.",
            where=step.id,
            remedy="Mark what was done by hand.",
        )


def move_to(observation: Observation, step_id: str) -> Drafts:
    """Say which step the learner is at now; steps jumped over stay not seen.

    An empty id goes past the last step. An earlier step is a visit.
    """
    _require_open(observation)
    if step_id:
        _step(observation, step_id)
    return (*_clock_if_needed(observation), Draft("moved-to", {"step": step_id}))


def pass_unseen(observation: Observation) -> Drafts:
    """Leave the step in front unseen and go on to the next one."""
    order = [step.id for step in observation.steps]
    at = observation.board.at
    if at not in order:
        raise Refused("There is no step left to pass.", remedy="Rate and seal this attempt.")
    if at != observation.board.front:
        return move_to(observation, observation.board.front)
    later = order[order.index(at) + 1 :]
    return move_to(observation, later[0] if later else "")


def claim_order(observation: Observation, step_id: str) -> Drafts:
    """Record that a step was seen out of order (rule M5)."""
    _require_open(observation)
    return (Draft("order-claimed", {"step": _step(observation, step_id).id}),)


def choose_variant(observation: Observation, variant: str) -> Drafts:
    """Choose the variant; marks on steps that it lacks are taken out of force (rule F5)."""
    _require_open(observation)
    known = {one.id for one in observation.ground.form.variants}
    if variant not in known:
        raise Refused(
            "The form has no such variant.", where=variant, remedy=f"Choose one of {sorted(known)}."
        )
    return (Draft("variant-chosen", {"variant": variant}),)


def take_back(observation: Observation, event: str | None = None) -> Drafts:
    """Take back the last gesture, or the one that an event belongs to; before that, a void."""
    _require_open(observation, void_allowed=True)
    if observation.void:
        return (Draft("taken-back", {"events": [observation.void]}),)
    named = event or (observation.last.id if observation.last else "")
    if not named:
        raise Refused("There is nothing to take back.", remedy="Set a mark first.")
    group = observation.gesture_of(named)
    if not group:
        raise Refused("That mark is not in force any more.", remedy="Look at the mark that stands.")
    return (Draft("taken-back", {"events": [entry.id for entry in group]}),)


def put_back(observation: Observation) -> Drafts:
    """Put the gesture that was taken back last into force again."""
    _require_open(observation)
    if not observation.undone:
        raise Refused(
            "There is nothing to put back.", remedy="Put back is offered after a take back."
        )
    return (Draft("put-back", {"events": [entry.id for entry in observation.undone[-1]]}),)


def record_critical(observation: Observation, item: str = "") -> Drafts:
    """Keep the time of a critical event; which one may be said later."""
    _require_open(observation)
    if item:
        _item_known(observation, item)
    return (*_clock_if_needed(observation), Draft("critical-recorded", {"item": item}))


def name_critical(observation: Observation, occurrence: str, item: str) -> Drafts:
    """Say which critical item an occurrence was."""
    _require_open(observation)
    _occurrence(observation, occurrence)
    _item_known(observation, item)
    return (Draft("critical-named", {"occurrence": occurrence, "item": item}),)


def classify(
    observation: Observation, occurrence: str, verdict: Verdict, reason: str = ""
) -> Drafts:
    """Say what became of an occurrence (rule C2). Withdrawing needs a reason."""
    _require_open(observation)
    _require_verdict(observation, _occurrence(observation, occurrence), verdict)
    if verdict is Verdict.WITHDRAWN and not reason.strip():
        raise Refused("Withdrawing a critical event needs a reason.", remedy="Say why.")
    body = {"occurrence": occurrence, "verdict": verdict.value}
    texts = {"reason": reason.strip()} if reason.strip() else {}
    return (Draft("critical-classified", body, texts=texts),)


def _require_verdict(observation: Observation, occurrence: Occurrence, verdict: Verdict) -> None:
    if verdict is Verdict.WITHDRAWN:
        return
    if not occurrence.item:
        raise Refused("Say first which critical item it was.", remedy="Choose one of the items.")
    if not fits_occurrence(observation.ground, occurrence, verdict):
        offered = ", ".join(offered_verdicts(observation, occurrence.item))
        raise Refused(
            f"The form does not let this item be {verdict}.",
            where=occurrence.item,
            remedy=f"Choose one of: {offered}.",
        )


def give_reason(observation: Observation, step_id: str, reason: str) -> Drafts:
    """Say why a step is not applicable."""
    _require_open(observation)
    step = _step(observation, step_id)
    if not reason.strip():
        raise Refused("A reason is needed.", where=step.id, remedy="Choose or type one.")
    return (Draft("reason-given", {"step": step.id}, texts={"reason": reason.strip()}),)


def give_overall(observation: Observation, value: int) -> Drafts:
    """Give the overall grade."""
    _require_open(observation)
    _require_grade(value, (grade.value for grade in observation.ground.form.overall.grades))
    return (Draft("overall-given", {"value": value}),)


def rate_dimension(observation: Observation, dimension: str, value: int | None) -> Drafts:
    """Rate one dimension; None means not observable."""
    _require_open(observation)
    _require_rating(observation, dimension, value)
    return (Draft("dimension-given", {"dimension": dimension, "value": value}),)


def _require_rating(observation: Observation, dimension: str, value: int | None) -> None:
    scale = {one.id: one for one in observation.ground.form.dimensions}.get(dimension)
    if scale is None:
        raise Refused(
            "The form has no such dimension.",
            where=dimension,
            remedy="Rate one of the form's dimensions.",
        )
    if value is not None:
        _require_grade(value, (grade.value for grade in scale.grades))


def give_independence(observation: Observation, level: int) -> Drafts:
    """Say how much help the attempt needed."""
    _require_open(observation)
    _require_grade(level, (one.level for one in observation.ground.form.independence))
    return (Draft("independence-given", {"level": level}),)


def attest_watched(observation: Observation, items: Iterable[str]) -> Drafts:
    """Attest that critical items were watched throughout (rule C1)."""
    _require_open(observation)
    named = sorted(set(items))
    for item in named:
        _item_known(observation, item)
    return (Draft("watch-attested", {"items": named}),)


def write(observation: Observation, slot: str, text: str) -> Drafts:
    """Write free text into a slot: strength, change, note, or "step:ID". No text clears it."""
    _require_open(observation)
    if slot not in set(Slot):
        place, _, step_id = slot.partition(":")
        if place != "step":
            raise Refused(
                "There is no place for such a text.", where=slot, remedy="Write a note instead."
            )
        _step(observation, step_id)
    written = text.strip()
    if not written:
        return (Draft("text-written", {"slot": slot, "cleared": True}),)
    return (Draft("text-written", {"slot": slot}, texts={"text": written}),)


def start_clock(observation: Observation) -> Drafts:
    """Start the attempt's clock, or let it go on."""
    _require_open(observation)
    if observation.clock.is_running:
        raise Refused("The clock is running already.", remedy="Pause it, or go on marking.")
    if observation.stopped:
        raise Refused("Stopped for safety.", remedy="Press Go on, or end the attempt.")
    return (Draft("clock-started"),)


def pause_clock(observation: Observation) -> Drafts:
    """Let the attempt's clock stand."""
    _require_open(observation)
    if not observation.clock.is_running:
        raise Refused("The clock stands already.", remedy="Start it, or go on marking.")
    return (Draft("clock-paused"),)


def call_time(observation: Observation) -> Drafts:
    """At time-out, turn the steps that were not reached into not done (rule M4)."""
    _require_open(observation)
    order = [step.id for step in observation.steps]
    front = observation.board.front
    ahead = order[order.index(front) :] if front in order else []
    steps = [one for one in ahead if observation.board.mark(one) == NOT_SEEN]
    if not steps:
        raise Refused("Every step was reached.", remedy="Rate and seal this attempt.")
    return (Draft("time-called", {"steps": steps}),)


def stop_for_safety(observation: Observation) -> Drafts:
    """Stop the attempt; its clock stands (rule M6)."""
    _require_open(observation)
    if observation.stopped:
        raise Refused("It is stopped already.", remedy="Press Go on, or end the attempt.")
    return (Draft("safety-stopped"),)


def go_on(observation: Observation) -> Drafts:
    """Lift a safety stop."""
    _require_open(observation)
    if not observation.stopped:
        raise Refused("It is not stopped.", remedy="Go on marking.")
    return (Draft("safety-lifted"),)


def void(observation: Observation, reason: str, *, countersigned: str = "") -> Drafts:
    """End an attempt that was not ended by the learner's act (rule M6).

    It has no decision and does not count as an attempt. countersigned: who
    countersigned it, needed in summative mode.
    """
    _require_open(observation)
    if not reason.strip():
        raise Refused("A void needs a reason.", remedy="Say what happened.")
    _require_other(observation, countersigned)
    if observation.ground.mode is Mode.SUMMATIVE and not countersigned:
        raise Refused(
            "In summative mode a void needs a second signature.",
            remedy="Ask the director to countersign.",
        )
    body = {"countersigned": countersigned} if countersigned else {}
    return (Draft("voided", body, texts={"reason": reason.strip()}),)


def missing(observation: Observation) -> tuple[str, ...]:
    """What must still be said before the observation can be sealed, in sentences (rules C3, D3)."""
    if observation.void:
        return ()
    form = observation.ground.form
    asked: list[str] = []
    if form.variants and not observation.board.variant:
        asked.append("Choose the variant.")
    if observation.overall is None:
        asked.append("Give the overall grade.")
    asked.extend(_asked_of_criticals(observation))
    asked.extend(
        f"Say why step {observation.numbers[step]} is not applicable."
        for step in open_reasons(observation)
    )
    if observation.ground.mode is not Mode.PRACTICE:
        if Slot.STRENGTH not in observation.texts:
            asked.append("Name one strength.")
        if Slot.CHANGE not in observation.texts:
            asked.append("Name one change.")
    return tuple(asked)


def _asked_of_criticals(observation: Observation) -> Iterable[str]:
    for occurrence in observation.occurrences:
        if not occurrence.item and occurrence.verdict is not Verdict.WITHDRAWN:
            yield "Say which critical item was recorded."
        elif occurrence.verdict is None:
            label = observation.ground.form.critical[occurrence.item].label
            yield f"Say what became of the critical event “{label}”."
    if observation.stopped and not _shows_harm(observation):
        yield "Say which critical item, fatal or averted, made you stop; or go on, or void it."


def _shows_harm(observation: Observation) -> bool:
    found = {one.finding for one in standings(evidence(observation)).values()}
    return not found.isdisjoint({Finding.FATAL, Finding.AVERTED})


def seal(observation: Observation) -> Drafts:
    """End the observation; after it there are only amendments."""
    _require_open(observation, void_allowed=True)
    asked = missing(observation)
    if asked:
        raise Refused("It cannot be sealed yet.", remedy=" ".join(asked))
    return (Draft("sealed"),)


def amend_step(
    observation: Observation, step_id: str, after: Mark, *, reason: str, countersigned: str = ""
) -> Drafts:
    """Change a mark after the seal; from not seen a director must countersign (rule D2)."""
    _require_sealed(observation, reason)
    step = _step(observation, step_id)
    before = observation.mark(step.id)
    if before == after:
        raise Refused("That is the mark that stands.", where=step.id, remedy="Choose another mark.")
    _require_other(observation, countersigned)
    if before == NOT_SEEN and not countersigned:
        raise Refused(
            "A step that was not seen cannot be marked from memory after the seal.",
            where=step.id,
            remedy="A director must countersign, or the steps are tried again.",
        )
    if after != NOT_SEEN:
        _require_allowed(observation, step, after)
    body = _amendment("step", step.id, record(before), record(after), countersigned)
    return (Draft("amended", body, texts={"reason": reason.strip()}),)


def amend_occurrence(
    observation: Observation,
    occurrence: str,
    verdict: Verdict,
    *,
    reason: str,
    item: str = "",
    countersigned: str = "",
) -> Drafts:
    """Change what became of a critical event, or add one (empty `occurrence`) after the seal."""
    _require_sealed(observation, reason)
    after: dict[str, Any] = {"verdict": verdict.value}
    before: dict[str, Any] | None = None
    if occurrence:
        known = _occurrence(observation, occurrence)
        _require_verdict(observation, known, verdict)
        before = {"verdict": known.verdict.value if known.verdict else None}
    else:
        _item_known(observation, item)
        _require_verdict(observation, Occurrence("", item, "", 0), verdict)
        after["item"] = item
    body = _amendment("occurrence", occurrence, before, after, countersigned)
    return (Draft("amended", body, texts={"reason": reason.strip()}),)


def amend_overall(observation: Observation, value: int, *, reason: str) -> Drafts:
    """Change the overall grade after the seal."""
    _require_sealed(observation, reason)
    _require_grade(value, (grade.value for grade in observation.ground.form.overall.grades))
    body = _amendment("overall", "", observation.overall, value, "")
    return (Draft("amended", body, texts={"reason": reason.strip()}),)


def amend_dimension(
    observation: Observation, dimension: str, value: int | None, *, reason: str
) -> Drafts:
    """Change the rating of one dimension after the seal."""
    _require_sealed(observation, reason)
    _require_rating(observation, dimension, value)
    body = _amendment("dimension", dimension, observation.dimensions.get(dimension), value, "")
    return (Draft("amended", body, texts={"reason": reason.strip()}),)


def offered_verdicts(observation: Observation, item: str) -> tuple[Verdict, ...]:
    """The verdicts that fit a critical item, in the order in which they are offered."""
    return verdicts_for(observation.ground.form.critical[item])


def take_back_target(observation: Observation) -> tuple[Entry, ...]:
    """What "take back" would take back now; empty if nothing."""
    last = observation.last
    return observation.gesture_of(last.id) if last else ()


def _amendment(
    target: str, id: str, before: object, after: object, countersigned: str
) -> dict[str, Any]:
    body: dict[str, Any] = {"target": target, "id": id, "from": before, "to": after}
    if countersigned:
        body["countersigned"] = countersigned
    return body


def _clock_if_needed(observation: Observation) -> Drafts:
    waits = observation.clock.started is None and observation.stopped is None
    return (Draft("clock-started"),) if waits else ()


def _require_open(observation: Observation, *, void_allowed: bool = False) -> None:
    if observation.sealed:
        raise Refused(
            "This observation is sealed.", remedy="Change it by an amendment, with a reason."
        )
    if observation.void and not void_allowed:
        raise Refused("This attempt is void.", remedy="Take the void back, or seal it.")


def _require_other(observation: Observation, countersigned: str) -> None:
    if countersigned == observation.observer:
        raise Refused(
            "Nobody countersigns for themselves.", remedy="Ask the director to countersign."
        )


def _require_sealed(observation: Observation, reason: str) -> None:
    if not observation.sealed:
        raise Refused("It is not sealed yet.", remedy="Set the mark anew, or take it back.")
    if observation.void:
        raise Refused(
            "This attempt is void; there is nothing to amend.",
            remedy="Let the learner start a new attempt.",
        )
    if not reason.strip():
        raise Refused("An amendment needs a reason.", remedy="Say why.")


def _require_grade(value: int, allowed: Iterable[int]) -> None:
    values = list(allowed)
    if value not in values:
        raise Refused(f"{value} is not on the scale.", remedy=f"Choose one of {values}.")


def _step(observation: Observation, step_id: str) -> Step:
    step = next((one for one in observation.steps if one.id == step_id), None)
    if step is None:
        raise Refused(
            "This attempt has no such step.",
            where=step_id,
            remedy="Choose a step of the variant and of today's profile.",
        )
    return step


def _occurrence(observation: Observation, occurrence: str) -> Occurrence:
    found = next((one for one in observation.occurrences if one.id == occurrence), None)
    if found is None:
        raise Refused(
            "No such critical event is recorded.",
            where=occurrence,
            remedy="Choose one of those recorded, or record it.",
        )
    return found


def _item_known(observation: Observation, item: str) -> None:
    if item not in observation.ground.form.critical:
        raise Refused(
            "The form has no such critical item.",
            where=item,
            remedy="Choose one of the form's critical items.",
        )
