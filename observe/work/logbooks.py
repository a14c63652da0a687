"""Opening a logbook and what is in it. One logbook is one file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from types import TracebackType
from typing import TYPE_CHECKING, Self

from observe import places
from observe.domain import formtext
from observe.domain.board import Ground
from observe.domain.choices import answer_in, settled
from observe.domain.events import Draft, Event, hash_of, is_newer
from observe.domain.form import Form
from observe.domain.planned import PLAN_KINDS, workshops
from observe.domain.troubles import BadInput, Doubtful, Surroundings
from observe.domain.workshop import IN_A_TAIL, Seat, Workshop
from observe.domain.writers import MARKLESS, Branch, lineage, writers
from observe.work.keyring import Keyring
from observe.work.machine import Machine, ThisMachine
from observe.work.whereabouts import note, settle

if TYPE_CHECKING:
    from observe.store.log import Log

NAME = "logbook.observe"
KEYS = "keys"
HEADER = b"SQLite format 3\x00"


def is_logbook(path: Path) -> bool:
    """Whether a file starts as logbooks do (an SQLite file); False if it cannot be read."""
    try:
        with path.open("rb") as file:
            return file.read(len(HEADER)) == HEADER
    except OSError:
        return False


def default_path() -> Path:
    """Where the person's own logbook is, or will be."""
    return places.data() / NAME


