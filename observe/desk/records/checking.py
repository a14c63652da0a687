"""Check a file: dropped, chosen, or the code printed on paper; told in sentences."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from PySide6.QtCore import QMimeData, QObject, Signal

from observe.desk.asking import Answers, Field, Question
from observe.desk.blocks import Act, Block
from observe.desk.running import Runner, Tick
from observe.domain.foreign import one_line, seen
from observe.domain.troubles import Trouble
from observe.work.checking import check_files, sheet_of_code
from observe.work.logbooks import Logbook
from observe.work.verify import FileVerdict, Outcome

MOST_FILES = 200
"""As many files are checked at once; more than that is hardly what was meant."""
LONGEST_NAME = 120
LONGEST_SENTENCE = 600
MOST_SENTENCES = 60
HEADS = {
    Outcome.SOUND: "sound",
    Outcome.WANTING: "something is wanting",
    Outcome.UNREADABLE: "cannot be judged",
}
STRANGERS = ("unknown", "strange")
"""How keys are known of which nobody here can say whose they are."""


def files_in(data: QMimeData) -> tuple[Path, ...]:
    """The files of this machine that are dragged, each once."""
    paths = [Path(one.toLocalFile()) for one in data.urls() if one.isLocalFile()]
    return tuple(dict.fromkeys(paths))


class Checking(QObject):
    """What was checked beside one logbook. show: asks a question; done: says what came of it."""

    changed = Signal()
    """There is something else to be shown."""
    failed = Signal(object)
    """A trouble with the logbook itself."""

    def __init__(
        self,
        logbook: Logbook,
        show: Callable[[Question], None],
        done: Callable[[str], None],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.logbook, self._show, self._done = logbook, show, done
        self.found: tuple[FileVerdict, ...] = ()
        self.left_out = 0
        self.progress: tuple[int, int] | None = None
        self.runner = Runner(self)
        self.runner.progressed.connect(self._progress)
        self.runner.done.connect(self._made)
        self.runner.failed.connect(self._failed)

    def check(self, paths: Sequence[Path]) -> None:
        """Check files beside the window; what is being checked already is stopped."""
        wanted = tuple(paths[:MOST_FILES])
        if not wanted:
            return
        self.left_out = len(paths) - len(wanted)
        beside = self.logbook.path
        self.found, self.progress = (), (0, len(wanted))

        def work(tick: Tick) -> list[FileVerdict]:
            return check_files(beside, wanted, tick)

        self.runner.run(work)
        self.changed.emit()

    def stop(self) -> None:
        """Stop checking; nothing more is told of it."""
        self.runner.stop()
        self.progress = None
        self.changed.emit()

    def _progress(self, done: int, total: int) -> None:
        self.progress = (done, total)
        self.changed.emit()

    def _made(self, found: Iterable[FileVerdict]) -> None:
        self.found, self.progress = tuple(found), None
        self.changed.emit()

    def _failed(self, trouble: Trouble) -> None:
        self.progress = None
        self.changed.emit()
        self.failed.emit(trouble)

    def ask_code(self) -> None:
        """Ask for the code at the foot of a printed sheet."""

        def answer(answers: Answers) -> None:
            self._done(sheet_of_code(self.logbook, answers["code"]).sentence)

        self._show(
            Question(
                "Which sheet does a code belong to?",
                ("It stands at the foot of each page of a sheet. Gaps do not matter.",),
                "Look it up",
                answer,
                (Field("code", "Code"),),
            )
        )

    def blocks(self, choose: Act) -> Iterator[Block]:
        """What can be done, and the verdict on each file. choose: asks for files."""
        deeds: tuple[tuple[str, Act], ...] = (
            ("Choose files …", choose),
            ("Type a code …", self.ask_code),
        )
        if self.progress is not None:
            done, total = self.progress
            said = f"Checking: {done} of {total} …"
            yield Block("Drop files here", (said,), (*deeds, ("Stop", self.stop)))
            return
        said = "Sheets, packets or logbooks, several at once. Nothing in them is changed or kept."
        yield Block("Drop files here", (said,), deeds)
        for one in self.found:
            yield _block(one)
        if self.left_out:
            more = f"{self.left_out} further files were not checked"
            yield Block(more, (f"At most {MOST_FILES} are checked at once.",))


def _head(one: FileVerdict) -> str:
    """The verdict in a word or two; what is whole, yet stands for nothing, is not called sound."""
    if one.outcome is Outcome.SOUND and one.facts.get("superseded"):
        return "untouched, but superseded"
    signed = one.facts.get("signed", ())
    if one.outcome is Outcome.SOUND and any(each["known"] in STRANGERS for each in signed):
        return "untouched, but its signer is not known here"
    return HEADS[one.outcome]


def _block(one: FileVerdict) -> Block:
    name = one_line(Path(one.path).name or one.path, LONGEST_NAME)
    said = [seen(one_line(each, LONGEST_SENTENCE)) for each in one.sentences[:MOST_SENTENCES]]
    if len(one.sentences) > MOST_SENTENCES:
        said.append(f"There is more: {len(one.sentences) - MOST_SENTENCES} further sentences.")
    kind = f"{one.kind}, " if one.kind else ""
    return Block(f"{name}: {kind}{_head(one)}", tuple(said))
