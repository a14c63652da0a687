"""The tables that cut scores are made from: learners with grades or groups, judges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput
from observe.work.cells import MEASURED, shown, tidy
from observe.work.table_file import Column, TableFile, read_table

if TYPE_CHECKING:
    from observe.standards import Judgement, Vote

QUALIFIED = frozenset({"1", "yes", "true", "pass", "qualified", "competent"})
NOT_QUALIFIED = frozenset(
    {"0", "no", "false", "fail", "not qualified", "unqualified", "not competent", "incompetent"}
)
YES = frozenset({"1", "yes", "true", "y"})
NO = frozenset({"0", "no", "false", "n"})
KEEP_ONE = "Keep one of the two; name repeated attempts apart."


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked of the files.

    statistic: a kind of the method; empty for its first. borderline: a grade; empty if not
    said. grades: words lowest first, standing for 1, 2, 3 ...; empty where grades are
    numbers. qualified: the word of the qualified group; empty for the usual words. loss: of
    a false pass and a false fail. present: the cut in force now. percent, maximum: the
    scale; of judgements too. scores: a table of learners beside one of judges; judges: one
    of judges beside learners. majority: of votes for an essential step. form, variant: ids,
    of a logbook's attempts.
    """

    statistic: str = ""
    borderline: str = ""
    grades: tuple[str, ...] = ()
    qualified: str = ""
    loss: tuple[float, float] = (1.0, 1.0)
    present: float | None = None
    percent: bool = False
    maximum: float | None = None
    scores: Path | None = None
    judges: Path | None = None
    majority: float = 0.5
    form: str = ""
    variant: str = ""
    level: float = 0.95
    seed: int = 0
    decimal_comma: bool = False
    encoding: str = "utf-8"

    @property
    def highest(self) -> float:
        """The greatest score that the scale holds."""
        if self.percent:
            return 100.0
        return 1e30 if self.maximum is None else self.maximum

    @property
    def lowest(self) -> float:
        """The least score that the scale holds."""
        return 0.0 if self.percent or self.maximum is not None else -1e30


@dataclass(frozen=True, slots=True)
class Learners:
    """Learners in order of their lines; None where one has no score, grade or group.

    dropped: who is not among them, and why. warnings: what a cut from them has to say.
    """

    file: TableFile
    scores: list[float | None] = field(default_factory=list)
    grades: list[float | None] = field(default_factory=list)
    qualified: list[bool | None] = field(default_factory=list)
    dropped: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Judged:
    """What judges expect of items, as shares; votes where they were asked; points by item."""

    file: TableFile
    judgements: list[Judgement] = field(default_factory=list)
    votes: list[Vote] = field(default_factory=list)
    points: dict[str, float] = field(default_factory=dict)


def scored(path: Path, wanted: Wanted, *others: Column) -> Learners:
    """Learners with their scores, and other columns beside them."""
    found = _read(
        path,
        wanted,
        Column("learner", full=True),
        Column("score", number=True, low=wanted.lowest, high=wanted.highest),
        *others,
    )
    found.twice(["learner"], "This learner", KEEP_ONE)
    return Learners(found, [row.numbers["score"] for row in found.rows])


def graded(path: Path, wanted: Wanted) -> Learners:
    """Learners with score and global grade: numbers, or the declared words as 1, 2, 3 ..."""
    found = scored(path, wanted, Column("grade"))
    codes = _codes(wanted)
    for row in found.file.rows:
        text = row.texts["grade"]
        grade = None if text is None else _grade(text, codes, comma=wanted.decimal_comma)
        if text is not None and grade is None:
            found.file.fault(row.line, *_no_grade(text, wanted.grades), shown(text))
        found.grades.append(grade)
    return found


def borderline(wanted: Wanted, learners: Learners) -> float:
    """The borderline grade as a number. Raises BadInput where none was said, or it is no grade."""
    codes = _codes(wanted)
    said = wanted.borderline or next((word for word in codes if word == "borderline"), "")
    grade = _grade(said, codes, comma=wanted.decimal_comma) if said else None
    if grade is not None:
        return grade
    seen = sorted({one for one in learners.grades if one is not None})
    listed = ", ".join(wanted.grades or [f"{one:g}" for one in seen[:12]])
    what = f"“{shown(said)}” is no grade." if said else "Which grade is borderline was not said."
    raise BadInput(
        what, where="--borderline", remedy=f"Give the borderline grade; there are: {listed}."
    )


def grouped(path: Path, wanted: Wanted) -> Learners:
    """Learners with score and group, judged qualified or not."""
    found = scored(path, wanted, Column("group"))
    chosen = tidy(wanted.qualified).casefold()
    words = [(row.line, row.texts["group"]) for row in found.file.rows]
    if chosen:
        _check_two(chosen, [word for _, word in words if word], path)
    for line, word in words:
        flag: bool | None = None
        folded = (word or "").casefold()
        if word and chosen:
            flag = folded == chosen
        elif word and folded in QUALIFIED | NOT_QUALIFIED:
            flag = folded in QUALIFIED
        elif word:
            found.file.fault(
                line,
                f"“{shown(word)}” does not say whether the learner was judged qualified.",
                "Write qualified or not qualified, 1 or 0; or name the qualified group with"
                " --qualified.",
                shown(word),
            )
        found.qualified.append(flag)
    return found


