"""`observe samples`: how many learners, observers or attempts it takes."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from observe.commands.reading import number, share, whole

if TYPE_CHECKING:
    from observe.standards.sample_size import Size

DESCRIPTION = """\
How many learners a study of agreement or reliability takes, or how many observers or attempts a
decision. Always rounded up; the unrounded number is shown too.
"""

EPILOG = """\
questions:
  bonett   learners, for an interval of a full width around an ICC (Bonett 2002)
  walter   learners, to show an ICC above a least one (Walter, Eliasziw and Donner 1998)
  kappa    learners, to tell one kappa from another, two observers (Donner and Eliasziw 1992)
  phi      observers or attempts, for a Φ to be reached, from variances of a G study

examples:
  observe samples bonett --icc 0.8 --width 0.2 --observers 3
  observe samples walter --least 0.6 --expected 0.8 --observers 2
  observe samples kappa --least 0.4 --expected 0.6 --prevalence 0.3
  observe samples phi --universe 0.55 --error 2.2 --target 0.8
"""


_EXAMPLES = {
    line.split()[2]: line.strip() for line in EPILOG.splitlines() if "observe samples" in line
}


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the verb."""
    verb = subparsers.add_parser(
        "samples",
        help="how many learners, observers or attempts it takes",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    kinds = verb.add_subparsers(title="question", metavar="QUESTION", required=True)
    bonett = kinds.add_parser("bonett", help="learners, for an interval around an ICC")
    bonett.add_argument("--icc", type=number, required=True, help="the ICC that is planned for")
    bonett.add_argument("--width", type=number, required=True, help="full width of the interval")
    bonett.add_argument("--level", type=share, default=0.95, help="(default: 0.95)")
    walter = kinds.add_parser("walter", help="learners, to show an ICC above a least one")
    kappa = kinds.add_parser("kappa", help="learners, to tell one kappa from another")
    for one, tails in ((walter, 1), (kappa, 2)):
        one.add_argument("--least", type=number, required=True, help="if nothing is there")
        one.add_argument("--expected", type=number, required=True, help="what is expected")
        one.add_argument("--alpha", type=share, default=0.05, help="(default: 0.05)")
        one.add_argument("--power", type=share, default=0.8, help="(default: 0.8)")
        one.add_argument(
            "--tails", type=whole, choices=(1, 2), default=tails, help=f"(default: {tails})"
        )
    kappa.add_argument("--prevalence", type=share, required=True, help="how often it is done")
    for one in (bonett, walter):
        one.add_argument("--observers", type=whole, required=True, help="who see each learner")
    phi = kinds.add_parser("phi", help="observers or attempts, for a Φ to be reached")
    phi.add_argument("--universe", type=number, required=True, help="variance of learners")
    phi.add_argument("--error", type=number, required=True, help="absolute, of one alone")
    phi.add_argument("--target", type=share, default=0.8, help="(default: 0.8)")
    for name, one in (("bonett", bonett), ("walter", walter), ("kappa", kappa), ("phi", phi)):
        one.add_argument("--json", action="store_true", help="write JSON for programs")
        one.epilog = f"example: {_EXAMPLES[name]}"
        one.set_defaults(handler=handle, question=name)


def handle(arguments: argparse.Namespace) -> int:
    """Print the number; returns 0. Raises BadInput for what cannot be."""
    found = _QUESTIONS[arguments.question](arguments)
    if arguments.json:
        answer: dict[str, Any] = {
            "question": arguments.question,
            "n": found.n,
            "n_raw": found.raw,
            "asked": _asked(arguments),
            **found.details,
            "note": found.note or None,
        }
        print(json.dumps(answer, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        print(f"{_WHAT[arguments.question]}: {found.n} ({found.raw:.2f}, rounded up)")
        if found.note:
            print(found.note)
    return 0


def _asked(arguments: argparse.Namespace) -> dict[str, Any]:
    """What was asked, defaults with it."""
    left = {"handler", "question", "json", "logbook"}
    return {name: value for name, value in vars(arguments).items() if name not in left}


def _bonett(arguments: argparse.Namespace) -> Size:
    from observe.standards.sample_size import bonett

    return bonett(arguments.icc, arguments.width, arguments.observers, level=arguments.level)


def _walter(arguments: argparse.Namespace) -> Size:
    from observe.standards.sample_size import walter

    return walter(arguments.least, arguments.expected, arguments.observers, **_test(arguments))


def _kappa(arguments: argparse.Namespace) -> Size:
    from observe.standards.sample_size import donner

    return donner(arguments.least, arguments.expected, arguments.prevalence, **_test(arguments))


def _phi(arguments: argparse.Namespace) -> Size:
    from observe.standards.sample_size import for_phi

    return for_phi(arguments.universe, arguments.error, target=arguments.target)


def _test(arguments: argparse.Namespace) -> dict[str, Any]:
    return {"alpha": arguments.alpha, "power": arguments.power, "tails": arguments.tails}


_QUESTIONS: dict[str, Callable[[argparse.Namespace], Size]] = {
    "bonett": _bonett,
    "walter": _walter,
    "kappa": _kappa,
    "phi": _phi,
}
_WHAT = {
    "bonett": "Learners",
    "walter": "Learners",
    "kappa": "Learners",
    "phi": "Observers or attempts",
}
