"""Who and where: an invented teaching hospital, eight learners, three observers.

Every name and number here is made up.
"""

from __future__ import annotations

from dataclasses import replace

from observe.domain.form import Mode
from observe.domain.profile import Departure, Doing
from observe.domain.workshop import Station
from observe.work.planning import FormPlan, Person, Place, Plan

FORM = "lumbar-puncture-adult.toml"
OTHER_FORM = "intrauterine-device-placement.toml"
OTHER_VARIANT = "levonorgestrel"
TITLE = "Lumbar puncture, skills afternoon"
HOSPITAL = "Ashmere Teaching Hospital"
DATE = "2026-05-12"
NEXT_TITLE = "Two procedures, second afternoon"
NEXT_DATE = "2026-05-19"
REPORTED_AT = "2026-05-26T10:00:00.000+00:00"
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

FIRSTS = (MARSH, MARSH, MARSH, MARSH, LINDGREN, LINDGREN, LINDGREN, LINDGREN)

STATION = Station(
    trainer="lumbar trainer with fluid", insert="normal pad", position="side-lying", depth="4.5 cm"
)

OTHER_STATION = Station(
    trainer="pelvic trainer", insert="normal uterus", position="tilted forwards", depth="7 cm"
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


def next_plan(form: str, other: str) -> Plan:
    """The same learners a week later, all with one observer: planned, and not begun.

    Seats 1 to 4 go on with lumbar puncture, two of them sitting; seats 5 to 8 begin
    another form. other: its whole digest.
    """
    first = plan(form)
    half = len(first.places) // 2
    variants = ("side-lying", "sitting") * half
    places = [
        replace(
            place,
            first=MARSH.id,
            variant=variant,
            station=replace(STATION, position=variant),
            ordinal=2,
        )
        for place, variant in zip(first.places[:half], variants, strict=False)
    ]
    places += [
        Place(place.learner, OTHER_VARIANT, MARSH.id, OTHER_STATION, form=other)
        for place in first.places[half:]
    ]
    return replace(
        first,
        title=NEXT_TITLE,
        date=NEXT_DATE,
        places=tuple(places),
        looks=2,
        further=(FormPlan(other),),
    )
