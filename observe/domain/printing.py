"""Exact numbers as people read them: half up, one decimal, more where it decides (rule S4)."""

from __future__ import annotations

from fractions import Fraction

MOST_PLACES = 12


def rounded(value: Fraction, places: int) -> str:
    """`value` with a fixed number of decimals, rounded half up; a true minus sign."""
    above, below = value.as_integer_ratio()
    whole = (2 * abs(above) * 10**places + below) // (2 * below)
    digits = str(whole).rjust(places + 1, "0")
    text = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return f"\u2212{text}" if above < 0 and whole else text


def percent(share: Fraction, places: int = 1) -> str:
    """A share as a percentage without the sign: 0.849 is "84.9"."""
    return rounded(share * 100, places)


def against(score: Fraction, cut: Fraction) -> tuple[str, str]:
    """Score and cut as percentages that never contradict the decision (rule S4).

    One decimal; if a failing score would print at or above the cut, more digits
    for both until they differ.
    """
    places = 1
    while score < cut and percent(score, places) == percent(cut, places):
        if places == MOST_PLACES:
            return f"under {percent(cut, places)}", percent(cut, places)
        places += 1
    return percent(score, places), percent(cut, places)


def points(value: Fraction) -> str:
    """An exact number: as a decimal if that ends, else as a fraction "1/3"."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    if rest != 1:
        return f"{value.numerator}/{value.denominator}"
    places = next(n for n in range(value.denominator) if (10**n) % value.denominator == 0)
    return rounded(value, places)


def clock(nanoseconds: int) -> str:
    """A time on an attempt's clock: "12:44", or "1:02:03" from an hour on."""
    seconds = nanoseconds // 1_000_000_000
    minutes, second = divmod(seconds, 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours}:{minute:02}:{second:02}" if hours else f"{minute:02}:{second:02}"
