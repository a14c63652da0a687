"""Score, domains and grades on the first page, drawn to scale with what was not seen."""

from __future__ import annotations

from fractions import Fraction

from observe.domain.printing import against, percent
from observe.look.boxes import WHOLE_AXIS, Axis, Bounds, axis_for, bounds_shapes
from observe.look.marks import LineLook
from observe.look.shapes import Rect, Shape
from observe.look.tokens import Token, Weight
from observe.sheets.blocks import (
    NOTHING,
    Block,
    Item,
    beside,
    drawn,
    figure,
    levelled,
    one_line,
    paragraph,
    shifted,
    space,
    stacked,
    tagged,
)
from observe.sheets.content import DomainScore, GradeNote, Scored, SheetContent, StandardNote
from observe.sheets.setting import MM, Setting
from observe.sheets.tags import Role, Tag
from observe.sheets.typeset import Style

_DOMAINS_WIDE = 62 * MM
_AXIS_HIGH = 32.0


def numbers(content: SheetContent, setting: Setting, room: float) -> Block:
    """Score and overall grade at the left, domains at the right; nothing of a void attempt."""
    if content.scored is None or content.overall is None:
        return NOTHING
    left_room = room - _DOMAINS_WIDE - 8 * MM
    left = stacked(
        (
            stacked(
                (
                    score(content.scored, setting, left_room),
                    paragraph(
                        standard_sentence(content.standard),
                        setting.note(),
                        left_room,
                        role=Role.P,
                    ),
                ),
                gap=3,
            ),
            overall(content.overall, content.independence, setting, left_room),
        ),
        gap=setting.gap * 0.8,
    )
    right = domains(content.domains, setting, _DOMAINS_WIDE)
    return beside(((0, left), (room - _DOMAINS_WIDE, right)), room)


def score(scored: Scored, setting: Setting, room: float) -> Block:
    """The score beside its title, and box, stroke and cut on an axis."""
    title = paragraph(
        "Your score, and what was not seen", setting.heading(), room - 90, role=Role.H2
    )
    if scored.value is None or scored.low is None or scored.high is None:
        words = "No score: no step with a weight was seen."
        return stacked((title, paragraph(words, setting.body(), room, role=Role.P)), gap=4)
    fails = scored.cut is not None and scored.value < scored.cut
    ink = Token.WRONG if fails else Token.DONE
    printed = printed_score(scored)
    seen = f"of the {percent(scored.coverage)} % seen" if scored.unseen else ""
    number = stacked(
        (
            paragraph(f"{printed} %", Style(17, Weight.BLACK, ink, leading=1), 86, right=True),
            paragraph(seen, setting.note(), 86, right=True),
        )
    )
    number = tagged(number, Role.P)
    return stacked(
        (
            levelled(((0, title), (room - 86, number)), room),
            figure(_scale(scored, setting, room, ink), scale_words(scored)),
            paragraph(score_sentence(scored), setting.note(), room, role=Role.P),
        ),
        gap=3,
    )


def printed_score(scored: Scored) -> str:
    """The score as a percentage that never contradicts the cut (rule S4)."""
    if scored.value is None:
        return ""
    if scored.cut is None:
        return percent(scored.value)
    return against(scored.value, scored.cut)[0]


def _scale(scored: Scored, setting: Setting, room: float, ink: Token) -> Block:
    axis = axis_for(scored.low or 0, scored.high or 0, scored.cut)
    bounds = Bounds(scored.low or 0, scored.high or 0, scored.value, scored.cut)
    shapes: list[Shape] = []
    if scored.error is not None and scored.value is not None:
        left = axis.place(scored.value - scored.error, room)
        right = axis.place(scored.value + scored.error, room)
        shapes.append(Rect(left, _AXIS_HIGH / 2 - 3.5, right - left, 7, Token.RULE))
    shapes.extend(_ticks(axis, room))
    shapes.extend(bounds_shapes(bounds, axis, room, _AXIS_HIGH, ink=ink))
    items: list[Item] = []
    top = 0.0
    if scored.cut is not None:
        label = _cut_label(scored, setting, axis, room)
        items.extend(label.items)
        top = label.height
    items.extend(shifted(tuple(shapes), 0, top))
    items.extend(shifted(_tick_labels(axis, setting, room), 0, top + _AXIS_HIGH))
    return Block(room, top + _AXIS_HIGH + setting.note().line, tuple(items))


