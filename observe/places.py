"""Where the shipped files and the person's own data are.

The program has three homes: a checkout (shipped files beside the package), an
installed wheel (inside it, in `_bundled`) and a frozen build (beside the
executable's unpacked files). Everything that needs a shipped file asks here.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from observe.domain.troubles import Surroundings

_PACKAGE = Path(__file__).resolve().parent


def forms() -> Path:
    """The folder of the shipped forms. Raises `Surroundings` where it is missing."""
    return _shipped("forms")


def resources() -> Path:
    """The folder of fonts and other shipped files. Raises `Surroundings` where it is missing."""
    return _shipped("resources")


def data() -> Path:
    """The folder of the person's own logbook and keys; it may not exist yet.

    `OBSERVE_HOME` in the environment overrides the place the system gives.
    """
    chosen = os.environ.get("OBSERVE_HOME", "").strip()
    if chosen:
        return Path(chosen).expanduser().absolute()
    import platformdirs

    return platformdirs.user_data_path("observe", appauthor=False)


def _shipped(name: str) -> Path:
    frozen: str | None = getattr(sys, "_MEIPASS", None)
    homes = [Path(frozen)] if frozen else [_PACKAGE / "_bundled", _PACKAGE.parent]
    for home in homes:
        if (home / name).is_dir():
            return home / name
    raise Surroundings(
        f"The program's own folder “{name}” is missing.",
        where=str(homes[-1]),
        remedy="Install the program again; your logbook is kept apart and is not touched.",
    )
