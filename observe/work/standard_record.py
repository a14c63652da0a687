"""What a method of standard setting said, as JSON: for programs, and to be approved."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from decimal import Decimal
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from observe.standards import Cut
    from observe.work.file_standard import FileStandard


def standard_record(found: FileStandard) -> dict[str, object]:
    """The answer for programs: the cut's own keys at the top, others beside it."""
    answer: dict[str, object] = {"method": found.method}
    if found.method == "compare":
        answer["cuts"] = [cut_record(one) for one in found.cuts]
    elif found.cuts:
        answer |= cut_record(found.cuts[0])
        answer["beside"] = [cut_record(one) for one in found.cuts[1:]]
    else:
        answer |= {"cut": None, "undefined": "Every item is essential: there is no cut on a rest."}
    if found.panel is not None:
        answer["rounds"] = [
            {
                "round": one.round,
                **cut_record(one.cut),
                "items": [asdict(item) for item in one.items],
                "judges": [asdict(judge) for judge in one.judges],
            }
            for one in found.panel.rounds
        ]
        answer["changes"] = [asdict(one) for one in found.panel.changes]
    if found.safety is not None:
        answer["essential"] = list(found.safety.essential)
        answer["votes"] = [asdict(one) for one in found.safety.tallies]
    answer["impact"] = None if found.impact is None else asdict(found.impact)
    return answer


def cut_record(cut: Cut) -> dict[str, object]:
    """One cut with all that it rests on."""
    return {
        "method": cut.method,
        "statistic": cut.statistic or None,
        "cut": cut.value,
        "se": cut.se,
        "low": cut.low,
        "high": cut.high,
        "level": cut.level,
        "interval": cut.interval,
        "n": cut.n,
        "of": cut.of,
        "given": cut.given,
        "unit": cut.scale.unit,
        "maximum": cut.scale.maximum,
        "cut_percent": cut.percent,
        "seed": cut.seed,
        "undefined": cut.undefined or None,
        "warnings": list(cut.warnings),
        "notes": list(cut.notes),
        "dropped": list(cut.dropped),
        "is_not": cut.is_not,
        "details": dict(cut.details),
    }


def result_of(cut: Cut) -> Mapping[str, Any]:
    """A cut as `observe standard approve` reads it from a file: the same numbers, exact."""
    text = json.dumps(cut_record(cut), allow_nan=False)
    found: Mapping[str, Any] = json.loads(text, parse_float=Decimal)
    return found
