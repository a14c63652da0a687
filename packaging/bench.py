"""Measure start and mark beside their floors: python3 packaging/bench.py [--events N] [--taps N].

Prints, in one run, what the program takes and what the machine itself takes at least: a bare
window of the same kind, and a plain commit of the same bytes with the same view repainted.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - told to those who have an older one
    sys.stderr.write(
        "Observe needs Python 3.11 or newer; this one is {}.{}.\n".format(*sys.version_info)
    )
    sys.exit(2)

import subprocess
from pathlib import Path

from setting_up import Environment, Unable, say


def main(arguments: "list[str]") -> int:
    """Set up, then measure in the program's own environment; returns the exit code."""
    environment = Environment()
    try:
        environment.set_up()
    except Unable as unable:
        say(str(unable))
        return 2
    script = Path(__file__).with_name("measuring.py")
    try:
        return subprocess.run(
            [str(environment.python), str(script), *arguments], check=False
        ).returncode
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
