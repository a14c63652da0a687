"""The same sheet as one HTML file: for screen readers, large letters and small screens.

It says what the pages say, in their order, from the same content; it has no script, asks no
network for anything, and carries the digest of the record it was made from. WCAG 2.2 AA:
language, one title, headings in order, lists and tables with heads, contrast from the look.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from observe.domain.printing import against, percent
from observe.look.marks import MarkLook
from observe.look.rod import RodStep, rod
from observe.look.shapes import Disc, Rect, Shape
from observe.look.tokens import DARK, LIGHT, Theme, Token
from observe.sheets.advice import kept_line, of_step, work_on_lines
from observe.sheets.closing import (
    deviation_lines,
    form_sentence,
    help_sentence,
    limits,
    signer_lines,
)
from observe.sheets.content import CriticalNote, DomainScore, SheetContent
from observe.sheets.heading import (
    LINE_WORDS,
    critical_word,
    revision_sentence,
    time_of,
    unwatched_sentence,
)
from observe.sheets.numbers import grade_text, printed_score, score_sentence, standard_sentence
from observe.sheets.record import code_of, digest_of, written
from observe.sheets.steplist import step_word

_ROD = (960.0, 28.0)


def twin(content: SheetContent) -> bytes:
    """The sheet as an HTML file in UTF-8."""
    record = digest_of(written(content))
    occasion = content.occasion
    title = f"{occasion.learner}, {occasion.procedure}, {occasion.date}"
    body = "\n".join(part for part in _parts(content, record) if part)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta name="record" content="{record}">\n'
        f"<title>{escape(title)}</title>\n<style>\n{_style()}</style>\n</head>\n<body>\n"
        f"{body}\n</body>\n</html>\n"
    ).encode()


def _parts(content: SheetContent, record: str) -> Iterable[str]:
    yield _head(content)
    yield "<main>"
    yield _decision(content)
    yield _lines(content)
    yield _criticals(content)
    yield _settling(content)
    yield _score(content)
    yield _domains(content)
    yield _grades(content)
    yield _advice(content)
    yield _steps(content)
    yield _rest(content)
    yield "</main>"
    yield _foot(content, record)


def _p(text: str, kind: str = "") -> str:
    """A paragraph, its direction by its own letters; nothing for no text."""
    if not text:
        return ""
    marked = f' class="{kind}"' if kind else ""
    return f'<p dir="auto"{marked}>{escape(text)}</p>'


def _section(title: str, *inside: str) -> str:
    """A section under a heading; nothing where nothing is in it."""
    filled = [part for part in inside if part]
    if not filled:
        return ""
    return "\n".join(("<section>", f"<h2>{escape(title)}</h2>", *filled, "</section>"))


def _list(entries: Iterable[str]) -> str:
    rows = "".join(f'<li dir="auto">{escape(one)}</li>\n' for one in entries if one)
    return f"<ul>\n{rows}</ul>" if rows else ""


def _table(caption: str, heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    """A table whose first column names its rows."""
    head = "".join(f'<th scope="col">{escape(one)}</th>' for one in heads)
    body = ""
    for first, *rest in rows:
        cells = "".join(f'<td dir="auto">{escape(one)}</td>' for one in rest)
        body += f'<tr><th scope="row" dir="auto">{escape(first)}</th>{cells}</tr>\n'
    if not body:
        return ""
    return (
        f"<table>\n<caption>{escape(caption)}</caption>\n<thead><tr>{head}</tr></thead>\n"
        f"<tbody>\n{body}</tbody>\n</table>"
    )


def _head(content: SheetContent) -> str:
    occasion = content.occasion
    what = ", ".join(part for part in (occasion.procedure, occasion.variant) if part)
    return "\n".join(
        (
            "<header>",
            f'<h1 dir="auto">{escape(occasion.learner)}</h1>',
            _p(what),
            _p(time_of(occasion)),
            _p(f"{occasion.ordinal}, {occasion.mode}"),
            _p(occasion.place),
            "</header>",
        )
    )


def _decision(content: SheetContent) -> str:
    return _section(
        content.decision.word, _p(content.decision.sentence), _p(revision_sentence(content))
    )


def _lines(content: SheetContent) -> str:
    rows = [(one.title, LINE_WORDS[one.look], one.sentence) for one in content.lines]
    table = _table("Every line of the rule", ("Line", "Now", "Why"), rows)
    return _section("What made the decision", table)


def _criticals(content: SheetContent) -> str:
    rows = [(one.label, one.time, _critical_words(one), one.note) for one in content.criticals]
    table = _table("What was recorded", ("Item", "Time", "How it ended", "Note"), rows)
    return _section("Critical items", table, _p(unwatched_sentence(content)))


def _critical_words(note: CriticalNote) -> str:
    step = f", at step {note.step}" if note.step else ""
    return f"{critical_word(note)}{step}"


def _settling(content: SheetContent) -> str:
    lists = content.settling
    if not lists.to_pass and not lists.to_remediate:
        return ""
    return _section(
        "What would settle it",
        "<h3>A pass, if these are seen and done</h3>" if lists.to_pass else "",
        _list(lists.to_pass),
        "<h3>Remediation, if these are seen and not done</h3>" if lists.to_remediate else "",
        _list(lists.to_remediate),
    )


def _score(content: SheetContent) -> str:
    scored = content.scored
    if scored is None:
        return ""
    if scored.value is None:
        return _section("Your score", _p("No score: no step with a weight was seen."))
    cut = ""
    if scored.cut is not None:
        kind = "provisional cut" if scored.is_provisional else "cut"
        cut = f"{kind} {against(scored.value, scored.cut)[1]} %"
    return _section(
        "Your score, and what was not seen",
        _p(f"{printed_score(scored)} %", "figure"),
        _p(cut),
        _p(score_sentence(scored)),
        _p(standard_sentence(content.standard)),
    )


def _domains(content: SheetContent) -> str:
    rows = [(one.label, *_domain_words(one)) for one in content.domains]
    heads = ("Domain", "Score", "At least", "If the rest had failed, or been right")
    return _section("Domains", _table("Scores by domain", heads, rows))


def _domain_words(one: DomainScore) -> tuple[str, str, str]:
    if one.value is None:
        return ("not seen" if one.high is not None else "not today", "", "")
    least = one.minimum
    value = against(one.value, least)[0] if least is not None else percent(one.value)
    needed = f"{against(one.value, least)[1]} %" if least is not None else ""
    range_ = ""
    if one.low is not None and one.high is not None and one.low != one.high:
        range_ = f"{percent(one.low)} % to {percent(one.high)} %"
    return (f"{value} %", needed, range_)


def _grades(content: SheetContent) -> str:
    overall = content.overall
    parts = []
    if overall is not None:
        parts = [_p(f"{overall.title}: {grade_text(overall)}"), _p(overall.anchor)]
    if content.independence:
        parts.append(_p(f"Independence: {content.independence.rstrip('.')}."))
    rows = [(one.title, grade_text(one), one.anchor) for one in content.dimensions]
    parts.append(_table("Dimensions", ("Dimension", "Grade", "What it means"), rows))
    return _section("Overall grade", *parts)


def _advice(content: SheetContent) -> str:
    advice = content.advice
    works = "".join(
        f'<h3 dir="auto">{escape(head)}</h3>\n{"".join(_p(one) for one in said)}\n'
        for head, said in map(work_on_lines, advice.work_on)
    )
    return "\n".join(
        part
        for part in (
            _section(
                "Keep doing",
                _p(advice.strength),
                _p(of_step(advice.strength_step)),
                _list(map(kept_line, advice.kept)),
            ),
            _section("Change next time", _p(advice.change), _p(of_step(advice.change_step))),
            _section("Steps to work on", works),
            _section("What happens now", _p(advice.next_step), _p(advice.next_when)),
            _section("Your own goal", _p(f"“{advice.goal}”" if advice.goal else "")),
        )
        if part
    )


def _steps(content: SheetContent) -> str:
    if not content.steps:
        return ""
    tables = []
    for phase in content.phases:
        rows = [
            (str(one.number), one.label, step_word(one) or _plain(one.look), one.note)
            for one in phase.steps
        ]
        tables.append(_table(phase.label, ("Step", "What", "How it was", "Note"), rows))
    return _section("Step by step", _rod(content), *tables)


def _plain(look: MarkLook) -> str:
    return "done" if look is MarkLook.DONE else look.value.replace("-", " ")


def _rod(content: SheetContent) -> str:
    """The ribbon of the attempt; the tables below say the same in words."""
    wide, high = _ROD
    made = rod([RodStep(one.look, one.weight) for one in content.steps], wide, high, gap=1)
    drawn = "".join(_svg(shape) for shape in made.shapes)
    return (
        f'<svg viewBox="0 0 {wide:g} {high:g}" role="img" aria-label="The attempt as a ribbon, '
        f'a block for each of {len(content.steps)} steps; the tables below say the same.">'
        f"{drawn}</svg>"
    )


def _svg(shape: Shape) -> str:
    ink = f'class="{shape.ink.value}"'
    if isinstance(shape, Rect):
        return (
            f'<rect {ink} x="{shape.x:.2f}" y="{shape.y:.2f}" width="{shape.width:.2f}" '
            f'height="{shape.height:.2f}"/>'
        )
    if isinstance(shape, Disc):
        return f'<circle {ink} cx="{shape.x:.2f}" cy="{shape.y:.2f}" r="{shape.radius:.2f}"/>'
    rings = (shape.points, shape.hole) if shape.hole else (shape.points,)
    path = " ".join("M" + " L".join(f"{x:.2f},{y:.2f}" for x, y in ring) + " Z" for ring in rings)
    return f'<path {ink} fill-rule="evenodd" d="{path}"/>'


def _rest(content: SheetContent) -> str:
    parts = (
        _section("Help you were given", _p(help_sentence(content))),
        _section("How you saw it yourself", _p(content.advice.self_view)),
        _section("Your earlier attempts", _list(content.earlier)),
        _section("What this workshop left out", _list(deviation_lines(content))),
        _section("Amended", _list(content.amendments)),
        _section("Mind", _list(content.cautions)),
        _section("Disagree, or want to ask?", _p(content.disagree)),
        _section("Signed", *(_p(one) for one in signer_lines(content))),
    )
    return "\n".join(part for part in parts if part)


def _foot(content: SheetContent, record: str) -> str:
    origin = content.origin
    return "\n".join(
        (
            "<footer>",
            _p(limits(content)),
            _p(form_sentence(content)),
            _p(f"Code {code_of(record)}"),
            _p(f"record {record}", "code"),
            _p(
                f"form {origin.form_digest[:16]} events {origin.events_digest[:16]} "
                f"attempt {content.occasion.attempt}",
                "code",
            ),
            _p("The signed sheet is the PDF beside this file; this one is for reading."),
            "</footer>",
        )
    )


def _style() -> str:
    """Colours of the look, light and dark; one column that grows with the letters."""
    return (
        f":root{{color-scheme:light dark;{_colours(LIGHT)}}}\n"
        f"@media (prefers-color-scheme:dark){{:root{{{_colours(DARK)}}}}}\n"
        "body{margin:0;background:var(--sheet);color:var(--ink);"
        "font:1.05rem/1.5 Lato,'DejaVu Sans',system-ui,sans-serif;overflow-wrap:anywhere}\n"
        "header{background:var(--band);color:var(--onband);padding:1.2rem max(4vw,1rem)}\n"
        "main,footer{max-width:46rem;margin:0 auto;padding:0 max(4vw,1rem)}\n"
        "header p{margin:.1rem 0}h1{margin:0 0 .3rem;font-size:1.9rem;line-height:1.2}\n"
        "h2{font-size:1.25rem;margin:2rem 0 .4rem;border-top:2px solid var(--line);"
        "padding-top:.5rem}main>section:first-child h2{font-size:1.9rem;border:0}\n"
        "h3{font-size:1.05rem;margin:1rem 0 .2rem}p{margin:.3rem 0}\n"
        "table{border-collapse:collapse;width:100%;margin:.6rem 0}"
        "caption{text-align:start;color:var(--ink2)}\n"
        "th,td{text-align:start;vertical-align:top;padding:.35rem .6rem .35rem 0;"
        "border-bottom:1px solid var(--line)}\n"
        ".figure{font-size:1.7rem;font-weight:bold}.code{font-family:monospace;font-size:.85rem}\n"
        "svg{width:100%;height:auto;background:var(--sheet)}"
        f"{''.join(f'.{one.value}{{fill:var(--{one.value})}}' for one in Token)}\n"
        "footer{border-top:1px solid var(--line);margin-top:2.5rem;padding-bottom:2rem;"
        "color:var(--ink2)}\n"
        "@media print{header{background:none;color:#000}body{font-size:10pt}}\n"
    )


def _colours(theme: Theme) -> str:
    return "".join(f"--{one.value}:{getattr(theme, one.value)};" for one in Token)
