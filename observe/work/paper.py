"""Paper scoring sheets for a workshop or a form, printed beforehand for when the screen fails."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.board import Verdict, verdicts_for
from observe.domain.form import Critical, CriticalKind, Form, Grade, Step
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.troubles import BadInput
from observe.domain.words import VERDICTS, ordinal
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.whole_file import slug, write_whole

if TYPE_CHECKING:
    from observe.sheets.paper_content import PaperCritical, PaperScale, PaperSheet, PaperStep

_OFFERED = frozenset({Verdict.FATAL, Verdict.RECOVERED, Verdict.AVERTED, Verdict.COUNTED})
"""The verdicts that paper has boxes for; nothing is withdrawn there."""


@dataclass(frozen=True, slots=True)
class Printed:
    """One file to print. sheets: how many scoring sheets are in it, spare ones included."""

    path: Path
    sheets: int


def find_workshop(logbook: Logbook, named: str = "") -> Workshop:
    """A workshop by its id or its title; the only one there is if none is named.

    Raises BadInput, with what could be named, where that is none or several.
    """
    known = list(logbook.workshops().values())
    found = [one for one in known if one.id == named] or [
        one for one in known if not named or one.title.casefold() == named.casefold()
    ]
    if len(found) == 1:
        return found[0]
    if not known:
        raise BadInput(
            "No workshop is planned in this logbook.",
            where=str(logbook.path),
            remedy="Plan it first, or print the sheets of a form.",
        )
    choice = "; ".join(f"{one.title}, {one.date} ({one.id})" for one in found or known)
    what = f"{len(found)} workshops" if found else f"No workshop is called “{named}”; {len(known)}"
    raise BadInput(
        f"{what} could be meant: {choice}.",
        where=str(logbook.path),
        remedy="Name one with --workshop, by its title or, where titles are alike, by its id.",
    )


def print_workshop(
    logbook: Logbook, workshop: Workshop, folder: Path, *, paper: str = "A4"
) -> tuple[Printed, ...]:
    """A file for each observer: their learners in seat order, then a spare sheet of each form.

    A learner who is absent has none. Raises BadInput if `folder` is a file.
    """
    names = logbook.names()
    printed: list[Printed] = []
    for observer in workshop.observers:
        seats = [
            seat
            for seat in workshop.seats
            if not seat.absent and observer in (watch[-1] for watch in seat.watches)
        ]
        if not seats:
            continue
        sheets = [seat_sheet(logbook, workshop, seat, observer) for seat in seats]
        spare = {(workshop.form_of(seat), seat.variant): seat for seat in seats}
        sheets += [spare_sheet(logbook, workshop, seat, observer) for seat in spare.values()]
        name = names.get(observer, observer)
        title = f"Paper scoring sheets, {workshop.title}, {workshop.date}, {name}"
        printed.append(
            _print(folder, f"paper-{slug(name, 'observer')}", sheets, paper, title, printed)
        )
    return tuple(printed)


def print_form(form: Form, folder: Path, *, paper: str = "A4") -> tuple[Printed, ...]:
    """A file for each variant of a form, with one sheet on which all names are blank."""
    printed: list[Printed] = []
    for variant in [one.id for one in form.variants] or [""]:
        sheet = blank_sheet(form, variant)
        title = f"Paper scoring sheet, {form.title}, {sheet.variant}".removesuffix(", ")
        name = "-".join(
            part for part in ("paper", slug(form.id, "form"), slug(variant, "")) if part
        )
        printed.append(_print(folder, name, [sheet], paper, title, printed))
    return tuple(printed)


def _print(
    folder: Path,
    name: str,
    sheets: Sequence[PaperSheet],
    paper: str,
    title: str,
    before: Sequence[Printed],
) -> Printed:
    """Write one file; of two with the same name the later has a number."""
    from observe.sheets.paper import render
    from observe.sheets.setting import Paper

    if folder.exists() and not folder.is_dir():
        raise BadInput("This is a file.", where=str(folder), remedy="Name a folder.")
    taken = {one.path.name for one in before}
    free = (f"{name}{number}.pdf" for number in ("", *(f"-{n}" for n in range(2, 999))))
    path = folder / next(one for one in free if one not in taken)
    write_whole(path, render(sheets, Paper(paper), title))
    return Printed(path, len(sheets))


def seat_sheet(logbook: Logbook, workshop: Workshop, seat: Seat, observer: str) -> PaperSheet:
    """The sheet of one observer for the learner at a seat, under the workshop's profile."""
    names = logbook.names()
    room = f"room {seat.room}, " if len(workshop.rooms) > 1 else ""
    known = {
        "Seat": f"{room}{seat.number}",
        "Attempt": ordinal(seat.ordinal),
    }
    return _in_workshop(
        logbook, workshop, seat, observer, names.get(seat.learner, seat.learner), known
    )


