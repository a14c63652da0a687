"""Components and D studies as text for people."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from observe.agreement.dstudy import DStudy
    from observe.work.file_generalizability import FileStudy

WIDTH = 88


def generalizability_text(found: FileStudy) -> str:
    """Tables of components and of D studies, what is needed, then notes."""
    study = found.study
    if study is None or found.here is None:
        return ""
    facets = ", ".join(
        f"{letter} {column} ({study.levels[letter]:g})" for letter, column in found.columns.items()
    )
    lines = [f"Design {study.design.text}: {facets}", f"Method: {study.method}", ""]
    lines += [f"{'effect':<16}{'df':>6}{'mean square':>14}{'component':>14}{'share':>9}{'SE':>12}"]
    for one in study.components:
        df = "" if one.df is None else str(one.df)
        square = "" if one.mean_square is None else f"{one.mean_square:.4f}"
        part = f"{100 * one.used / study.total:.1f} %" if study.total > 0 else ""
        se = "" if one.se is None else f"{one.se:.4f}"
        lines.append(f"{one.name:<16}{df:>6}{square:>14}{one.estimate:>14.4f}{part:>9}{se:>12}")
    lines += [
        "",
        f"{'numbers':<16}{'G':>8}{'Φ':>8}{'Φ at cut':>10}{'SEM rel.':>10}{'SEM abs.':>10}",
    ]
    lines += [_d(one) for one in (found.here, *found.others)]
    lines += ["", *_needed(found, found.columns), ""]
    for note in found.notes:
        lines += textwrap.wrap(note, WIDTH)
    return "\n".join(lines)


def _d(one: DStudy) -> str:
    numbers = ", ".join(f"{letter} {count:g}" for letter, count in one.n.items())
    g, phi, cut = (
        "none" if value is None else f"{value:.3f}" for value in (one.g, one.phi, one.phi_cut)
    )
    cut = "" if one.phi_cut is None else cut
    return f"{numbers:<16}{g:>8}{phi:>8}{cut:>10}{one.sem_relative:>10.3f}{one.sem_absolute:>10.3f}"


def _needed(found: FileStudy, columns: Mapping[str, str]) -> Iterator[str]:
    for one in found.needed:
        what = f"{columns[one.facet]} ({one.facet}) for Φ of {one.target:g}"
        said = (
            one.why if one.n is None else f"{one.n} ({one.raw:.2f}, rounded up), all else as here"
        )
        yield f"{what}: {said}"
