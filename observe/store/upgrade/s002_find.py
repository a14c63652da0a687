"""Format 2: find the events of one observation, attempt, workshop or kind without reading all."""

from __future__ import annotations

from observe.store.upgrade.step import Step

STEP = Step(
    2,
    "opening one workshop out of years of events at once",
    (
        "CREATE INDEX event_observation ON event (observation)",
        "CREATE INDEX event_attempt ON event (attempt)",
        "CREATE INDEX event_workshop ON event (workshop)",
        "CREATE INDEX event_kind ON event (kind)",
    ),
)
