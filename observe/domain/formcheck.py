"""Whether the parts of a form fit together: identities, references, wordings (F3, F4, F5)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from observe.domain.form import Critical, CriticalKind, Form, Step
from observe.domain.formfindings import Findings, meant, shorten
from observe.domain.formorder import check_order
from observe.domain.formplaces import Path
from observe.domain.formrules import check_rules


def check(form: Form, findings: Findings) -> None:
    """Note every fault and remark that no single entry shows by itself.

    The form stands as its text gives it: the third step of the form is the third
    table of steps. Empty texts are faults noted already and are passed over.
    """
    _check_presence(form, findings)
    _check_identities(form, findings)
    _check_labels(form, findings)
    for place, step in enumerate(form.steps):
        name = _name("Step", step.id, place)
        _check_step(form, step, name, ("steps", place), findings)
    for place, item in enumerate(form.criticals):
        name = _name("Critical item", item.id, place)
        _check_critical(form, item, name, ("critical", place), findings)
    check_order(form, findings)
    check_rules(form, findings)
    _check_use(form, findings)


def _check_presence(form: Form, findings: Findings) -> None:
    for key, parts, remedy in (
        ("steps", form.steps, "Add at least one table [[steps]]."),
        ("domains", form.domains, "Add the domains that the steps belong to, as [[domains]]."),
        ("phases", form.phases, "Add the phases that the steps belong to, as [[phases]]."),
        ("cautions", form.cautions, "State what the form is not, in a list “cautions = […]”."),
        ("sources", form.sources, "Add the sources of the steps, as [[sources]]."),
    ):
        if not parts:
            findings.misfit((key,), f"The form has no {key}.", remedy)
    if not form.criticals:
        findings.misfit(
            ("critical",),
            "The form has no critical item.",
            "Add at least one harmful error that overrides the score, as [[critical]].",
        )
    if form.steps and not any(step.scored for step in form.steps):
        findings.misfit(("steps",), "No step of the form is scored.", "Give steps a weight.")


def _check_identities(form: Form, findings: Findings) -> None:
    for kind, key, entry, names in (
        ("Variant", "variants", "id", [one.id for one in form.variants]),
        ("Domain", "domains", "id", [one.id for one in form.domains]),
        ("Phase", "phases", "id", [one.id for one in form.phases]),
        ("Step", "steps", "id", [one.id for one in form.steps]),
        ("Critical item", "critical", "id", [one.id for one in form.criticals]),
        ("Dimension", "dimensions", "id", [one.id for one in form.dimensions]),
        ("Source", "sources", "code", [one.code for one in form.sources]),
    ):
        for place in _repeated(names):
            findings.misfit(
                (key, place, entry),
                f"{kind} {names[place]} stands twice in the form.",
                f"Give one of the two another {entry}.",
            )


def _repeated(names: Sequence[str]) -> Iterable[int]:
    """The places of names that stood before; empty names are passed over."""
    before: set[str] = set()
    for place, name in enumerate(names):
        if name and name in before:
            yield place
        before.add(name)


def _check_labels(form: Form, findings: Findings) -> None:
    """Two steps that a person would see side by side under one label."""
    for place, step in enumerate(form.steps):
        for other in form.steps[:place]:
            if step.label and _folded(step.label) == _folded(other.label) and step.meets(other):
                findings.misfit(
                    ("steps", place, "label"),
                    f"{_name('Step', step.id, place)} has the same label as step {other.id}.",
                    "Say in the label what sets the two apart.",
                )
                break


def _name(kind: str, name: str, place: int) -> str:
    return f"{kind} {name}" if name else f"{kind} number {place + 1}"


def _folded(text: str) -> str:
    return text.casefold().strip(" .!")


def _check_step(form: Form, step: Step, name: str, path: Path, findings: Findings) -> None:
    _refer(name, "phase", (*path, "phase"), step.phase, [p.id for p in form.phases], findings)
    _refer(name, "domain", (*path, "domain"), step.domain, [d.id for d in form.domains], findings)
    for place, variant in enumerate(step.variants):
        entry = (*path, "variants", place)
        _refer(name, "variant", entry, variant, [v.id for v in form.variants], findings)
    _check_sources(form, name, step.sources, path, findings)
    _check_not_applicable(step, name, path, findings)
    if step.essential and step.when:
        findings.misfit(
            (*path, "when"),
            f"{name} is essential and yet may not arise.",
            "Leave out “when”, or do not make the step essential.",
        )


def _check_not_applicable(step: Step, name: str, path: Path, findings: Findings) -> None:
    entry, reasons = (*path, "not_applicable"), (*path, "reasons")
    if step.essential and step.not_applicable:
        findings.misfit(
            entry,
            f"{name} is essential and may yet be called not applicable.",
            "Leave out one of the two.",
        )
    if step.not_applicable and not step.reasons:
        findings.misfit(
            entry,
            f"{name} may be called not applicable, and the form offers no reason.",
            "Add “reasons = […]” with the reasons an observer may choose from.",
            rests_on=(reasons,),
        )
    if step.reasons and not step.not_applicable:
        findings.misfit(
            reasons,
            f"{name} has reasons for not applicable, which it cannot be.",
            "Add “not_applicable = true”, or leave the reasons out.",
            rests_on=(entry,),
        )


def _check_critical(form: Form, item: Critical, name: str, path: Path, findings: Findings) -> None:
    _check_sources(form, name, item.sources, path, findings)
    _check_watch(form, item, name, path, findings)
    step = next((step for step in form.steps if item.id and step.id == item.id), None)
    if step is not None:
        findings.misfit(
            (*path, "id"),
            f"{name} is also a step.",
            "Keep one of the two: a step is a wanted act, a critical item a harmful error.",
        )
        return
    if item.kind is CriticalKind.TALLY and not item.averted_is_fatal:
        findings.remark(
            (*path, "averted_is_fatal"),
            f"{name} is counted, so that a single averted one is never fatal by itself.",
            "Leave “averted_is_fatal” out.",
        )
    wordings = {_folded(item.label): "label", _folded(item.definition): "definition"}
    for step in form.steps:
        same = {_folded(step.label), _folded(step.done)} & wordings.keys() - {""}
        if same:
            findings.misfit(
                (*path, wordings[same.pop()]),
                f"{name} says the same as step {step.id}; one behaviour is never both.",
                "Word the step as the wanted act and the critical item as the harmful error.",
            )
            return


def _check_watch(form: Form, item: Critical, name: str, path: Path, findings: Findings) -> None:
    entry = (*path, "watch")
    if not item.watch:
        findings.misfit(
            entry,
            f"{name} names no step during which it can be seen.",
            "Add “watch = […]” with those steps.",
        )
        return
    for place, step in enumerate(item.watch):
        _refer(name, "step", (*entry, place), step, list(form.step), findings)
    for variant in form.variants:
        here = {step.id for step in form.steps_of(variant.id)}
        if (
            variant.id
            and here
            and here.isdisjoint(item.watch)
            and set(item.watch) <= set(form.step)
        ):
            findings.remark(
                entry,
                f"{name} can be seen during no step of the variant {variant.id}.",
                "Add a step of that variant to “watch”, if the error can happen there.",
            )


def _check_sources(
    form: Form, name: str, codes: tuple[str, ...], path: Path, findings: Findings
) -> None:
    known = [source.code for source in form.sources]
    if not codes:
        findings.misfit(
            (*path, "sources"),
            f"{name} names no source.",
            "Add “sources = […]”; a source may also be common practice, said so.",
        )
    for place, code in enumerate(codes):
        _refer(name, "source", (*path, "sources", place), code, known, findings)


def _refer(
    name: str, kind: str, path: Path, wanted: str, known: Sequence[str], findings: Findings
) -> None:
    """Note a reference to what the form does not have, unless it has none of that kind at all."""
    none_is_a_fault = kind != "variant"
    if wanted and wanted not in known and (known or not none_is_a_fault):
        findings.misfit(
            path,
            f"{name} names the {kind} “{shorten(wanted)}”, which the form does not have.",
            meant(wanted, known).strip() or f"Name a {kind} of the form.",
            rests_on=((f"{kind}s",),),
        )


def _check_use(form: Form, findings: Findings) -> None:
    """Remarks on what the form declares and never uses."""
    steps = form.steps
    cited = {code for step in steps for code in step.sources}
    cited |= {code for item in form.criticals for code in item.sources}
    for kind, names, used in (
        ("domain", [one.id for one in form.domains], {one.domain for one in steps}),
        ("phase", [one.id for one in form.phases], {one.phase for one in steps}),
        ("source", [one.code for one in form.sources], cited),
    ):
        if not steps or _is_unread_somewhere(form, kind, findings):
            continue
        for place, name in enumerate(names):
            if name and name not in used:
                findings.remark(
                    (f"{kind}s", place),
                    f"Nothing in the form uses the {kind} {name}.",
                    "Leave it out, or name it where it belongs.",
                )
    everywhere = {variant.id for variant in form.variants}
    for place, step in enumerate(steps):
        if everywhere and set(step.variants) == everywhere:
            findings.remark(
                ("steps", place, "variants"),
                f"Step {step.id} names every variant, so observers of two variants are not pooled.",
                "Leave “variants” out: a step without it belongs to all of them.",
            )


def _is_unread_somewhere(form: Form, kind: str, findings: Findings) -> bool:
    """Whether some entry that might use a part of this kind could not be read."""
    entry = "sources" if kind == "source" else kind
    parts: list[Path] = [("steps", place) for place in range(len(form.steps))]
    parts += [("critical", place) for place in range(len(form.criticals))]
    return findings.unread(("steps",), ("critical",), *((*part, entry) for part in parts))