def limits(
    path: Path, wanted: Wanted
) -> tuple[tuple[tuple[float, float, float, float], ...], TableFile]:
    """Each judge's lowest and highest cut, and least and greatest failure rate in percent."""
    names = ("min_cut", "max_cut", "min_fail", "max_fail")
    found = _read(
        path,
        wanted,
        Column("judge", full=True),
        *(
            Column(name, number=True, full=True, low=wanted.lowest, high=wanted.highest)
            for name in names[:2]
        ),
        *(Column(name, number=True, full=True, low=0, high=100) for name in names[2:]),
    )
    found.twice(["judge"], "This judge", "Keep one of the two.")
    rows = []
    for row in found.rows:
        values = [row.numbers[name] for name in names]
        low, high, least, most = (0.0 if value is None else value for value in values)
        if low > high or least > most:
            found.fault(
                row.line,
                "A lower limit is above the upper one.",
                "Write the lower limit in min_cut and min_fail.",
            )
        rows.append((low, high, least, most))
    return tuple(rows), found


def judged(path: Path, wanted: Wanted, *, votes: bool = False) -> Judged:
    """Judgements by judge and item, in rounds if there is such a column; perhaps with votes.

    Values are shares from 0 to 1, or in percent, or points up to a maximum of each item.
    """
    top = 100.0 if wanted.percent else wanted.maximum or 1.0
    extra = [Column("essential")] if votes else []
    found = _read(
        path,
        wanted,
        Column("judge", full=True),
        Column("item", full=True),
        Column("value", number=True, low=0, high=top),
        Column("round", number=True, needed=False, full=True, low=1, high=99),
        Column("points", number=True, needed=False, full=True, low=1e-9, high=1e9),
        *extra,
    )
    names = ["judge", "item", "round"] if "round" in found.columns else ["judge", "item"]
    found.twice(names, "This judgement", "Keep one of the two, or number the rounds.")
    result = Judged(found, points=_points(found, wanted))
    _hint(found, wanted)
    if not found.faults:
        _fill(result, top, votes=votes)
    return result


def _fill(result: Judged, top: float, *, votes: bool) -> None:
    from observe.standards import Judgement, Vote

    said: dict[tuple[str, str], bool | None] = {}
    for row in result.file.rows:
        judge, item = row.text("judge"), row.text("item")
        value, turn = row.numbers["value"], row.numbers.get("round")
        if turn is not None and turn != int(turn):
            result.file.fault(row.line, "A round is a whole number.", "Number the rounds 1, 2, 3.")
        share = None if value is None else value / top
        result.judgements.append(Judgement(judge, item, share, int(turn or 1)))
        if votes:
            word = (row.texts["essential"] or "").casefold()
            if word and word not in YES | NO:
                result.file.fault(
                    row.line,
                    f"“{shown(word)}” does not say whether the item is essential.",
                    "Write yes or no.",
                    shown(word),
                )
            if word or (judge, item) not in said:
                said[judge, item] = word in YES if word else None
    result.votes.extend(Vote(judge, item, yes) for (judge, item), yes in said.items())


def _points(found: TableFile, wanted: Wanted) -> dict[str, float]:
    """What each item can earn; a fault where it is given twice and differs."""
    points: dict[str, float] = {}
    for row in found.rows:
        item, worth = row.text("item"), row.numbers.get("points")
        if worth is None:
            worth = 1.0 if wanted.maximum is None or wanted.percent else wanted.maximum
        before = points.setdefault(item, worth)
        if before != worth:
            found.fault(
                row.line,
                f"{shown(item)} is worth {worth:g} points here and {before:g} above.",
                "Give each item the same points on each of its lines.",
            )
    return points


def _hint(found: TableFile, wanted: Wanted) -> None:
    """One notice where values look like percentages that were not declared."""
    if found.faults and not wanted.percent and wanted.maximum is None:
        found.notices.append(
            "Judgements are read as shares from 0 to 1; for percentages give --percent, for"
            " points --max with the most that each item can earn."
        )


def _check_two(chosen: str, words: Sequence[str], path: Path) -> None:
    found = sorted({word.casefold() for word in words})
    if chosen in found and len(found) <= 2:
        return
    listed = ", ".join(shown(word) for word in found[:12])
    raise BadInput(
        f"The groups are {listed or 'not filled in'}; “{shown(chosen)}” and one other are needed.",
        where=str(path),
        remedy="Name one of two groups with --qualified; leave the group of others empty.",
    )


def _codes(wanted: Wanted) -> dict[str, float]:
    return {tidy(word).casefold(): float(place) for place, word in enumerate(wanted.grades, 1)}


def _grade(text: str, codes: dict[str, float], *, comma: bool) -> float | None:
    if codes:
        return codes.get(tidy(text).casefold())
    plain = text.replace(",", ".") if comma else text
    return float(plain) if MEASURED.fullmatch(plain) else None


def _no_grade(text: str, words: Sequence[str]) -> tuple[str, str]:
    if words:
        return f"“{shown(text)}” is not a declared grade.", f"Use {', '.join(words[:12])}."
    return (
        f"“{shown(text)}” is not a number.",
        "Write grades as numbers, or declare their words, lowest first, with --grades.",
    )


def _read(path: Path, wanted: Wanted, *columns: Column) -> TableFile:
    return read_table(path, columns, decimal_comma=wanted.decimal_comma, encoding=wanted.encoding)
