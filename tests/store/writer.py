"""A program that taps until it is killed, and says each gesture once it is on the disk.

python -m tests.store.writer LOGBOOK FIRST
"""

import sys
from itertools import count
from pathlib import Path

from observe.store.log import Log
from tests.store.builders import a_mark, a_name, append


def main() -> None:
    path, first = Path(sys.argv[1]), int(sys.argv[2])
    with Log.open(path, create=True) as log:
        for number in count(first):
            append(log, a_mark(f"step-{number}"), a_name(f"Name {number}"), gesture=f"g{number}")
            print(number, flush=True)


if __name__ == "__main__":
    main()
