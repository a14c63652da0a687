"""Who and where: an invented teaching hospital, eight learners, three observers.

Every name and number here is made up.
"""

from __future__ import annotations

from dataclasses import replace

from observe.domain.form import Mode
from observe.domain.profile import Departure, Doing
from observe.domain.workshop import Station
from observe.work.planning import Person, Place, Plan

FORM = "lumbar-puncture-adult.toml"
TITLE = "Lumbar puncture, skills afternoon"
HOSPITAL = "Ashmere Teaching Hospital"
DATE = "2026-05-12"
NEXT_TITLE = "Lumbar puncture, second afternoon"
NEXT_DATE = "2026-05-19"
STARTS_AT = "2026-05-12T12:30:00.000+00:00"

MARSH = Person("observer-marsh", "Dr Ottilie Marsh")
LINDGREN = Person("observer-lindgren", "Dr Kwame Lindgren")
RAO = Person("observer-rao", "Dr Sunniva Rao")
DIRECTOR = Person("observer-achterberg", "Prof. Hester Achterberg")

LEARNERS = (
    Person("learner-1", "Imani Sorrel"),
    Person("learner-2", "Teodor Vask"),
    Person("learner-3", "Lin Aveline"),
    Person("learner-4", "Oskar Brandvold"),
    Person("learner-5", "Yusuf Haddaway"),
    Person("learner-6", "Priya Nandakar"),
    Person("learner-7", "Mateus Corvo"),
    Person("learner-8", "Nia Abernethy-Quill"),
)

VOID = "learner-8"
"""Whose first attempt was void, and so does not count as one."""

FIRSTS = (MARSH, MARSH, MARSH, MARSH, LINDGREN, LINDGREN, LINDGREN, LINDGREN)

STATION = Station(
    trainer="lumbar trainer with fluid", insert="normal pad", position="side-lying", depth="4.5 cm"
)

DEPARTURES = (
    Departure("LPX-12", Doing.VOICE, "Water in the syringe; the drug is named, not drawn up."),
)

SEED = "Ashmere, 12 May 2026, 7"
"""Drawn on before the day; its draw gives second looks to seats 1, 3 and 6."""


def plan(form: str) -> Plan:
    """The plan of the workshop. form: whole digest of the lumbar puncture form."""
    return Plan(
        title=TITLE,
        place=HOSPITAL,
        date=DATE,
        mode=Mode.FORMATIVE,
        form=form,
        departures=DEPARTURES,
        observers=(MARSH, LINDGREN, RAO),
        places=tuple(
            Place(learner, "side-lying", first.id, STATION)
            for learner, first in zip(LEARNERS, FIRSTS, strict=True)
        ),
        looks=3,
        seed=SEED,
    )


def next_plan(form: str) -> Plan:
    """The same learners a week later, all with one observer: planned, and not begun."""
    first = plan(form)
    places = tuple(
        replace(place, first=MARSH.id, ordinal=1 if place.learner.id == VOID else 2)
        for place in first.places
    )
    return replace(first, title=NEXT_TITLE, date=NEXT_DATE, places=places, looks=2)
