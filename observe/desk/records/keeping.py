"""Keys and a department, as questions: founded, asked, answered, revoked, closed, backed up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TypeVar

from observe.desk.asking import Answers, Choice, Field, Question
from observe.desk.blocks import Act, Block
from observe.desk.records.lines import key_blocks
from observe.domain.troubles import BadInput, Refused, Surroundings
from observe.work.department import (
    Request,
    answer_request,
    ask,
    found_department,
    requests,
    revoke_keys,
)
from observe.work.disk import refusal
from observe.work.kept_keys import DepartmentKey, KeptKey, department_key, how_it_stands, kept_keys
from observe.work.known import Answered, Department, answered_keys, departments, keys_of
from observe.work.logbooks import Logbook
from observe.work.naming import person_named

WHO = "Your name"
PRINT, WRITTEN = "print", "written"
DAILY = Field("daily", "Passphrase of the daily key", secret=True)
OWN = Field("own", "The key's passphrase", secret=True)
NEW = (
    Field("new", "New passphrase, at least 8 letters", secret=True),
    Field("again", "The same once more", secret=True),
)
Print = Callable[[str, tuple[str, ...]], None]
Made = TypeVar("Made")


class Keeping:
    """What is done with keys. show: shows a question; done: says what came of it.

    folder: asks for a folder, with a title; empty if nobody chose one. put_out: prints lines below
    a title on paper.
    """

    def __init__(
        self,
        logbook: Logbook,
        me: str,
        show: Callable[[Question], None],
        done: Callable[[str], None],
        folder: Callable[[str], str],
        put_out: Print,
    ) -> None:
        self.logbook, self.me, self.show, self.done = logbook, me, show, done
        self.folder, self.put_out = folder, put_out

    @property
    def now(self) -> datetime:
        """The time of the logbook's machine."""
        return datetime.fromisoformat(self.logbook.machine.stamp().at)

    # what is shown

    def blocks(self, confirm: Callable[[Department], None]) -> Iterator[Block]:
        """Departments, what waits for one, whose keys it confirmed, and the keys kept here."""
        here = department_key(self.logbook)
        names = self.logbook.names()
        keys = answered_keys(self.logbook)
        said = [
            f"{names.get(one.person, one.person)}: "
            f"{how_it_stands(one.standing, one.ends, self.now)}."
            for one in keys
        ]
        *known, people = key_blocks(departments(self.logbook), said, confirm)
        yield from known
        yield self._here(here)
        for one in requests(self.logbook):
            yield self._waiting(one, here)
        revocable = tuple(self._revocable(keys, names)) if here else ()
        yield Block(people.title, people.sentences, revocable)
        for kept in kept_keys(self.logbook):
            yield self._kept(kept)
        yield Block(
            "A key of your own",
            ("It is made when somebody signs or asks for the first time on this machine.",),
            (
                ("Ask that a key be confirmed …", lambda: self.ask_for(None)),
                ("Restore a key …", self.restore),
            ),
        )

    def _here(self, here: DepartmentKey | None) -> Block:
        if here is None:
            return Block(
                "No department's key is on this machine",
                ("Whoever founds one confirms keys here. Other machines take packets in.",),
                (("Found a department …", self.found),),
            )
        return Block(f"The daily key of “{here.name}” is on this machine", here.sentences)

    def _waiting(self, asked: Request, here: DepartmentKey | None) -> Block:
        print_ = _grouped(asked.fingerprint)
        said = (f"Asked {asked.at[:10]}. Fingerprint of the key: {print_}",)
        if here is None:
            return Block(f"{asked.name} asks for a certificate", said)
        deeds = (("Issue a certificate …", partial(self.answer, asked)),)
        return Block(f"{asked.name} asks for a certificate", said, deeds)

    def _revocable(
        self, keys: Iterable[Answered], names: Mapping[str, str]
    ) -> Iterator[tuple[str, Act]]:
        for person in dict.fromkeys(one.person for one in keys if one.standing.is_trusted):
            name = names.get(person, person)
            yield f"Revoke the keys of {name} …", partial(self.revoke, person, name)

    def _kept(self, kept: KeptKey) -> Block:
        deeds: list[tuple[str, Act]] = []
        if not kept.asks and not (kept.standing and kept.standing.is_trusted):
            deeds.append(("Ask that it be confirmed …", partial(self.ask_for, kept)))
        word = "Change the passphrase …" if kept.closed else "Close it with a passphrase …"
        deeds.append((word, partial(self.close, kept)))
        if kept.closed:
            deeds.append(("Passphrase forgotten …", partial(self.recover, kept)))
            deeds.append(("Back it up …", partial(self.back_up, kept)))
        deeds.append(("A new key in its place …", partial(self.renew, kept)))
        return Block(f"Key of {kept.name}", kept.sentences, tuple(deeds))

    # a department

    def found(self) -> None:
        """Found a department: its root on other media, its daily key here."""

        def answer(answers: Answers) -> None:
            passphrase = _twice(answers)
            if not answers["name"]:
                raise BadInput("A department has a name.", remedy="Type it; it is in its keys.")
            chosen = self.folder("A folder on the stick for the root")
            if not chosen:
                return
            with_name, at = answers["name"], self.now
            made = _on_disk(
                lambda: found_department(
                    keys_of(self.logbook), with_name, Path(chosen), passphrase=passphrase, at=at
                ),
                chosen,
            )
            self._put_away(
                f"Root of “{with_name}”",
                made.recovery_key,
                (
                    (
                        f"Its root is in {made.root}. Put the stick away: it is needed when the "
                        "daily key is lost."
                    ),
                    f"Other machines confirm its fingerprint: {_grouped(made.fingerprint)}",
                ),
            )

        self.show(
            Question(
                "Found a department",
                (
                    (
                        "Two keys are made. The root is written to a stick that is put away, "
                        "and is opened by a recovery key that is shown once. The daily key stays "
                        "on this machine and confirms people's keys."
                    ),
                ),
                "Choose a folder on the stick",
                answer,
                (Field("name", "Name of the department"), *NEW),
            )
        )

    def answer(self, asked: Request) -> None:
        """Issue a certificate for a key that asks for one."""

        def answer(answers: Answers) -> None:
            by = person_named(self.logbook, answers["who"])
            answer_request(self.logbook, asked, passphrase=answers["daily"], by=by)
            self.done(f"The key of {asked.name} is confirmed; the next packet carries it.")

        grouped = _grouped(asked.fingerprint)
        self.show(
            Question(
                f"Issue a certificate for {asked.name}?",
                (
                    f"Fingerprint of the key: {grouped}",
                    (
                        "Compare it with theirs by voice, or side by side: anybody can ask under "
                        "any name."
                    ),
                ),
                "It is theirs: issue it",
                answer,
                (Field("who", WHO, self.me), DAILY),
            )
        )

    def revoke(self, person: str, name: str) -> None:
        """Revoke what was confirmed of a person, from a day on."""

        def answer(answers: Answers) -> None:
            by = person_named(self.logbook, answers["who"])
            since = _day(answers["since"])
            revoke_keys(self.logbook, person, since=since, passphrase=answers["daily"], by=by)
            self.done(f"The keys of {name} are revoked from {since:%Y-%m-%d} on.")

        self.show(
            Question(
                f"Revoke the keys of {name}?",
                (
                    (
                        "What they signed from that day on no longer counts as theirs. It cannot "
                        "be undone; a new key can be confirmed. The next packet carries it."
                    ),
                ),
                "Revoke them",
                answer,
                (
                    Field("since", "From which day on", f"{self.now:%Y-%m-%d}"),
                    Field("who", WHO, self.me),
                    DAILY,
                ),
            )
        )

    # one's own key

    def ask_for(self, kept: KeptKey | None) -> None:
        """Ask a department to confirm somebody's key, which is made if there is none."""

        def answer(answers: Answers) -> None:
            person = kept.person if kept else person_named(self.logbook, answers["who"])
            self._open(person, answers["own"])
            made = ask(self.logbook, person)
            print_ = _grouped(made.fingerprint)
            self.done(f"The next packet asks for it. Fingerprint to be compared: {print_}")

        who = () if kept else (Field("who", WHO, self.me),)
        own = (OWN,) if kept is None or self._is_shut(kept) else ()
        self.show(
            Question(
                f"Ask that the key of {kept.name} be confirmed?" if kept else "Whose key?",
                (
                    (
                        "A packet carries the request to the department's machine, and another one "
                        "the certificate back: take it in, and it counts."
                    ),
                    *(("A passphrase is needed only where the key has one.",) if not kept else ()),
                ),
                "Ask for it",
                answer,
                (*who, *own),
            )
        )

    def close(self, kept: KeptKey) -> None:
        """Close a key with a passphrase, or with another one."""
        self._renewed(
            kept,
            "Close the key with a passphrase",
            "It then opens once a day with it. A recovery key is shown once, to be printed.",
            lambda new: self.logbook.keys.close(kept.person, kept.name, new, self.now),
        )

    def renew(self, kept: KeptKey) -> None:
        """Make a new key in place of an old one."""
        self._renewed(
            kept,
            "Make a new key",
            "The old one is set aside, and what it signed stays what it was. A department has to "
            "confirm the new one.",
            lambda new: self.logbook.keys.rotate(kept.person, kept.name, new, self.now)[1],
        )

    def _renewed(self, kept: KeptKey, confirm: str, said: str, make: Callable[[str], str]) -> None:
        def answer(answers: Answers) -> None:
            passphrase = _twice(answers)
            self._open(kept.person, answers.get("own", ""))
            recovery = _on_disk(lambda: make(passphrase), str(keys_of(self.logbook)))
            self._put_away(f"Key of {kept.name}", recovery, ())

        own = (OWN,) if self._is_shut(kept) else ()
        self.show(Question(f"{confirm}: {kept.name}", (said,), confirm, answer, (*own, *NEW)))

    def recover(self, kept: KeptKey) -> None:
        """Open a key with its recovery key, and close it anew."""

        def answer(answers: Answers) -> None:
            passphrase, typed = _twice(answers), answers["recovery"]
            keys, at = self.logbook.keys, self.now
            new = keys.recover(kept.person, kept.name, typed, passphrase, at)
            self._put_away(f"Key of {kept.name}", new, ("The old recovery key opens nothing now.",))

        self.show(
            Question(
                f"Open the key of {kept.name} with its recovery key",
                ("Gaps and small letters do not matter.",),
                "Open it",
                answer,
                (Field("recovery", "Recovery key, as it was printed"), *NEW),
            )
        )

    def back_up(self, kept: KeptKey) -> None:
        """Copy a closed key to a folder."""

        def answer(_: Answers) -> None:
            chosen = self.folder("A folder for the backup")
            if chosen:
                keys, folder = self.logbook.keys, Path(chosen)
                made = _on_disk(lambda: keys.back_up(kept.person, folder), chosen)
                self.done(f"Copied: {len(made)} files to {chosen}.")

        said = ("The copy opens with the same passphrase or recovery key, and never replaces one.",)
        self.show(Question(f"Back up the key of {kept.name}", said, "Choose a folder", answer))

    def restore(self) -> None:
        """Take a backed-up key back."""

        def answer(answers: Answers) -> None:
            person = person_named(self.logbook, answers["who"])
            chosen = self.folder("The folder of the backup")
            if chosen:
                _on_disk(lambda: self.logbook.keys.restore(person, Path(chosen)), chosen)
                self.done("The key is here again; it opens with its passphrase.")

        said = ("Never over a key that is here.",)
        who = Field("who", WHO, self.me)
        self.show(Question("Restore a key", said, "Choose the backup", answer, (who,)))

    def _is_shut(self, kept: KeptKey) -> bool:
        return self.logbook.keys.needs_passphrase(kept.person, self.now)

    def _open(self, person: str, passphrase: str) -> None:
        if self.logbook.keys.needs_passphrase(person, self.now):
            self.logbook.keys.unlock(person, passphrase, self.now)

    def _put_away(self, of: str, recovery: str, more: tuple[str, ...]) -> None:
        """Show a recovery key for the only time."""
        title = f"Recovery key: {of}"
        why = (
            f"{title}. It is kept nowhere else and shown only now. It opens the key when the "
            "passphrase is lost: put it away, apart from the key."
        )

        def answer(answers: Answers) -> None:
            if answers["how"] == PRINT:
                self.put_out(title, (recovery, why, *more))
                self.show(question)
            elif answers["how"] == WRITTEN:
                self.done("The recovery key is shown no more.")
            else:
                raise Refused("It is shown only now.", remedy="Print it, or write it down.")

        how = Choice("how", "Put it on paper", ((PRINT, "Print it"), (WRITTEN, "It is on paper")))
        question = Question(recovery, (why, *more), "Go on", answer, (), (how,), stays=True)
        self.show(question)


def _twice(answers: Answers) -> str:
    if answers["new"] != answers["again"]:
        raise Refused("The two passphrases are not the same.", remedy="Type it twice alike.")
    return answers["new"]


def _grouped(fingerprint: str) -> str:
    """In fours, to be read out."""
    return " ".join(fingerprint[at : at + 4] for at in range(0, len(fingerprint), 4))


def _day(typed: str) -> datetime:
    try:
        since = datetime.fromisoformat(typed)
    except ValueError as error:
        raise BadInput("This is no date.", where=typed, remedy="Write it as 2026-03-02.") from error
    return since if since.tzinfo else since.replace(tzinfo=UTC)


def _on_disk(deed: Callable[[], Made], where: str) -> Made:
    try:
        return deed()
    except OSError as error:
        reason, remedy = refusal(error)
        what = f"The disk did not do this: {reason}."
        raise Surroundings(what, where=where, remedy=remedy) from error
