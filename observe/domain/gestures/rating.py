"""Grades and ratings of an attempt as a whole."""

from __future__ import annotations

from observe.domain.events import Draft
from observe.domain.gestures.guards import Drafts, require_grade, require_open
from observe.domain.observation import Observation
from observe.domain.troubles import Refused


def give_overall(observation: Observation, value: int) -> Drafts:
    """Give the overall grade."""
    require_open(observation)
    require_grade(value, (grade.value for grade in observation.ground.form.overall.grades))
    return (Draft("overall-given", {"value": value}),)


def rate_dimension(observation: Observation, dimension: str, value: int | None) -> Drafts:
    """Rate one dimension; None means not observable."""
    require_open(observation)
    require_rating(observation, dimension, value)
    return (Draft("dimension-given", {"dimension": dimension, "value": value}),)


def require_rating(observation: Observation, dimension: str, value: int | None) -> None:
    """Refuse what is not on the scale of a dimension; None is on each."""
    scale = {one.id: one for one in observation.ground.form.dimensions}.get(dimension)
    if scale is None:
        raise Refused(
            "The form has no such dimension.",
            where=dimension,
            remedy="Rate one of the form's dimensions.",
        )
    if value is not None:
        require_grade(value, (grade.value for grade in scale.grades))


def give_independence(observation: Observation, level: int) -> Drafts:
    """Say how much help the attempt needed."""
    require_open(observation)
    require_grade(level, (one.level for one in observation.ground.form.independence))
    return (Draft("independence-given", {"level": level}),)
