"""Designs of generalizability studies: which facets there are, and which is nested in which."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations

from observe.domain.troubles import BadInput

Effect = tuple[str, ...]
"""The facets that an effect is made of, in the design's order; every nesting one among them."""

LETTER = r"[a-z]"
_TERM = re.compile(rf"\(?({LETTER})(?::({LETTER}))?\)?")
_MOST = 4


@dataclass(frozen=True)
class Design:
    """A design with one score in each cell.

    facets: letters, the object of measurement first. within: facet to the one it is nested in.
    """

    facets: tuple[str, ...]
    within: Mapping[str, str] = field(default_factory=dict)

    @property
    def person(self) -> str:
        """The object of measurement."""
        return self.facets[0]

    @cached_property
    def effects(self) -> tuple[Effect, ...]:
        """All effects, those of fewer facets first; the last one is confounded with all else."""
        found = [
            some
            for count in range(1, len(self.facets) + 1)
            for some in combinations(self.facets, count)
            if all(self.within.get(one, one) in some for one in some)
        ]
        return tuple(found)

    def nesting(self, effect: Effect) -> frozenset[str]:
        """The facets of an effect in which another of its facets is nested."""
        return frozenset(self.within[one] for one in effect if one in self.within)

    def name(self, effect: Effect) -> str:
        """An effect as it is written: "p x i", "r:t", "p x (r:t)"."""
        nesting = self.nesting(effect)
        parts = [
            f"{one}:{self.within[one]}" if one in self.within else one
            for one in effect
            if one not in nesting
        ]
        if len(parts) == 1:
            return parts[0]
        return " x ".join(f"({one})" if ":" in one else one for one in parts)

    @property
    def text(self) -> str:
        """The design as it is written."""
        return self.name(self.facets)


def design_from(text: str) -> Design:
    """A design from text such as "p x i x r", "i:p", "p x (r:t)"; letters name the facets.

    The first letter is the object of measurement; of a design that is only nested, the facet
    in which the other one is nested. Raises BadInput for what is no such design.
    """
    parts = [one.strip() for one in re.split(r"\s*[x×]\s*", text.strip().lower()) if one.strip()]
    terms = [_TERM.fullmatch(part.replace(" ", "")) for part in parts]
    if not parts or not all(terms):
        raise _no_design(text, "it cannot be read")
    facets: list[str] = []
    within: dict[str, str] = {}
    for term in terms:
        if term is None:
            continue
        inner, outer = term[1], term[2]
        if outer:
            within[inner] = outer
            facets += [] if outer in facets else [outer]
        facets.append(inner)
    if len(set(facets)) < len(facets):
        raise _no_design(text, "it names a facet twice")
    if not 2 <= len(facets) <= _MOST:
        raise _no_design(text, f"it has {len(facets)} facets, and 2 to {_MOST} are possible")
    if any(outer in within for outer in within.values()):
        raise _no_design(text, "a facet is nested in a nested one")
    return Design(tuple(facets), within)


def _no_design(text: str, why: str) -> BadInput:
    return BadInput(
        f"This is no design: {why}.",
        where=text,
        remedy="Write it as p x i, p x i x r, i:p or p x (r:t).",
    )
