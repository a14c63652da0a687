"""Cut scores from a person's files: read them, ask the method, report."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput
from observe.work import standard_tables as tables
from observe.work.logbooks import is_logbook
from observe.work.standard_tables import Judged, Learners, Wanted
from observe.work.table_file import TableFile

if TYPE_CHECKING:
    from observe.standards import Asking, Cut, Impact, SafetyStandard
    from observe.standards.angoff import Angoff

METHODS = ("angoff", "group", "regression", "contrasting", "hofstee", "essential", "compare")
STATISTICS = MappingProxyType(
    {
        "group": ("median", "mean"),
        "contrasting": ("logistic", "normal", "midpoint", "median midpoint", "fewest errors"),
        "hofstee": ("mean", "median"),
    }
)


@dataclass(frozen=True, slots=True)
class FileStandard:
    """What came of the files. Where any of them has faults nothing is computed.

    cuts: the one that was asked for first, then others to set beside it; of `compare` all.
    impact: what each of them would do to the candidates, where there are scores. panel:
    the judges' rounds. safety: the essential steps. files: as they were read. scores: of the
    candidates, where the methods are set side by side.
    """

    method: str
    files: tuple[TableFile, ...]
    cuts: tuple[Cut, ...] = ()
    impact: Impact | None = None
    panel: Angoff | None = None
    safety: SafetyStandard | None = None
    scores: tuple[float, ...] = ()

    @property
    def faulty(self) -> tuple[TableFile, ...]:
        """The files with faults."""
        return tuple(one for one in self.files if one.faults)


def file_standard(method: str, path: Path, wanted: Wanted) -> FileStandard:
    """A cut score by one of `METHODS` from its file.

    Raises BadInput for what does not go together, and for files that are no such tables;
    Surroundings where the machine refuses to read.
    """
    _check(method, wanted)
    if is_logbook(path):
        return _of_logbook(method, path, wanted)
    if wanted.form or wanted.variant:
        raise BadInput(
            "A table says nothing of forms.",
            where="--form, --variant",
            remedy="Leave them out, or name a logbook.",
        )
    found = METHOD[method](path, wanted)
    if found.faulty:
        return FileStandard(method, found.files)
    return found


def _check(method: str, wanted: Wanted) -> None:
    kinds = STATISTICS.get(method, ())
    if wanted.statistic and wanted.statistic not in kinds:
        given = wanted.statistic
        choose = f"Use one of: {', '.join(kinds)}." if kinds else "Leave --statistic out."
        raise BadInput(
            f"There is no statistic “{given}” of this method.", where="--statistic", remedy=choose
        )
    if wanted.percent and wanted.maximum is not None:
        raise BadInput(
            "Scores are in percent, or up to a maximum.",
            where="--max",
            remedy="Give --percent or --max, not both.",
        )
    of_judges = method in {"angoff", "essential", "hofstee"}
    if wanted.scores is not None and not of_judges:
        raise BadInput(
            "The scores are in the table itself.", where="--scores", remedy="Leave --scores out."
        )
    if wanted.present is not None and of_judges and wanted.scores is None:
        raise BadInput(
            "Without scores nobody passes or fails at the present cut.",
            where="--cut",
            remedy="Name a table of scores with --scores.",
        )


def _asking(wanted: Wanted) -> Asking:
    from observe.standards.cut import PERCENT, RAW, Asking, raw

    scale = RAW if wanted.maximum is None else raw(wanted.maximum)
    return Asking(PERCENT if wanted.percent else scale, wanted.level, wanted.seed)


def _effect(cuts: Iterable[Cut], learners: Learners | None, wanted: Wanted) -> Impact | None:
    from observe.standards import impact

    named = {one.label: (one.value, one.se) for one in cuts if one.value is not None}
    if learners is None or all(score is None for score in learners.scores):
        return None
    return impact(learners.scores, named, present=wanted.present)


def _regression(learners: Learners, wanted: Wanted) -> FileStandard:
    from observe.standards import borderline_regression

    cut = borderline_regression(
        learners.scores,
        learners.grades,
        borderline=tables.borderline(wanted, learners),
        asking=_asking(wanted),
    )
    return FileStandard("regression", (learners.file,), (cut,), _effect([cut], learners, wanted))


def _group(learners: Learners, wanted: Wanted) -> FileStandard:
    from observe.standards import borderline_group

    cuts = tuple(
        borderline_group(
            learners.scores,
            learners.grades,
            borderline=tables.borderline(wanted, learners),
            statistic=kind,
            asking=_asking(wanted),
        )
        for kind in _first(wanted.statistic, STATISTICS["group"])
    )
    return FileStandard("group", (learners.file,), cuts, _effect(cuts, learners, wanted))


def _contrasting(path: Path, wanted: Wanted) -> FileStandard:
    learners = tables.grouped(path, wanted)
    if learners.file.faults:
        return FileStandard("contrasting", (learners.file,))
    cuts = _contrasts(learners, wanted)
    return FileStandard("contrasting", (learners.file,), cuts, _effect(cuts, learners, wanted))


def _contrasts(learners: Learners, wanted: Wanted) -> tuple[Cut, ...]:
    from observe.standards import Loss, contrasting_groups

    return tuple(
        contrasting_groups(
            learners.scores,
            learners.qualified,
            statistic=kind,
            loss=Loss(*wanted.loss),
            asking=_asking(wanted),
        )
        for kind in _first(wanted.statistic, STATISTICS["contrasting"])
    )


def _hofstee(path: Path, wanted: Wanted) -> FileStandard:
    from observe.standards import Box, hofstee

    if wanted.scores is None:
        raise BadInput(
            "Hofstee's method needs the scores of a cohort beside the judges.",
            where="--scores",
            remedy="Name a table of learner and score with --scores.",
        )
    limits, file = tables.limits(path, wanted)
    learners = tables.scored(wanted.scores, wanted)
    if file.faults or learners.file.faults:
        return FileStandard("hofstee", (file, learners.file))
    cut = hofstee(
        learners.scores,
        [Box(*one) for one in limits],
        statistic=wanted.statistic or "mean",
        asking=_asking(wanted),
    )
    effect = _effect([cut], learners, wanted)
    return FileStandard("hofstee", (file, learners.file), (cut,), effect)


def _cohort(judged: Judged, wanted: Wanted) -> Learners | None:
    """The scores that judges' cut is tried on: in percent, or up to all that items can earn."""
    if wanted.scores is None:
        return None
    most = None if wanted.percent else sum(judged.points.values()) or None
    return tables.scored(wanted.scores, replace(wanted, maximum=most))


