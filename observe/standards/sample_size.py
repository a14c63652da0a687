"""How many learners a study of agreement or reliability takes. Always rounded up."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from scipy import special

from observe.domain.troubles import BadInput


@dataclass(frozen=True)
class Size:
    """How many are needed. raw: unrounded; n: rounded up. details: what it rests on."""

    n: int
    raw: float
    note: str = ""
    details: dict[str, float] = field(default_factory=dict)


def bonett(icc: float, width: float, observers: int, *, level: float = 0.95) -> Size:
    """Learners for an interval of a wanted full width around an ICC.

    width: from limit to limit. With two observers and an ICC of 0.7 or more the details hold
    `n_adjusted`, with 5 times the ICC added, which the source then takes. Source: Bonett DG
    (2002), Statistics in Medicine 21:1331-1335. Raises BadInput for what cannot be.
    """
    _require(0 <= icc < 1, f"An ICC of {icc:g} cannot be planned for.", "Give 0 to under 1.")
    _require(0 < width < 1, f"A width of {width:g} is none.", "Give the full width, such as 0.2.")
    _require_observers(observers)
    _require_share(level, "level")
    z = _quantile(0.5 + level / 2)
    k = observers
    raw = 8 * z**2 * (1 - icc) ** 2 * (1 + (k - 1) * icc) ** 2 / (k * (k - 1) * width**2) + 1
    plain = _up(raw)
    if k == 2 and icc >= 0.7:
        more = _up(raw + 5 * icc)
        note = f"With two observers and an ICC of 0.7 or more take {more}: 5 x ICC is added."
        return Size(plain, raw, note, {"n_adjusted": float(more)})
    return Size(plain, raw)


def walter(
    least: float, expected: float, observers: int, *,
    alpha: float = 0.05, power: float = 0.8, tails: int = 1,
) -> Size:  # fmt: skip
    """Learners to show that an ICC lies above a least one, where it is as expected.

    tails: 1, as in the source, or 2. Source: Walter SD, Eliasziw M, Donner A (1998), Statistics in
    Medicine 17:101-110. Raises BadInput for what cannot be.
    """
    _require(
        0 <= least < expected < 1,
        f"An ICC of {expected:g} is not above a least one of {least:g}, both from 0 to 1.",
        "Give the least first, then the greater one that is expected.",
    )
    _require_observers(observers)
    _require_test(alpha, power, tails)
    k = observers
    ratio = (1 + k * least / (1 - least)) / (1 + k * expected / (1 - expected))
    total = _quantile(1 - alpha / tails) + _quantile(power)
    raw = 1 + 2 * total**2 * k / (math.log(ratio) ** 2 * (k - 1))
    return Size(_up(raw), raw, f"A test with {tails} tail{'s' if tails > 1 else ''}.")


def donner(
    least: float, expected: float, prevalence: float, *,
    alpha: float = 0.05, power: float = 0.8, tails: int = 2,
) -> Size:  # fmt: skip
    """Learners to tell one kappa from another, two observers, a step done or not.

    least, expected: the two kappas. prevalence: how often it is done. By goodness of fit. Source:
    Donner A, Eliasziw M (1992), Statistics in Medicine 11:1511-1519. Raises BadInput for what
    cannot be.
    """
    _require(
        0 <= least < 1 and 0 <= expected < 1 and least != expected,
        f"Kappas of {least:g} and {expected:g} cannot be told apart so.",
        "Give two different ones from 0 to under 1.",
    )
    _require_share(prevalence, "prevalence")
    _require_test(alpha, power, tails)
    both = prevalence * (1 - prevalence)
    moved = both * (expected - least)
    fit = (
        moved**2 / (prevalence**2 + least * both)
        + 2 * moved**2 / (both * (1 - least))
        + moved**2 / ((1 - prevalence) ** 2 + least * both)
    )
    raw = (_quantile(1 - alpha / tails) + _quantile(power)) ** 2 / fit
    note = f"At a prevalence of {prevalence:g}; the number grows fast away from 0.5."
    return Size(_up(raw), raw, note)


def for_phi(universe: float, error: float, *, target: float = 0.8) -> Size:
    """Observers, or attempts, whose mean has a Φ that is wanted.

    universe: variance of learners' true scores; error: absolute error variance of one observer or
    attempt, both from a G study. Source: Brennan RL (2001), Generalizability Theory, chapter 2.
    Raises BadInput for what cannot be.
    """
    _require(universe > 0, "Learners do not differ: no number reaches it.", "Give their variance.")
    _require(error >= 0, f"An error variance of {error:g} is none.", "Give 0 or more.")
    _require_share(target, "target")
    raw = max(error / universe * target / (1 - target), 0.0)
    one = universe / (universe + error)
    return Size(max(_up(raw), 1), raw, f"One alone has a Φ of {one:.3f}.", {"phi_of_one": one})


def _up(raw: float) -> int:
    return math.ceil(raw - 1e-9)


def _quantile(share: float) -> float:
    return float(special.ndtri(share))


def _require(holds: bool, what: str, remedy: str) -> None:  # noqa: FBT001 - a condition, not a switch
    if not holds:
        raise BadInput(what, remedy=remedy)


def _require_share(value: float, name: str) -> None:
    _require(0 < value < 1, f"A {name} of {value:g} is not between 0 and 1.", "Give 0.05 or 0.8.")


def _require_observers(observers: int) -> None:
    _require(observers >= 2, "Agreement takes two observers or more.", "Give 2 or more.")


def _require_test(alpha: float, power: float, tails: int) -> None:
    _require_share(alpha, "level of significance")
    _require_share(power, "power")
    _require(tails in (1, 2), f"A test has no {tails} tails.", "Give 1 or 2.")
    _require(power > alpha, "A power below the level of significance is none.", "Give 0.8 or more.")