def scale_words(scored: Scored) -> str:
    """What the scale shows."""
    said = f"A scale with the score {printed_score(scored)} %"
    if scored.unseen and scored.low is not None and scored.high is not None:
        said += f", from {_bound(scored.low, scored)} to {_bound(scored.high, scored)} %"
    if scored.cut is None or scored.value is None:
        return f"{said}."
    kind = "provisional cut" if scored.is_provisional else "cut"
    return f"{said}, {kind} {against(scored.value, scored.cut)[1]} %."


def _ticks(axis: Axis, room: float) -> list[Shape]:
    middle = _AXIS_HIGH / 2
    places = (min(max(axis.place(tick, room) - 0.5, 0), room - 1) for tick in axis.ticks)
    return [Rect(x, middle - 3.5, 1, 7, Token.LINE) for x in places]


def _tick_labels(axis: Axis, setting: Setting, room: float) -> tuple[Item, ...]:
    style = setting.note()
    items: list[Item] = []
    for tick in axis.ticks:
        label = one_line(f"{round(tick * 100)}", style)
        x = min(max(axis.place(tick, room) - label.width / 2, 0), room - label.width)
        items.extend(shifted(label.items, x, 0))
    return tuple(items)


def _cut_label(scored: Scored, setting: Setting, axis: Axis, room: float) -> Block:
    cut = scored.cut or Fraction(0)
    printed = against(scored.value, cut)[1] if scored.value is not None else percent(cut)
    kind = "provisional cut" if scored.is_provisional else "cut"
    label = one_line(f"{kind} {printed}", Style(setting.small + 0.6, Weight.BOLD, leading=1.2))
    x = min(max(axis.place(cut, room) - label.width / 2, 0), room - label.width)
    return Block(room, label.height, shifted(label.items, x, 0))


def score_sentence(scored: Scored) -> str:
    """What the score rests on: coverage, bounds, what did not apply (rules S2, S3)."""
    parts = [f"{percent(scored.coverage)} % of the weight that applies was seen."]
    if scored.unseen and scored.low is not None and scored.high is not None:
        steps = "the unseen step" if scored.unseen == 1 else f"all {scored.unseen} unseen steps"
        parts.append(
            f"The box runs from {_bound(scored.low, scored)} ({steps} not done)"
            f" to {_bound(scored.high, scored)} (done)."
        )
        parts.append(_against_cut(scored))
    if scored.not_applicable:
        noun = "step" if scored.not_applicable == 1 else "steps"
        share = percent(scored.not_applicable_share)
        parts.append(f"Not applicable: {scored.not_applicable} {noun}, {share} % of the weight.")
    parts.append(error_sentence(scored))
    if scored.is_provisional and scored.cut is not None:
        parts.append("The cut is the form's own, provisional: no standard was approved.")
    return " ".join(part for part in parts if part)


def error_sentence(scored: Scored) -> str:
    """The score with its standard error, or why there is none (rule A1)."""
    if scored.error is None or scored.value is None:
        return scored.error_basis
    basis = f", {scored.error_basis}" if scored.error_basis else ""
    return (
        f"Grey: {printed_score(scored)} ± {percent(scored.error)}, one standard error between"
        f" observers{basis}."
    )


def standard_sentence(standard: StandardNote | None) -> str:
    """What the cut rests on and what it is not (rule A9); empty without an approved standard."""
    if standard is None:
        return ""
    error = "without a standard error"
    if standard.error is not None:
        error = f"standard error {percent(standard.error)}"
    said = (
        f"Standard: {standard.method}, {standard.basis}, {error},"
        f" in effect from {standard.effective}."
    )
    return f"{said} {standard.is_not}".rstrip()


def _bound(bound: Fraction, scored: Scored) -> str:
    return percent(bound) if scored.cut is None else against(bound, scored.cut)[0]


