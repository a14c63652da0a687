"""How the museum pieces were made: a logbook of an older format with one workshop's beginning.

Kept to show where they come from. It was run once for each, when that format was what the
program wrote; the files are never made again, only read.

    python -m tests.store.museum.make_format FORMAT FILE
"""

import sqlite3
import sys
from contextlib import closing
from pathlib import Path

from observe.domain.events import FIRST, Draft, Stamp, commitment, sealed_event
from observe.store import tap
from observe.store.header import APPLICATION_ID
from observe.store.rows import row_of
from observe.store.transaction import transaction
from observe.store.upgrade import STEPS

DEVICE = "0123456789abcdef"
SALT = "00112233445566778899aabbccddeeff"
DRAFTS = (
    Draft("person-named", {"person": "p1"}, by="p1", texts={"name": "Maren Oduya"}),
    Draft("workshop-planned", {"place": "skills room"}, workshop="w1", by="p1"),
    Draft("mark-set", {"step": "drape"}, "w1", "a1", "o1", "p1"),
    Draft("voided", {}, "w1", "a1", "o1", "p1", {"reason": "The trainer broke."}),
)


def make(path: Path, newest: int) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        with transaction(connection):
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            for step in STEPS[:newest]:
                step.take(connection, at="2026-11-25T09:00:00.000+00:00")
            made = (DEVICE, "2026-11-25T09:00:00.000+00:00")
            connection.execute("INSERT INTO device (id, made_at) VALUES (?, ?)", made)
            fill(connection)
        connection.execute("PRAGMA journal_mode = WAL")


def fill(connection: sqlite3.Connection) -> None:
    form = {"digest": "d1", "scoring": "s1", "name": "a form", "source": 'title = "A form"\n'}
    connection.execute(tap.ADD_FORM, form)
    prev = FIRST
    for seq, draft in enumerate(DRAFTS, start=1):
        event = sealed_event(
            draft,
            device=DEVICE,
            seq=seq,
            prev=prev,
            gesture=f"gesture-{seq}",
            part=1,
            stamp=Stamp(f"2026-11-25T09:00:0{seq}.000+00:00", seq * 10**9, "boot"),
            commitments={field: commitment(text, SALT) for field, text in draft.texts.items()},
        )
        connection.execute(tap.ADD_EVENT, row_of(event))
        beside = [
            {"device": DEVICE, "seq": seq, "field": field, "text": text, "salt": SALT}
            for field, text in draft.texts.items()
        ]
        connection.executemany(tap.ADD_TEXT, beside)
        prev = event.hash


if __name__ == "__main__":
    make(Path(sys.argv[2]), int(sys.argv[1]))
