"""Words for coefficients, by the scale that somebody published; never without the interval.

Scales disagree, and their authors call the divisions arbitrary, so a word is given only where it
is asked for, with whose it is. Printed bands leave gaps (0.20 to 0.21): the value is rounded half
up on its decimal text to as many decimals as the scale prints, then looked up. Words are those of
the interval's ends, as Koo and Li advise.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from types import MappingProxyType

from observe.agreement.estimate import Estimate
from observe.domain.troubles import BadInput


@dataclass(frozen=True, slots=True)
class Scale:
    """A published scale. bands: a word for values below the first edge, then edge and word."""

    source: str
    lowest: str
    bands: tuple[tuple[str, str], ...]
    decimals: int = 2


SCALES: Mapping[str, Scale] = MappingProxyType(
    {
        "landis-koch": Scale(
            "Landis JR, Koch GG (1977), Biometrics 33:159-174",
            "Poor",
            (("0.00", "Slight"), ("0.21", "Fair"), ("0.41", "Moderate"), ("0.61", "Substantial"),
             ("0.81", "Almost perfect")),
        ),
        "altman": Scale(
            "Altman DG (1991), Practical Statistics for Medical Research, p. 404",
            "Poor",
            (("0.21", "Fair"), ("0.41", "Moderate"), ("0.61", "Good"), ("0.81", "Very good")),
        ),
        "fleiss": Scale(
            "Fleiss JL (1981), Statistical Methods for Rates and Proportions, 2nd ed., p. 218",
            "Poor",
            (("0.40", "Intermediate to good"), ("0.76", "Excellent")),
        ),
        "cicchetti": Scale(
            "Cicchetti DV (1994), Psychological Assessment 6:284-290",
            "Poor",
            (("0.40", "Fair"), ("0.60", "Good"), ("0.75", "Excellent")),
        ),
        "koo-li": Scale(
            "Koo TK, Li MY (2016), Journal of Chiropractic Medicine 15:155-163",
            "Poor",
            (("0.50", "Moderate"), ("0.75", "Good"), ("0.91", "Excellent")),
        ),
        "mchugh": Scale(
            "McHugh ML (2012), Biochemia Medica 22:276-282",
            "None",
            (("0.21", "Minimal"), ("0.40", "Weak"), ("0.60", "Moderate"), ("0.80", "Strong"),
             ("0.91", "Almost perfect")),
        ),
        "krippendorff": Scale(
            "Krippendorff K (2004), Content Analysis, 2nd ed., p. 241",
            "not to be relied on",
            (("0.667", "tentative conclusions only"), ("0.800", "acceptable")),
            decimals=3,
        ),
    }
)  # fmt: skip


def word(value: float, scale: str) -> str:
    """The word of a scale for a value. Raises BadInput for a scale that is none."""
    known = SCALES.get(scale)
    if known is None:
        raise BadInput(
            f"There is no scale of words {scale!r}.",
            where="words",
            remedy=f"Use one of: {', '.join(SCALES)}.",
        )
    place = Decimal(1).scaleb(-known.decimals)
    rounded = Decimal(repr(value)).quantize(place, rounding=ROUND_HALF_UP)
    found = known.lowest
    for edge, name in known.bands:
        if rounded >= Decimal(edge):
            found = name
    return found


def words(found: Estimate, scale: str) -> str:
    """The words for an estimate's interval: "Fair to Good"; why none where it has no interval."""
    word(0.0, scale)
    if found.value is None:
        return "no word: it is not estimable"
    if found.low is None or found.high is None:
        return "no word: it has no interval"
    low, high = word(found.low, scale), word(found.high, scale)
    return low if low == high else f"{low} to {high}"