def _against_cut(scored: Scored) -> str:
    if scored.cut is None or scored.low is None or scored.high is None:
        return ""
    if scored.low >= scored.cut:
        return "Whatever was missed, the score stays at or over the cut."
    if scored.high < scored.cut:
        return "Whatever was missed, the score stays under the cut."
    return "What was missed can carry the score to either side of the cut."


def domains(scores: tuple[DomainScore, ...], setting: Setting, room: float) -> Block:
    """Each domain as a box on one common scale; upright line: its minimum."""
    if not scores:
        return NOTHING
    asked = any(one.minimum is not None for one in scores)
    key = one_line("upright line: minimum" if asked else "", setting.note(), role=Role.P)
    title = one_line("Domains", setting.heading(), role=Role.H2)
    top = levelled(((0, title), (room - key.width, key)), room)
    table = Tag(Role.TABLE)
    rows = [tagged(_domain(one, setting, room), table, Role.ROW) for one in scores]
    return stacked((top, space(2), *rows), gap=setting.list_pad * 0.6)


def _domain(one: DomainScore, setting: Setting, room: float) -> Block:
    failed = one.look is LineLook.FAILED
    style = setting.entry(Token.WRONG if failed else Token.INK)
    label_room, number_room = room * 0.4, 40.0
    axis_x = label_room + 6
    axis_room = room - axis_x - number_room
    label = paragraph(
        one.label,
        setting.entry().bold() if failed else setting.entry(),
        label_room,
        role=Role.HEAD,
    )
    number = paragraph(_domain_number(one), style.bold(), number_room, right=True)
    cell = Tag(Role.CELL)
    box = tagged(figure(_domain_box(one, axis_room), _box_words(one)), cell)
    return levelled(((0, label), (axis_x, box), (room - number_room, tagged(number, cell))), room)


def _box_words(one: DomainScore) -> str:
    if one.low is None or one.high is None:
        return "nothing of it today"
    least = one.minimum
    said = "to scale"
    if one.low != one.high:
        said = f"from {percent(one.low)} to {percent(one.high)} %"
    if least is None:
        return said
    needed = against(one.value, least)[1] if one.value is not None else percent(least)
    return f"{said}, at least {needed} %"


def _domain_number(one: DomainScore) -> str:
    if one.value is None:
        return "not seen" if one.high is not None else "not today"
    printed = against(one.value, one.minimum)[0] if one.minimum is not None else percent(one.value)
    return f"{printed}\u00a0%"


def _domain_box(one: DomainScore, room: float) -> Block:
    high = 13.0
    if one.low is None or one.high is None:
        return drawn((Rect(0, high / 2 - 0.5, room, 1, Token.RULE),), room, high)
    ink = Token.WRONG if one.look is LineLook.FAILED else Token.DONE
    bounds = Bounds(one.low, one.high, one.value, one.minimum)
    return drawn(bounds_shapes(bounds, WHOLE_AXIS, room, high, ink=ink, head=False), room, high)


def overall(grade: GradeNote, independence: str, setting: Setting, room: float) -> Block:
    """The required overall grade with its anchor, and the level of independence."""
    style = setting.body()
    said = grade_text(grade)
    more = f"Independence: {independence.rstrip('.')}." if independence else ""
    return stacked(
        (
            levelled(
                (
                    (0, paragraph(grade.title, setting.heading(), room * 0.4, role=Role.H2)),
                    (
                        room * 0.4,
                        paragraph(said, style.bold(), room * 0.6, right=True, role=Role.P),
                    ),
                ),
                room,
            ),
            paragraph(
                " ".join(p for p in (grade.anchor, more) if p), setting.note(), room, role=Role.P
            ),
        ),
        gap=1.5,
    )


def grade_text(grade: GradeNote) -> str:
    """A grade in words: "3 of 5, Competent"."""
    if grade.value is None:
        return "not observable"
    named = grade.label.casefold() == "borderline"
    borderline = ", borderline" if grade.is_borderline and not named else ""
    label = f", {grade.label}" if grade.label else ""
    return f"{grade.value} of {grade.highest}{label}{borderline}"
