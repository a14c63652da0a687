"""From the tables of a form's text to the model; what is wrong becomes a fault."""

from __future__ import annotations

import datetime as dt
import re
from enum import StrEnum
from fractions import Fraction

from observe.domain.form import (
    Critical,
    CriticalKind,
    Domain,
    Form,
    KitItem,
    Phase,
    Review,
    Source,
    Step,
    Variant,
    Voice,
)
from observe.domain.formfindings import LONGEST_ID
from observe.domain.formmeasures import (
    read_credit,
    read_dimension,
    read_level,
    read_overall,
    read_rule,
)
from observe.domain.formtable import LONGEST_LABEL, Table

FORMAT = 1
LONGEST_TITLE = 80
LONGEST_SHORT = 30
HEAVIEST = 100
MOST_LEARNERS = 12
NO_REVIEW = "none"

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class Per(StrEnum):
    """For whom a thing of the kit is counted."""

    LEARNER = "learner"
    STATION = "station"
    SHARED = "shared"


class Reusable(StrEnum):
    """Whether a thing of the kit serves again."""

    YES = "yes"
    LIMITED = "limited"
    NO = "no"


def read_form(top: Table) -> Form:
    """The form of a whole text, harmless values standing where the text is at fault."""
    _read_format(top)
    form = Form(
        id=top.ident(),
        version=top.ident("version"),
        title=top.text("title", longest=LONGEST_TITLE),
        short=top.text("short", longest=LONGEST_SHORT),
        purpose=top.text("purpose"),
        language=top.text("language", default="en", longest=LONGEST_ID),
        cautions=top.texts("cautions"),
        review=_read_review(top),
        learners_per_observer=top.whole(
            "learners_per_observer", least=1, most=MOST_LEARNERS, default=2
        ),
        variants=tuple(_read_variant(one) for one in top.tables("variants", "Variant")),
        domains=tuple(_read_domain(one) for one in top.tables("domains", "Domain")),
        phases=tuple(_read_phase(one) for one in top.tables("phases", "Phase")),
        steps=tuple(_read_step(one) for one in top.tables("steps", "Step")),
        criticals=tuple(_read_critical(one) for one in top.tables("critical", "Critical item")),
        overall=read_overall(top.table("overall", "The overall grade", required=True)),
        dimensions=tuple(read_dimension(one) for one in top.tables("dimensions", "Dimension")),
        independence=tuple(
            read_level(one) for one in top.tables("independence", "Independence level", "level")
        ),
        credit=read_credit(top.table("credit", "The credit table")),
        rule=read_rule(top.table("rule", "The rule", required=True)),
        kit=tuple(_read_kit(one) for one in top.tables("kit", "Kit", "item")),
        sources=tuple(_read_source(one) for one in top.tables("sources", "Source", "code")),
    )
    top.finish()
    return form


def _read_format(top: Table) -> None:
    number = top.whole("format", least=1, most=10**6, default=None)
    if number > FORMAT:
        top.fault(
            "format",
            f"The form is written in format {number}; this program reads format {FORMAT}.",
            "Use a newer version of the program.",
        )


def _read_review(top: Table) -> Review | None:
    if top.value("review") == NO_REVIEW:
        return None
    if isinstance(top.value("review"), str):
        top.fault(
            "review",
            f"The form: review is neither “{NO_REVIEW}” nor a table.",
            f"Write review = “{NO_REVIEW}”, or a table [review] with name and date.",
        )
        return None
    if top.value("review") is None:
        top.text("review")
        return None
    table = top.table("review", "The review")
    if table is None:
        return None
    review = Review(name=table.text("name", longest=LONGEST_TITLE), date=_read_date(table))
    table.finish()
    return review


def _read_date(table: Table) -> str:
    value = table.value("date")
    if value is None:
        return table.text("date")
    day = _day(value)
    if not day:
        table.fault(
            "date",
            f"{table.name}: date is not a day.",
            "Write year, month and day, as in 2026-03-02.",
        )
    return day


def _day(value: object) -> str:
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value.isoformat()
    if not isinstance(value, str) or not _DAY.fullmatch(value):
        return ""
    try:
        return dt.date.fromisoformat(value).isoformat()
    except ValueError:
        return ""


def _read_variant(table: Table) -> Variant:
    variant = Variant(id=table.ident(), label=table.label())
    table.finish()
    return variant


def _read_domain(table: Table) -> Domain:
    domain = Domain(id=table.ident(), label=table.label())
    table.finish()
    return domain


def _read_phase(table: Table) -> Phase:
    phase = Phase(id=table.ident(), label=table.label())
    table.finish()
    return phase


def _read_step(table: Table) -> Step:
    scored = table.flag("scored", default=True)
    if not scored and "weight" in table and not table.unread("weight"):
        table.fault(
            "weight",
            f"{table.name} has a weight and is not scored.",
            "Leave out one of the two.",
        )
    no_weight = None if scored else Fraction(1)
    step = Step(
        id=table.ident(),
        phase=table.text("phase", longest=LONGEST_ID),
        domain=table.text("domain", longest=LONGEST_ID),
        label=table.label(),
        done=table.text("done"),
        weight=table.number("weight", most=HEAVIEST, default=no_weight, above_zero=True),
        scored=scored,
        essential=table.flag("essential", default=False),
        voice=table.choice("voice", Voice, Voice.NO) or Voice.NO,
        after=table.groups("after"),
        variants=table.texts("variants", longest=LONGEST_ID),
        when=table.text("when", default="", longest=LONGEST_LABEL),
        not_applicable=table.flag("not_applicable", default=False),
        reasons=table.texts("reasons", longest=LONGEST_LABEL),
        errors=table.texts("errors"),
        sources=table.texts("sources", longest=LONGEST_ID),
    )
    table.finish()
    return step


def _read_critical(table: Table) -> Critical:
    kind = table.choice("kind", CriticalKind, CriticalKind.ABSOLUTE) or CriticalKind.ABSOLUTE
    counted = kind is CriticalKind.TALLY
    if not counted and "tally" in table and not table.unread("kind"):
        table.fault(
            "tally",
            f"{table.name} has a tally and is not of the kind tally.",
            "Write kind = “tally”, or leave the tally out.",
        )
    critical = Critical(
        id=table.ident(),
        label=table.label(),
        definition=table.text("definition"),
        recognise=table.text("recognise"),
        harm=table.text("harm"),
        watch=table.texts("watch", longest=LONGEST_ID),
        kind=kind,
        tally=table.whole("tally", least=2, most=100, default=None if counted else 2),
        averted_is_fatal=table.flag("averted_is_fatal", default=True),
        sources=table.texts("sources", longest=LONGEST_ID),
    )
    table.finish()
    return critical


def _read_kit(table: Table) -> KitItem:
    per = table.choice("per", Per)
    reusable = table.choice("reusable", Reusable) if "reusable" in table else None
    item = KitItem(
        item=table.text("item", longest=LONGEST_TITLE),
        per=per.value if per else "",
        count=table.number("count", most=1000, default=None, above_zero=True),
        reusable=reusable.value if reusable else "",
        note=table.text("note", default=""),
    )
    table.finish()
    return item


def _read_source(table: Table) -> Source:
    source = Source(code=table.ident("code"), text=table.text("text"), status=table.text("status"))
    table.finish()
    return source