class Logbook:
    """An open logbook: its log, its forms, and the machine that stamps what is added.

    is_trial: whether it is a copy in memory, of which nothing is kept.
    """

    is_trial = False

    def __init__(self, log: Log, path: Path, machine: Machine) -> None:
        self.log = log
        self.path = path
        self.machine = machine
        self.noting = False
        self.keys = Keyring(path.parent / KEYS)
        self._forms: dict[str, Form] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Note how far the logbook was written, then close it. Closing twice is harmless."""
        if self.noting and not self.log.is_closed:
            with suppress(Surroundings):  # What cannot be read any more is noted as it was.
                note(self.log)
        self.log.close()

    def append(
        self,
        drafts: Sequence[Draft],
        *,
        newest: Mapping[str, str] | None = None,
        turns: Mapping[str, int] | None = None,
    ) -> tuple[Event, ...]:
        """Commit the drafts of one gesture; what comes back is on the disk.

        newest, turns: as in `observe.store.log.Log.append`.
        """
        return self.log.append(
            drafts,
            gesture=self.machine.gesture(),
            stamp=self.machine.stamp(),
            salts=self.machine.salt,
            newest=newest,
            turns=turns,
        )

    def add_form(self, source: str, name: str) -> Form:
        """Keep a form, frozen, in the logbook. Raises BadInput if it has faults."""
        form, found = formtext.read(source)
        if form is None:
            faults = [fault for fault in found if fault.blocking]
            first = faults[0]
            raise BadInput(
                f"The form has faults, {len(faults)} in all; the first: {first.sentence}",
                where=f"{name}:{first.line}",
                remedy="Check it with “observe form”, and mend it.",
            )
        self.log.add_form(form.whole_digest, form.scoring_digest, name, source)
        self._forms[form.whole_digest] = form
        return form

    def form(self, digest: str) -> Form:
        """A form kept in this logbook. Raises Doubtful if it is not what its digest says."""
        if digest not in self._forms:
            form = formtext.reread(self.log.form_source(digest))
            if form is None or form.whole_digest != digest:
                raise Doubtful(
                    "A form in this logbook is not the one that was used.",
                    where=f"{self.path}, form {digest[:12]}",
                    remedy="Do not go on with this copy; fetch the logbook from its last backup.",
                )
            self._forms[digest] = form
        return self._forms[digest]

    def workshops(self) -> Mapping[str, Workshop]:
        """Every workshop planned in this logbook, by id, oldest first."""
        return workshops(self.log.read(kinds=PLAN_KINDS))

    def workshop(self, id: str) -> Workshop:
        """The workshop of this id. Raises Doubtful where none is planned in what is in force."""
        known = self.workshops()
        if id not in known:
            raise Doubtful(
                "This workshop is not in what is in force.",
                where=f"{self.path}, workshop {id}",
                remedy=IN_A_TAIL,
            )
        return known[id]

    def ground(self, workshop: Workshop, seat: Seat) -> Ground:
        """What the marks of a seat are read against: its form, its profile, and the mode."""
        used = workshop.in_use(seat)
        return Ground(self.form(used.form), used.profile, workshop.mode)

    def observation(self, id: str) -> list[Event]:
        """The events of one observation, each with the hash that it was given.

        Where two machines wrote it at once, those of the one that a person chose, or of the
        first by its id before anybody did: `is_divided` (rule T5).
        Raises Doubtful if one of them is not what was written. That each follows from
        the one before it is for `observe.work.check_logbook`, which reads the whole.
        """
        events = self.log.read(observation=id)
        if len({one.device for one in events}) > 1:
            chosen, _ = self._writer(id, events)
            events = [one for one in events if one.kind in MARKLESS or chosen.holds(one)]
        if events and events[0].kind != "observation-opened":
            events = _opened_first(events)
        for event in events:
            if hash_of(event) != event.hash:
                raise Doubtful(
                    "A mark in this logbook is not what was written.",
                    where=f"{self.path}, event {event.id}",
                    remedy="Keep the file as it is, and compare it with a backup.",
                )
        return events

    def is_divided(self, id: str) -> bool:
        """Whether two machines wrote an observation at once and nobody chose yet (rule T5)."""
        events = self.log.read(observation=id)
        return len({one.device for one in events}) > 1 and not self._writer(id, events)[1]

    def writers(self, id: str) -> tuple[Branch, ...]:
        """The machines that wrote an observation; more than one where it is divided."""
        events = self.log.read(observation=id)
        return writers(events, lineage(self.log.read(kinds=("device-named",))))

    def _writer(self, id: str, events: Sequence[Event]) -> tuple[Branch, bool]:
        """The branch that counts, and whether that is sure: only one wrote, or one was chosen."""
        known = self.log.read(kinds=("device-named", "writer-chosen"))
        found = {one.device: one for one in writers(events, lineage(known))}
        answer = settled(
            answer_in(one, str(one.body.get("device")))
            for one in known
            if one.kind == "writer-chosen"
            and one.body.get("observation") == id
            and one.body.get("device") in found
        )
        first = next(iter(found.values()))
        return (found[answer.said], True) if answer else (first, len(found) == 1)

    def names(self) -> Mapping[str, str]:
        """Person id to the name that was given last."""
        read = self.log.read(kinds=("person-named",))
        named = [one for one in read if not is_newer(one) and "person" in one.body]
        texts = self.log.texts(named)
        return {
            str(event.body["person"]): texts.get((event.id, "name"), str(event.body["person"]))
            for event in named
        }


def _opened_first(events: Sequence[Event]) -> list[Event]:
    """Events of an observation, the first that opens it before all others.

    None where it was opened in a tail that is not in force: without it nothing can be read.
    """
    opened = [one for one in events if one.kind == "observation-opened"]
    return [*opened[:1], *(one for one in events if one is not opened[0])] if opened else []


def open_logbook(
    path: Path | None = None,
    *,
    create: bool = False,
    read_only: bool = False,
    passing: bool = False,
    machine: Machine | None = None,
) -> Logbook:
    """Open a logbook; the person's own one if no path is given.

    create: make it if it does not exist. read_only: change nothing, not even an
    older format. passing: note nothing of it, since it goes away or is only tried. Raises
    Surroundings with a sentence when the file cannot be opened as a logbook; a file that is
    refused is not touched.
    """
    from observe.store.log import Log

    place = path or default_path()
    machine = machine or ThisMachine()
    logbook = Logbook(Log.open(place, create=create, read_only=read_only), place, machine)
    if not (read_only or passing):
        logbook.noting = True
        settle(logbook.log, machine)
    return logbook


def open_trial(path: Path, *, create: bool = False, machine: Machine | None = None) -> Logbook:
    """Open a copy of a logbook in memory, to find out what something would do to it.

    The file is only read, so that marks are written in it meanwhile. create: where there is none,
    take an empty one. Raises as `open_logbook`.
    """
    from observe.store.log import Log

    if create and not path.exists():
        with TemporaryDirectory() as folder:
            empty = Path(folder) / NAME
            Log.open(empty, create=True).close()
            log = Log.open_copy(empty)
    else:
        log = Log.open_copy(path)
    logbook = Logbook(log, path, machine or ThisMachine())
    logbook.is_trial = True
    return logbook
