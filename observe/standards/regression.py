"""Borderline regression: what a learner graded borderline would score on the straight line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from observe.standards.cut import CANDIDATES, HALO, PLAIN, STUDENT, Asking, Cut, Detail, student
from observe.standards.resampling import Resampled, bootstrap
from observe.standards.scores import ROUNDING, Flags, Floats, Whole, below, candidates, paired

FEWEST = 3
SMALL = 50
POOR_FIT = 0.5


@dataclass(frozen=True, slots=True)
class Line:
    """The least-squares line of scores on grades, and how well it fits.

    r_squared: None where every score is the same. rmse: with n - 2 degrees of freedom.
    lever: n - 2 free, the variance of the line at the borderline grade over rmse².
    """

    slope: float
    intercept: float
    at: float
    r_squared: float | None
    rmse: float
    lever: float


def borderline_regression(
    scores: Sequence[float | None],
    grades: Sequence[float | None],
    *,
    borderline: float,
    asking: Asking = PLAIN,
) -> Cut:
    """The line of score on global grade, read at the borderline grade.

    borderline: may lie between two grades. The standard error is that of the line at this
    grade (delta method), the interval Student's t with n - 2; a second standard error
    resamples candidates. Not estimable under 3 candidates or with one grade only. Raises
    BadInput as `paired` does. Sources: Wood TJ, Humphrey-Murto SM, Norman GR (2006),
    Advances in Health Sciences Education 11:115-122; Draper NR, Smith H (1998), Applied
    Regression Analysis, section 3.1.
    """
    y, g, dropped = paired(scores, grades, "grade", asking.scale)
    n = len(y)
    asked = Cut(
        "borderline_regression",
        "",
        asking.scale,
        asking.level,
        n,
        CANDIDATES,
        len(scores),
        dropped=dropped,
        seed=asking.seed,
    )
    if n < FEWEST:
        have = candidates(n) if n else "no candidate"
        verb = "has" if n < 2 else "have"
        return asked.without(f"{have} {verb} score and grade, and {FEWEST} are needed.")
    if not spread_out(g[None, :])[0]:
        return asked.without(f"every candidate has the same grade, {g[0]:g}.")
    line = fitted(g, y, borderline)
    again = bootstrap(lambda places: _at(g, y, borderline, places), [n], asking)
    return _answer(asked, line, again, (g, y, borderline))


def fitted(grades: Floats, scores: Floats, at: float) -> Line:
    """The line of 3 or more scores, shape (n,), on grades that differ; its value at one grade."""
    n = len(scores)
    centred, rise = grades - grades.mean(), scores - scores.mean()
    spread = float(centred @ centred)
    slope = float(centred @ rise) / spread
    left = rise - slope * centred
    total, residual = float(rise @ rise), float(left @ left)
    tiny = n * (ROUNDING * max(1.0, float(np.abs(scores).max()))) ** 2
    residual = 0.0 if residual <= tiny else residual
    if total <= tiny:
        slope = 0.0
    mean = float(scores.mean())
    return Line(
        slope=slope,
        intercept=mean - slope * float(grades.mean()),
        at=mean + slope * (at - float(grades.mean())),
        r_squared=None if total <= tiny else 1 - residual / total,
        rmse=math.sqrt(residual / (n - 2)),
        lever=1 / n + (at - float(grades.mean())) ** 2 / spread,
    )


def spread_out(grades: Floats) -> Flags:
    """Whether the grades of each table differ at all; shape (tables, n)."""
    largest = np.maximum(1.0, np.abs(grades).max(axis=1))
    return np.asarray(grades.max(axis=1) - grades.min(axis=1) > ROUNDING * largest)


def _at(grades: Floats, scores: Floats, at: float, places: Whole) -> tuple[Floats, Flags]:
    """The line's value at one grade in each resample; undefined where all grades are one."""
    g, y = grades[places], scores[places]
    mean = g.mean(axis=1, keepdims=True)
    centred = g - mean
    spread = (centred**2).sum(axis=1)
    defined = spread_out(g)
    slope = (centred * y).sum(axis=1) / np.where(defined, spread, 1.0)
    return y.mean(axis=1) + slope * (at - mean[:, 0]), defined


def _answer(asked: Cut, line: Line, again: Resampled, data: tuple[Floats, Floats, float]) -> Cut:
    grades, scores, borderline = data
    se = line.rmse * math.sqrt(line.lever)
    sure = line.rmse > 0
    details: dict[str, Detail] = {
        "borderline_grade": borderline,
        "slope": line.slope,
        "intercept": line.intercept,
        "rmse": line.rmse,
        "fail_count": int(below(scores, line.at).sum()),
    }
    if line.r_squared is not None:
        details["r_squared"] = line.r_squared
    if sure:
        details["se_cut_prediction_mean"] = se
    if again.se is not None and again.limits is not None:
        details["se_bootstrap"] = again.se
        details["bootstrap_low"], details["bootstrap_high"] = again.limits
    answer = asked.found(
        line.at,
        se=se if sure else None,
        limits=student(line.at, se, asked.n - 2, asked.level) if sure else None,
        interval=STUDENT,
        details=details,
    )
    answer = answer.warned(*_warnings(line, grades, scores, borderline), HALO)
    exact = "The scores lie on the line: there is no error to make a standard error from."
    flat = "R² is not estimable: every score is the same." if line.r_squared is None else ""
    return answer.noted("" if sure else exact, flat, again.note)


def _warnings(line: Line, grades: Floats, scores: Floats, borderline: float) -> list[str]:
    said = []
    n = len(scores)
    if n < SMALL:
        said.append(
            f"{candidates(n)}: under {SMALL} the error of the cut is large (Homer and others 2016)."
        )
    if line.slope <= 0:
        said.append("The slope is not above 0: better grades do not go with higher scores.")
    if line.r_squared is not None and line.r_squared < POOR_FIT:
        said.append(
            f"R² is {line.r_squared:.2f}, under {POOR_FIT:g}: scores follow the grades poorly"
            " (Pell and others 2010)."
        )
    if not grades.min() <= borderline <= grades.max():
        said.append(
            f"No grade reaches {borderline:g}: the cut is extrapolated beyond the grades"
            f" {grades.min():g} to {grades.max():g}."
        )
    elif borderline not in grades:
        said.append(f"Nobody was graded {borderline:g}: the cut is read between other grades.")
    if not scores.min() <= line.at <= scores.max():
        said.append("The cut lies outside the scores seen.")
    return said