def spare_sheet(logbook: Logbook, workshop: Workshop, like: Seat, observer: str) -> PaperSheet:
    """A sheet without a name for a learner who comes late, with the form of the seat `like`."""
    return _in_workshop(logbook, workshop, like, observer, "", {})


def _in_workshop(
    logbook: Logbook,
    workshop: Workshop,
    seat: Seat,
    observer: str,
    learner: str,
    known: Mapping[str, str],
) -> PaperSheet:
    ground = logbook.ground(workshop, seat)
    occasion = {
        **known,
        "Observer": logbook.names().get(observer, observer),
        "Date": _day(workshop.date),
        "Mode": workshop.mode.value,
        "Workshop": ", ".join(part for part in (workshop.title, workshop.place) if part),
    }
    return _sheet(ground.form, ground.profile, seat.variant, learner, occasion)


def blank_sheet(form: Form, variant: str) -> PaperSheet:
    """A sheet of a form alone: nothing is known of the occasion, every step is performed."""
    return _sheet(form, Profile(form.whole_digest), variant, "", {})


_FIELDS = ("Seat", "Attempt", "Observer", "Date", "Mode", "Workshop")


def _sheet(
    form: Form, profile: Profile, variant: str, learner: str, occasion: Mapping[str, str]
) -> PaperSheet:
    from observe.sheets.paper_content import PaperPhase, PaperSheet

    numbers = form.numbers_of(variant)
    steps = profile.steps(form, variant)
    labels = {phase.id: phase.label for phase in form.phases}
    phases = tuple(
        PaperPhase(
            labels[phase],
            tuple(_step(profile, variant, step, numbers[step.id]) for step in together),
        )
        for phase, together in groupby(steps, key=lambda step: step.phase)
    )
    in_play = {step.id for step in steps}
    return PaperSheet(
        procedure=form.title,
        variant=next((one.label for one in form.variants if one.id == variant), ""),
        learner=learner,
        occasion=tuple((label, occasion.get(label, "")) for label in _FIELDS),
        form=f"{form.id} {form.version}, {form.whole_digest[:12]}",
        caution=_caution(form),
        phases=phases,
        criticals=tuple(
            _critical(item) for item in form.criticals if in_play.intersection(item.watch)
        ),
        overall=_scale(form.overall.label, form.overall.grades),
        scales=_scales(form),
        left_out=tuple(
            f"{numbers[step.id]} {step.label}{_why(profile, step, variant)}"
            for step in form.steps_of(variant)
            if step.id not in in_play
        ),
    )


def _step(profile: Profile, variant: str, step: Step, number: int) -> PaperStep:
    from observe.sheets.paper_content import PaperStep

    notes = []
    if profile.doing(step.id, variant) is Doing.VOICE:
        notes.append(f"Voice today{_why(profile, step, variant)}.")
    if step.when:
        notes.append(f"When {step.when}.")
    if step.essential:
        notes.append("Essential.")
    return PaperStep(
        number=number,
        label=step.label,
        note=" ".join(notes),
        voiced=profile.may_be_voiced(step, variant),
        not_applicable=step.not_applicable,
        may_not_arise=bool(step.when),
    )


def _why(profile: Profile, step: Step, variant: str) -> str:
    """The reason of a departure as it follows a word: " (kits are reused)"."""
    places = ((step.id, variant), (step.id, ""))
    found: list[Departure] = [profile.by_place[one] for one in places if one in profile.by_place]
    reason = found[0].reason.strip().rstrip(".") if found else ""
    return f" ({reason})" if reason else ""


def _critical(item: Critical) -> PaperCritical:
    from observe.sheets.paper_content import PaperCritical

    offered = tuple(VERDICTS[one] for one in verdicts_for(item) if one in _OFFERED)
    note = f"Fatal from number {item.tally} on." if item.kind is CriticalKind.TALLY else ""
    return PaperCritical(item.label, offered, note)


def _scales(form: Form) -> tuple[PaperScale, ...]:
    from observe.sheets.paper_content import PaperScale

    found = [
        _scale(one.label, [Grade(g.value, g.label, "") for g in one.grades])
        for one in form.dimensions
    ]
    if form.independence:
        levels = tuple((one.level, one.label, "") for one in form.independence)
        found.append(PaperScale("Independence", levels))
    return tuple(found)


def _scale(label: str, grades: Sequence[Grade]) -> PaperScale:
    from observe.sheets.paper_content import PaperScale

    return PaperScale(label, tuple((one.value, one.label, one.anchor) for one in grades))


def _caution(form: Form) -> str:
    review = form.review
    reviewed = (
        f"Clinically reviewed by {review.name}, {review.date}."
        if review
        else "Not clinically reviewed."
    )
    return " ".join((*form.cautions, reviewed))


def _day(day: str) -> str:
    found = date.fromisoformat(day)
    return f"{found.day} {found:%B %Y}"
