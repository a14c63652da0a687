"""The face on standards: cuts side by side, what each would do, and approving one."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from observe.desk.asking import Answers, Choice, Field, Question
from observe.desk.blocks import Block
from observe.desk.review.cut_rows import CutRows
from observe.desk.review.face import ReviewFace, table_bytes
from observe.desk.running import Tick
from observe.desk.theme import Skin
from observe.domain.standard import Approved, Rounding
from observe.domain.troubles import BadInput, Trouble
from observe.domain.words import counted
from observe.work.approving import approve, is_not, standard_of, withdraw
from observe.work.logbooks import Logbook, open_logbook
from observe.work.standard_record import result_of
from observe.work.standard_review import (
    OF_JUDGES,
    Judges,
    StandardReview,
    Target,
    review_standards,
    targets,
)
from observe.work.standard_table import standard_table

NOTHING = ("No workshop is planned in this logbook.", "Plan one, or take one in.")
JUDGES = {
    "angoff": "Angoff: judge, item, value",
    "essential": "Essential steps: judge, item, value, essential",
    "hofstee": "Hofstee: judge, min_cut, max_cut, min_fail, max_fail",
}


class StandardFace(ReviewFace):
    """What learners and judges say of a cut, for one form and variant."""

    title = "Standard"

    def __init__(self, skin: Skin, logbook: Logbook, parent: QWidget | None = None) -> None:
        self.targets: tuple[Target, ...] = targets(logbook)
        self.chosen = 0
        self.judges: tuple[Judges, ...] = ()
        self.made: StandardReview | None = None
        self.rows = CutRows(skin)
        super().__init__(
            skin,
            logbook,
            self.rows,
            {
                "Choose …": self.choose,
                "Add judges …": self.add_judges,
                "Approved …": self.show_approved,
                "Save table …": self.save_table,
                "Save picture …": self.save_picture,
            },
            parent,
        )
        self.runner.done.connect(self._show)
        self.compute()

    # what is computed

    def compute(self) -> None:
        """Read and compute beside the window; a logbook of its own is opened to read."""
        if not self.targets:
            self._show(None)
            return
        path, target, judges = self.logbook.path, self.targets[self.chosen], self.judges
        today = self._today()
        self.say("Reading …")

        def work(_: Tick) -> StandardReview:
            with open_logbook(path, read_only=True) as logbook:
                return review_standards(logbook, target, judges, today=today)

        self.runner.run(work)
        self.show_keys(running=True)

    def _failed(self, trouble: Trouble) -> None:
        self.judges = self.judges[:-1]  # What was added last could not be read.
        super()._failed(trouble)

    def _show(self, made: StandardReview | None) -> None:
        self.made = made
        self.rows.show_standards(made, NOTHING)
        self.say(_state(made))
        self.show_keys(running=False)
        self.lay_out()

    def _today(self) -> str:
        return self.logbook.machine.stamp().at[:10]

    def can(self) -> Mapping[str, bool]:
        """Which keys can be pressed."""
        some = self.made is not None and bool(self.made.cuts)
        return {
            "Choose …": bool(self.targets),
            "Add judges …": bool(self.targets),
            "Approved …": some or bool(self.made and self.made.approved),
            "Save table …": some,
            "Save picture …": some,
        }

    # questions

    def choose(self) -> None:
        """Ask which form and variant."""
        options = tuple((str(at), one.title) for at, one in enumerate(self.targets))
        self.ask(
            Question(
                "Which form is it about?",
                ("A standard belongs to one form, its scoring and its variant.",),
                "Look at it",
                self._chosen,
                (),
                (Choice("target", "Form and variant", options, str(self.chosen)),),
            )
        )

    def _chosen(self, answers: Answers) -> None:
        place = int(answers["target"] or self.chosen)
        if place != self.chosen:
            self.judges = ()
        self.chosen = place
        self.back()
        self.compute()

    def add_judges(self) -> None:
        """Ask for a judges' table to set beside the learners."""
        self.ask(
            Question(
                "Which table of judges?",
                ("A text file with commas, semicolons or tabs; the first line names columns.",),
                "Choose the file …",
                self._judges_chosen,
                (),
                (
                    Choice("method", "Method", tuple((one, JUDGES[one]) for one in OF_JUDGES)),
                    Choice(
                        "scale",
                        "Judgements are written",
                        (("shares", "from 0 to 1"), ("percent", "from 0 to 100")),
                        "shares",
                    ),
                ),
            )
        )

    def _judges_chosen(self, answers: Answers) -> None:
        method = answers["method"]
        if not method:
            raise BadInput("No method is chosen.", remedy="Choose what the table holds.")
        chosen, _ = QFileDialog.getOpenFileName(
            self, "Table of judges", "", "Tables (*.csv *.txt *.tsv)"
        )
        if not chosen:
            return
        self.judges = (*self.judges, Judges(method, Path(chosen), answers["scale"] == "percent"))
        self.back()
        self.compute()

    def _approvable(self) -> tuple[tuple[str, str], ...]:
        cuts = self.made.cuts if self.made else ()
        return tuple(
            (str(place), f"{one.label}, {one.value:.1f} %")
            for place, one in enumerate(cuts)
            if one.value is not None and 0 <= one.value <= 100
        )

    def show_approved(self) -> None:
        """The standards of this form and variant, what can be approved, and what withdrawn."""
        if self.made is None:
            return
        blocks = []
        if self._approvable():
            said = ("One of the cuts becomes the department's standard, by name, from a day on.",)
            blocks.append(Block("Approve a cut", said, (("Approve …", self.approve),)))
        names = self.logbook.names()
        for one in reversed(self.made.approved):  # the newest first
            deeds = () if one.withdrawn else (("Withdraw …", partial(self.withdraw, one)),)
            blocks.append(Block(f"{one.standard.cut} %", approval_lines(one, names), deeds))
        self.show_blocks(blocks)

    def withdraw(self, one: Approved) -> None:
        """Ask from when on a standard holds no longer, by whom, and why."""

        def answer(answers: Answers) -> None:
            withdraw(
                self.logbook,
                one.id,
                by=answers["by"],
                day=answers["day"],
                reason=answers["reason"],
            )
            self.back()
            self.compute()

        self.ask(
            Question(
                f"Withdraw the standard of {one.standard.cut} %",
                (
                    "Attempts that are bound to it keep it. No older one comes back by itself.",
                    "In summative mode nothing is decided until another is approved.",
                ),
                "Withdraw it",
                answer,
                (
                    Field("by", "Who withdraws it"),
                    Field("day", "From the day (such as 2026-09-01)", self._today()),
                    Field("reason", "Why"),
                ),
            )
        )

    def approve(self) -> None:
        """Ask which cut becomes the department's standard, from when, and by whom."""
        if self.made is None:
            return
        self.ask(
            Question(
                f"Approve a standard for {self.made.target.title}",
                (
                    "Attempts opened from its day on are bound to it; those begun keep theirs.",
                    "Weigh the warnings first. Whoever approves stands for it by name.",
                ),
                "Approve it",
                self._approve,
                (
                    Field("by", "Who approves it"),
                    Field("effective", "From the day (such as 2026-09-01)", self._today()),
                    Field("places", "Decimals of the cut", "1"),
                ),
                (
                    Choice("cut", "Cut", self._approvable()),
                    Choice(
                        "rounding",
                        "Rounded",
                        tuple((one.value, one.value) for one in Rounding),
                    ),
                ),
            )
        )

    def _approve(self, answers: Answers) -> None:
        made = self.made
        if made is None:
            return
        if not answers["cut"] or not answers["rounding"]:
            raise BadInput(
                "A standard says which cut, and in which direction it was rounded.",
                remedy="Choose one of each.",
            )
        if not answers["by"].strip():
            raise BadInput("Nobody approves it.", remedy="Write who approves it.")
        places = answers["places"].strip()
        if not (places.isascii() and places.isdigit() and len(places) == 1):
            raise BadInput("This is no number of decimals.", where=places, remedy="Write 0 to 6.")
        standard = standard_of(
            result_of(made.cuts[int(answers["cut"])]),
            made.target.form,
            variant=made.target.variant,
            rounding=Rounding(answers["rounding"]),
            places=int(places),
            effective=answers["effective"].strip(),
        )
        approve(self.logbook, standard, by=answers["by"])
        self.back()
        self.compute()

    # files

    def save_table(self) -> None:
        """Every cut with what it rests on and what it would do."""
        chosen = self.where("Save the table", "standard.csv") if self.made else ""
        if self.made is not None and chosen:
            self.write((Path(chosen), table_bytes(standard_table(self.made))))


def approval_lines(one: Approved, names: Mapping[str, str]) -> tuple[str, ...]:
    """What is said of a standard that was approved."""
    held = one.standard
    rounded = f"rounded {held.rounding.value} from {held.unrounded} %"
    lines = [
        f"From {held.effective}, approved by {names.get(one.by, one.by)}.",
        f"By {held.method.replace('_', ' ')}, {held.n} {held.of}; {rounded}.",
        is_not(held),
    ]
    if one.withdrawn is not None:
        by = names.get(one.withdrawn.by, one.withdrawn.by)
        lines.append(f"Withdrawn from {one.withdrawn.day} on by {by}: {one.withdrawn.reason}")
    return tuple(filter(None, lines))


def _state(made: StandardReview | None) -> str:
    if made is None:
        return NOTHING[0]
    return (
        f"{counted(len(made.cuts), 'cut')}, {counted(len(made.scores), 'learner')}. "
        f"Now {made.present:.1f} %, {made.present_is}."
    )