def _angoff(path: Path, wanted: Wanted) -> FileStandard:
    from observe.standards import angoff

    judged = tables.judged(path, wanted)
    learners = _cohort(judged, wanted)
    files = (judged.file,) if learners is None else (judged.file, learners.file)
    if any(one.faults for one in files):
        return FileStandard("angoff", files)
    panel = angoff(judged.judgements, points=judged.points, asking=_asking(wanted))
    cut = panel.cut.in_percent() if wanted.percent else panel.cut
    return FileStandard("angoff", files, (cut,), _effect([cut], learners, wanted), panel)


def _essential(path: Path, wanted: Wanted) -> FileStandard:
    from observe.standards import patient_safety

    judged = tables.judged(path, wanted, votes=True)
    learners = _cohort(judged, wanted)
    files = (judged.file,) if learners is None else (judged.file, learners.file)
    if any(one.faults for one in files):
        return FileStandard("essential", files)
    safety = patient_safety(
        judged.judgements,
        judged.votes,
        majority=wanted.majority,
        points=judged.points,
        asking=_asking(wanted),
    )
    if safety.rest is None:
        return FileStandard("essential", files, safety=safety)
    cut = safety.rest.cut.in_percent() if wanted.percent else safety.rest.cut
    effect = _effect([cut], learners, wanted)
    return FileStandard("essential", files, (cut,), effect, safety.rest, safety)


def _compare(learners: Learners, wanted: Wanted) -> FileStandard:
    from observe.standards import Box, hofstee

    files: tuple[TableFile, ...] = (learners.file,)
    limits: tuple[tuple[float, float, float, float], ...] = ()
    if wanted.judges is not None:
        limits, file = tables.limits(wanted.judges, wanted)
        files = (*files, file)
    if any(one.faults for one in files):
        return FileStandard("compare", files)
    at = tables.borderline(wanted, learners)
    parted = replace(
        learners, qualified=[None if one is None else one > at for one in learners.grades]
    )
    cuts = [*_graded_cuts(learners, at, wanted), *_contrasts(parted, wanted)]
    if limits:
        cuts.append(hofstee(learners.scores, [Box(*one) for one in limits], asking=_asking(wanted)))
    return FileStandard(
        "compare",
        files,
        tuple(cuts),
        _effect(cuts, learners, wanted),
        scores=tuple(one for one in learners.scores if one is not None),
    )


def _graded_cuts(learners: Learners, at: float, wanted: Wanted) -> list[Cut]:
    from observe.standards import borderline_group, borderline_regression

    asking = _asking(wanted)
    scores, grades = learners.scores, learners.grades
    return [
        borderline_regression(scores, grades, borderline=at, asking=asking),
        *(
            borderline_group(scores, grades, borderline=at, statistic=kind, asking=asking)
            for kind in STATISTICS["group"]
        ),
    ]


GRADED: MappingProxyType[str, Callable[[Learners, Wanted], FileStandard]] = MappingProxyType(
    {"group": _group, "regression": _regression, "compare": _compare}
)


def _of_table(method: str) -> Callable[[Path, Wanted], FileStandard]:
    """A method of graded learners, reading them from a table."""

    def read(path: Path, wanted: Wanted) -> FileStandard:
        learners = tables.graded(path, wanted)
        if learners.file.faults:
            return FileStandard(method, (learners.file,))
        return GRADED[method](learners, wanted)

    return read


def _of_logbook(method: str, path: Path, wanted: Wanted) -> FileStandard:
    """A method of graded learners on a logbook's attempts. Raises BadInput for another method."""
    from observe.work.standard_logbook import graded_in

    if method not in GRADED:
        raise BadInput(
            "This method does not read a logbook.",
            where=str(path),
            remedy=f"Use {', '.join(GRADED)}, or name its table.",
        )
    learners, borderline = graded_in(path, wanted)
    asked = replace(wanted, borderline=borderline, grades=(), percent=True, maximum=None)
    found = GRADED[method](learners, asked)
    cuts = tuple(
        replace(one, dropped=(*learners.dropped, *one.dropped)).warned(*learners.warnings)
        for one in found.cuts
    )
    return replace(found, cuts=cuts)


def _first(asked: str, kinds: tuple[str, ...]) -> tuple[str, ...]:
    """All kinds, the one that was asked for first."""
    first = asked or kinds[0]
    return (first, *(kind for kind in kinds if kind != first))


METHOD: MappingProxyType[str, Callable[[Path, Wanted], FileStandard]] = MappingProxyType(
    {
        "angoff": _angoff,
        "contrasting": _contrasting,
        "hofstee": _hofstee,
        "essential": _essential,
        **{name: _of_table(name) for name in GRADED},
    }
)
