"""The clock of an attempt, and the safety stop (rule M6)."""

from __future__ import annotations

from observe.domain.events import Draft
from observe.domain.gestures.guards import Drafts, require_live, require_open
from observe.domain.observation import Observation
from observe.domain.troubles import Refused


def start_clock(observation: Observation) -> Drafts:
    """Start the attempt's clock, or let it go on."""
    require_open(observation)
    require_live(observation)
    if observation.clock.is_running:
        raise Refused("The clock is running already.", remedy="Pause it, or go on marking.")
    if observation.stopped:
        raise Refused("Stopped for safety.", remedy="Press Go on, or end the attempt.")
    return (Draft("clock-started"),)


def pause_clock(observation: Observation) -> Drafts:
    """Let the attempt's clock stand."""
    require_open(observation)
    require_live(observation)
    if not observation.clock.is_running:
        raise Refused("The clock stands already.", remedy="Start it, or go on marking.")
    return (Draft("clock-paused"),)


def stop_for_safety(observation: Observation) -> Drafts:
    """Stop the attempt; its clock stands (rule M6)."""
    require_open(observation)
    require_live(observation)
    if observation.stopped:
        raise Refused("It is stopped already.", remedy="Press Go on, or end the attempt.")
    return (Draft("safety-stopped"),)


def go_on(observation: Observation) -> Drafts:
    """Lift a safety stop."""
    require_open(observation)
    if not observation.stopped:
        raise Refused("It is not stopped.", remedy="Go on marking.")
    return (Draft("safety-lifted"),)
