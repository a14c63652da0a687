"""Check forms and load them: each file alone, so that one bad file hides no other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from observe import places
from observe.domain import formtext
from observe.domain.faults import Fault
from observe.domain.form import Form
from observe.domain.troubles import BadInput, Surroundings, Trouble
from observe.work.text_file import read_bytes

MOST_NAMED = 20


@dataclass(frozen=True, slots=True)
class FormReport:
    """What was found in one file.

    form: None where the file cannot be used. faults: by line, remarks among them.
    trouble: why the file could not be read as a text at all; else None.
    """

    path: Path
    form: Form | None
    faults: tuple[Fault, ...]
    trouble: Trouble | None = None

    @property
    def usable(self) -> bool:
        return self.form is not None

    @property
    def blocking(self) -> tuple[Fault, ...]:
        return tuple(fault for fault in self.faults if fault.blocking)

    @property
    def remarks(self) -> tuple[Fault, ...]:
        return tuple(fault for fault in self.faults if not fault.blocking)


def check(paths: Iterable[Path]) -> list[FormReport]:
    """One report for each file, in order; a file that cannot be read has its trouble there."""
    return [_check(path) for path in paths]


def _check(path: Path) -> FormReport:
    try:
        text = read_text(path)
    except (BadInput, Surroundings) as trouble:
        return FormReport(path, None, (), trouble)
    form, faults = formtext.read(text)
    return FormReport(path, form, faults)


def read_text(path: Path) -> str:
    """The text of a form's file.

    Raises BadInput for what is missing, a folder, too large, empty or no UTF-8
    text; Surroundings where the machine refuses to read it.
    """
    data = read_bytes(path, formtext.LARGEST_FILE, formtext.NO_FORM)
    return formtext.decode(data, str(path))


def load_form(path: Path) -> Form:
    """The form of a file. Raises BadInput naming its faults, and as `read_text` does."""
    report = _check(path)
    if report.trouble is not None:
        raise report.trouble
    if report.form is None:
        faults = report.blocking
        named = " ".join(f"Line {one.line}: {one.sentence}" for one in faults[:MOST_NAMED])
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise BadInput(
            f"The form has {count}. {named}",
            where=f"{path}:{faults[0].line}",
            remedy="“observe form” lists them all, each with what to do.",
        )
    return report.form


def shipped() -> tuple[Path, ...]:
    """The forms that come with the program, by name. Raises Surroundings where none are there."""
    folder = places.forms()
    found = tuple(sorted(folder.glob("*.toml")))
    if not found:
        raise Surroundings(
            "The program's own forms are missing.",
            where=str(folder),
            remedy="Install the program again; your logbook is kept apart and is not touched.",
        )
    return found
