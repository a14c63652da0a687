"""The command line's one entrance: finds the verb, runs it, tells troubles in sentences.

Exit codes: 0 fine, 1 found wanting, 2 bad input or surroundings in the way, 70 a defect of the
program, 130 interrupted by the person. Results go to standard output; progress and troubles to
standard error.
"""

from __future__ import annotations

import argparse
import difflib
import importlib
import io
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn

from observe import __version__
from observe.domain.foreign import one_line, seen, shown_path
from observe.domain.troubles import BadInput, Doubtful, Stopped, Surroundings, Trouble

Desk = Callable[[Path | None], int]

FINE, WANTING, BAD, DEFECT, INTERRUPTED, CLOSED = 0, 1, 2, 70, 130, 141

VERBS = (
    "demo",
    "form",
    "agreement",
    "generalizability",
    "severity",
    "standard",
    "risk",
    "samples",
    "progress",
    "quality",
    "report",
    "paper",
    "sheet",
    "packet",
    "merge",
    "settle",
    "key",
    "verify",
    "doctor",
)

EXAMPLES = """\
examples:
  observe                       open the desk on your own logbook
  observe demo demo/            run an invented workshop from start to signed sheets
  observe form my-form.toml     check a form
  observe verify sheet.pdf      check a signed sheet

“observe VERB --help” explains each verb with an example.
"""


class Parser(argparse.ArgumentParser):
    """An argument parser whose faults are troubles like all others."""

    def error(self, message: str) -> NoReturn:
        remedy = f"“{self.prog} --help” shows how it is called."
        raise BadInput(_sentence(one_line(message, 400)), remedy=remedy)


def run(argv: Sequence[str] | None = None, *, desk: Desk | None = None) -> int:
    """Run one command and return its exit code; never raises, never shows a traceback.

    argv: the arguments after the program's name; the process's own if None.
    desk: opens the window on a logbook; handed in because the command line knows no windows.
    """
    _speak_any_script()
    arguments = sys.argv[1:] if argv is None else list(argv)
    try:
        code = _dispatch(arguments, desk)
        sys.stdout.flush()
    except Trouble as trouble:
        code = _tell(trouble)
    except KeyboardInterrupt:
        code = INTERRUPTED
    except BrokenPipeError:
        _silence_output()
        code = CLOSED
    except OSError as error:
        _silence_output()
        code = _tell(_refused_by_the_machine(error))
    except Exception as defect:  # noqa: BLE001 - the one place where a defect is told to a person
        code = _tell_defect(defect)
    return code


def _dispatch(arguments: list[str], desk: Desk | None) -> int:
    if arguments and not arguments[0].startswith("-") and arguments[0] not in VERBS:
        raise _unknown_verb(arguments[0])
    try:
        parsed = _parser().parse_args(arguments)
    except SystemExit:  # --help or --version, which have printed what was asked
        return FINE
    handler: Callable[[argparse.Namespace], int] | None = getattr(parsed, "handler", None)
    if handler is not None and parsed.logbook is not None:
        raise BadInput(
            "A verb takes its files after it; --logbook is for the desk.",
            where="--logbook",
            remedy="Leave it out, or name the logbook where the verb expects it.",
        )
    if handler is not None:
        return handler(parsed)
    if desk is None:
        raise Surroundings("This build has no desk.", remedy="“observe --help” lists the verbs.")
    from observe.work import surroundings

    surroundings.require_window()
    logbook: Path | None = parsed.logbook
    return desk(logbook)


def _parser() -> Parser:
    parser = Parser(
        prog="observe",
        description="Assess learners doing a hands-on procedure. Without a verb: open the desk.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"observe {__version__}")
    parser.add_argument(
        "--logbook", type=Path, metavar="FILE", help="the logbook to open (default: your own)"
    )
    verbs = parser.add_subparsers(title="verbs", metavar="VERB")
    for verb in VERBS:
        importlib.import_module(f"observe.commands.{verb}").add(verbs)
    return parser


def _unknown_verb(given: str) -> BadInput:
    near = difflib.get_close_matches(given, VERBS, n=1)
    hint = f"Did you mean “{near[0]}”?" if near else f"There are: {', '.join(VERBS)}."
    what = f"There is no verb “{one_line(given, 40)}”."
    return BadInput(what, remedy=f"{hint} “observe --help” says more.")


def _refused_by_the_machine(error: OSError) -> Surroundings:
    from observe.work import disk

    reason, remedy = disk.refusal(error)
    return Surroundings(
        f"The machine refused to read or write: {reason}.",
        where=str(error.filename or ""),
        remedy=f"{remedy} What was saved before stays saved.",
    )


def _tell(trouble: Trouble) -> int:
    if isinstance(trouble, Stopped):
        return INTERRUPTED
    lines = [f"observe: {trouble.what}"]
    if trouble.where:
        lines.append(f"  where: {shown_path(trouble.where)}")
    if trouble.remedy:
        lines.append(f"  what to do: {trouble.remedy}")
    print("\n".join(map(seen, lines)), file=sys.stderr)
    return WANTING if isinstance(trouble, Doubtful) else BAD


def _tell_defect(defect: Exception) -> int:
    from observe.work import defects

    report = defects.write(defect)
    kept = f"\n  A report without names or marks is in {report}." if report else ""
    print(
        f"observe: This is a defect of the program ({type(defect).__name__}), not of your doing."
        f" What was saved before stays saved.{kept}",
        file=sys.stderr,
    )
    return DEFECT


def _speak_any_script() -> None:
    """Let a terminal of a narrow encoding show what it can instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _silence_output() -> None:
    """Keep the interpreter's last flush from failing on an output that has failed already."""
    if sys.__stdout__ is not None and sys.stdout is sys.__stdout__:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _sentence(message: str) -> str:
    return message[:1].upper() + message[1:].rstrip(".") + "."
