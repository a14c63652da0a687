"""The log: events are appended to it and read from it, and never change (rules E1, E4)."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import NamedTuple, Self

from observe.domain.events import FIRST, Draft, Event, Stamp, commitment, sealed_event
from observe.domain.forks import Fork
from observe.domain.troubles import Overtaken, Refused
from observe.domain.turns import jump_of
from observe.store import queries, tap
from observe.store.engine import OpenFile, open_copy, open_file
from observe.store.rows import COLUMNS, event_of, row_of, text_of
from observe.store.standing import merged_with_tails, ordered, standing, tail_rows
from observe.store.surroundings import damaged, in_words
from observe.store.tap import StoredForm


class Head(NamedTuple):
    """The newest event of this file's device; seq 0 and `FIRST` before there is one."""

    device: str
    seq: int
    hash: str


class Log:
    """An open logbook. To be used in one thread; a context manager that closes the file.

    file: the open file, for the store's own modules. device: the id under which its own
    events are written. Every method raises `Surroundings` where the disk does not allow
    it; nothing is half-written then, and the same call may be made again.
    """

    def __init__(self, file: OpenFile) -> None:
        self.file = file
        with in_words(file.path):
            device_id = queries.device(file.driver)
            self._version = queries.data_version(file.driver)
        if device_id is None:
            raise damaged(file.path)
        self.device = device_id

    @classmethod
    def open(cls, path: Path, *, create: bool = False, read_only: bool = False) -> Self:
        """Open the logbook at `path`; see `observe.store.files.ready` for what is refused."""
        return cls._of(open_file(path, create=create, read_only=read_only))

    @classmethod
    def open_copy(cls, path: Path) -> Self:
        """Open a copy in memory, in which to try what is then forgotten; the file is only read."""
        return cls._of(open_copy(path))

    @classmethod
    def _of(cls, file: OpenFile) -> Self:
        try:
            return cls(file)
        except BaseException:
            file.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @property
    def path(self) -> Path:
        """Where the file is."""
        return self.file.path

    @property
    def is_closed(self) -> bool:
        return self.file.is_closed

    def close(self) -> None:
        """Close the file. Closing twice is harmless."""
        self.file.close()

    def append(
        self,
        drafts: Sequence[Draft],
        *,
        gesture: str,
        stamp: Stamp,
        salts: Callable[[], str],
        newest: Mapping[str, str] | None = None,
        turns: Mapping[str, int] | None = None,
    ) -> tuple[Event, ...]:
        """Write the drafts of one gesture, durably and all or none; the events they became.

        gesture: the random id of the tap. If it is there already, nothing is written
        and its events come back, so repeating a tap is harmless (rule E1). salts: gives
        a fresh random ASCII text for each text beside an event (rule E4). newest: by
        observation, the id of the newest event of it that the writer knows, empty where
        it knows of none; raises `Overtaken` if one of them has a newer one (rule T5).
        turns: by attempt, the position up to which the writer knows whether the learner is
        here and who watches; raises `Overtaken` if that was noted anew since.
        Raises `Refused` for a text that cannot be kept.
        """
        _require_whole(drafts)
        with self.file.writing() as driver:
            if tap.is_repeated(driver, gesture):
                return self._of_gesture(gesture)
            for observation, known in (newest or {}).items():
                if tap.newest(driver, observation) != known:
                    raise Overtaken(
                        "Another window has written into this observation.",
                        remedy="What it wrote is shown now; look at it, then go on.",
                    )
            for attempt, position in (turns or {}).items():
                if tap.was_turned(driver, attempt, position):
                    raise Overtaken(
                        "Another window has noted who is here, or who watches.",
                        remedy="Look who is here now, then go on.",
                    )
            self._reread_device(driver)
            return self.add(driver, drafts, gesture=gesture, stamp=stamp, salts=salts)

    def _reread_device(self, driver: sqlite3.Connection) -> None:
        """Write under the file's id of now: whoever took a packet in may have renewed it."""
        self.device = queries.device(driver) or self.device

    def add(
        self,
        driver: sqlite3.Connection,
        drafts: Sequence[Draft],
        *,
        gesture: str,
        stamp: Stamp,
        salts: Callable[[], str],
    ) -> tuple[Event, ...]:
        """Write the drafts of one gesture inside a transaction of the caller; as `append`."""
        events, texts = self._placed(driver, drafts, gesture, stamp, salts)
        driver.executemany(tap.ADD_EVENT, [row_of(one) for one in events])
        driver.executemany(tap.ADD_JUMP, filter(None, map(jump_of, events)))
        driver.executemany(tap.ADD_TEXT, texts)
        return events

    def renew_device(self, driver: sqlite3.Connection, id_: str, *, at: str) -> Head:
        """Write under another device id from now on; the head of the one before (rule E5).

        Inside a transaction of the caller, which has to write `device-named` first.
        """
        before = Head(self.device, *(tap.head(driver, self.device) or (0, FIRST)))
        driver.execute("INSERT INTO device (id, made_at) VALUES (?, ?)", (id_, at))
        self.device = id_
        return before

    def devices(self) -> Sequence[str]:
        """Every id under which this file's own events were written, the first one first."""
        with in_words(self.path):
            return queries.devices(self.file.driver)

    def heads(self) -> Mapping[str, tuple[int, str]]:
        """By device, number and hash of its newest event here, whether in force or not."""
        with in_words(self.path):
            return queries.heads(self.file.driver)

    def gaps(self) -> Mapping[str, tuple[tuple[int, int], ...]]:
        """By device, the numbers that are missing before its newest one: from, to (rule E6)."""
        with in_words(self.path):
            return queries.gaps(self.file.driver)

    def forks(self) -> tuple[Fork, ...]:
        """Every fork, adopted or not, by device and number (rule E5)."""
        with in_words(self.path):
            return standing(self.file.driver).forks

    def tail(self, fork: Fork, hash_: str) -> tuple[Event, ...]:
        """The events of one tail of a fork, by number, whether in force or not.

        hash_: of its first event. Where that tail divides again, all of what follows it.
        """
        with in_words(self.path):
            return tuple(event_of(row) for row in tail_rows(self.file.driver, fork, hash_))

    def was_written_elsewhere(self) -> bool:
        """Whether another window has written into this file since this was asked last."""
        before = self._version
        with in_words(self.path):
            self._version = queries.data_version(self.file.driver)
        return self._version != before

    def newest(self, observation: str) -> str:
        """Id of the newest event of an observation; empty before there is one."""
        with in_words(self.file.path):
            return tap.newest(self.file.driver, observation)

    def _placed(
        self,
        driver: sqlite3.Connection,
        drafts: Sequence[Draft],
        gesture: str,
        stamp: Stamp,
        salts: Callable[[], str],
    ) -> tuple[tuple[Event, ...], list[dict[str, str | int]]]:
        """The drafts in their places after the head, with the rows of the texts beside them.

        The head is asked of the file each time: another program may have written to it.
        """
        seq, prev = tap.head(driver, self.device) or (0, FIRST)
        events: list[Event] = []
        rows: list[dict[str, str | int]] = []
        for part, draft in enumerate(drafts, start=1):
            seq += 1
            salted = {field: (text, salts()) for field, text in draft.texts.items()}
            placed = sealed_event(
                draft,
                device=self.device,
                seq=seq,
                prev=prev,
                gesture=gesture,
                part=part,
                stamp=stamp,
                commitments={field: commitment(*pair) for field, pair in salted.items()},
            )
            prev = placed.hash
            events.append(placed)
            rows += [
                {"device": self.device, "seq": seq, "field": field, "text": text, "salt": salt}
                for field, (text, salt) in salted.items()
            ]
        return tuple(events), rows

    def _of_gesture(self, gesture: str) -> tuple[Event, ...]:
        return tuple(event_of(row) for row in queries.of_gesture(self.file.driver, gesture))

    def head(self) -> Head:
        """The newest event that this file's device has written."""
        with in_words(self.path):
            self._reread_device(self.file.driver)
            return Head(self.device, *(tap.head(self.file.driver, self.device) or (0, FIRST)))

    def holds(self, device: str, seq: int, hash_: str) -> bool:
        """Whether an event with this number and hash is here; with seq 0, always."""
        with in_words(self.path):
            return seq == 0 or queries.hash_of(self.file.driver, device, seq) == hash_

    def position(self) -> int:
        """The position of the newest event in this file, whoever wrote it; 0 if there is none."""
        with in_words(self.path):
            return queries.position(self.file.driver)

    def read(
        self,
        *,
        observation: str | None = None,
        attempt: str | None = None,
        workshop: str | None = None,
        kinds: Collection[str] | None = None,
        after: int = 0,
    ) -> list[Event]:
        """Events that are in force, in the order that is the same on every machine (rule E2).

        Each given filter narrows; none gives all. after: leave out what came into this
        file up to that position.
        """
        driver = self.file.driver

        def fits(row: Sequence[object]) -> bool:
            held = dict(zip(COLUMNS, row, strict=True))
            asked = {"observation": observation, "attempt": attempt, "workshop": workshop}
            same = all(value in (None, held[column]) for column, value in asked.items())
            return same and (kinds is None or held["kind"] in kinds)

        with in_words(self.path):
            rows = queries.events(
                driver,
                observation=observation,
                attempt=attempt,
                workshop=workshop,
                kinds=kinds,
                after=after,
            )
            rows = merged_with_tails(rows, standing(driver), fits)
            return [event_of(row) for row in ordered(driver, rows)]

    def texts(self, events: Iterable[Event]) -> Mapping[tuple[str, str], str]:
        """The names and free text beside the events, by (event id, field).

        One that is not there any more is left out.
        """
        keys = [(one.device, one.seq) for one in events if "texts" in one.body]
        return {(f"{device}/{seq}", field): text for device, seq, field, text in self._beside(keys)}

    def text(self, event_id: str, field: str) -> str | None:
        """One text beside an event; None if there is none, or none any more."""
        owner, _, seq = event_id.rpartition("/")
        found = self._beside([(owner, int(seq))])
        return next((text for _, _, name, text in found if name == field), None)

    def _beside(self, keys: Sequence[tuple[str, int]]) -> list[tuple[str, int, str, str]]:
        """Device, seq, field and text of all that stands beside some events in force."""
        with in_words(self.path):
            rows = [*queries.texts(self.file.driver, keys)]
            now = standing(self.file.driver)
        if now.devices:
            apart = {key: tail for key in keys if (tail := now.tail(*key)) is not None}
            rows = [row for row in rows if row[:2] not in apart]
            for key, tail in apart.items():
                rows += [(*key, field, text) for field, (text, _) in tail.texts.items()]
        return [(device, seq, field, text_of(text, field)) for device, seq, field, text in rows]

    def add_form(self, digest: str, scoring: str, name: str, source: str) -> None:
        """Keep a form under its whole digest; one that is there already stays as it is.

        scoring: its scoring digest. source: the text of its file.
        """
        with self.file.writing() as driver:
            tap.keep_form(driver, StoredForm(digest, scoring, name), source)

    def form_source(self, digest: str) -> str:
        """The text of a stored form. Raises `Refused` where the logbook has no such form."""
        with in_words(self.path):
            source = queries.form_source(self.file.driver, digest)
        if source is None:
            raise Refused(
                "The logbook does not hold this form.",
                where=digest,
                remedy="Add the form to the logbook first.",
            )
        return text_of(source, f"form {digest}")

    def forms(self) -> tuple[StoredForm, ...]:
        """The stored forms, by name."""
        with in_words(self.path):
            return tuple(StoredForm(*row) for row in queries.forms(self.file.driver))


def _require_whole(drafts: Iterable[Draft]) -> None:
    """Refuse text that holds half of a character: it has no UTF-8 and could not be kept."""
    for field, text in (pair for draft in drafts for pair in draft.texts.items()):
        if any("\ud800" <= character <= "\udfff" for character in text):
            raise Refused(
                "This text holds half of a character.",
                where=field,
                remedy="Delete the sign that looks wrong and type it again.",
            )
