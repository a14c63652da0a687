"""The face on the report: the director's report as it would be printed now, signed and saved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtWidgets import QWidget

from observe import __version__
from observe.desk.asking import Answers, Choice, Field, Question
from observe.desk.blocks import Block
from observe.desk.preview import Preview
from observe.desk.review.face import ReviewFace
from observe.desk.running import Tick
from observe.desk.theme import Skin
from observe.domain.troubles import BadInput, Refused
from observe.domain.words import counted
from observe.sheets.compose import Page
from observe.sheets.content import Signer
from observe.sheets.record import digest_of
from observe.sheets.report_pages import compose
from observe.sheets.report_record import written
from observe.sheets.setting import Paper
from observe.work import report_figures
from observe.work.logbooks import Logbook, open_logbook
from observe.work.naming import person_named
from observe.work.report import report
from observe.work.report_figures import Report
from observe.work.report_pages import pages_of
from observe.work.report_press import issue_report, now
from observe.work.report_suppressed import for_others
from observe.work.reviewing import conditions

DIRECTOR, OTHERS = "director", "others"
READERS = (
    (DIRECTOR, "the director: every count"),
    (OTHERS, "others: no count under ten"),
)
UNSIGNED = Signer("Not signed yet", "director", "", "", "")


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked for. form: "" for the only one. since, until: days; empty for any."""

    form: str = ""
    since: str = ""
    until: str = ""
    readers: str = DIRECTOR


@dataclass(frozen=True)
class Made:
    """A report, or the reason why there is none and what would help."""

    report: Report | None
    empty: tuple[str, str] = ("", "")


class ReportFace(ReviewFace):
    """The director's report on one form of a logbook."""

    title = "Report"

    def __init__(self, skin: Skin, logbook: Logbook, parent: QWidget | None = None) -> None:
        self.forms = tuple({one.form.id: one.form.title for one in conditions(logbook)}.items())
        self.wish = Wish(self.forms[0][0] if self.forms else "")
        self.made = Made(None)
        self.preview = Preview(skin)
        super().__init__(
            skin,
            logbook,
            self.preview,
            {"Choose …": self.choose, "Sign and save …": self.sign},
            parent,
        )
        self.runner.done.connect(self._show)
        self.compute()

    # what is computed

    def compute(self) -> None:
        """Read and compute beside the window; a logbook of its own is opened to read."""
        path, wish = self.logbook.path, self.wish
        self.say("Reading …")

        def work(tick: Tick) -> Made:
            with open_logbook(path, read_only=True) as logbook:
                try:
                    asked = report_figures.Question(wish.form, wish.since, wish.until)
                    made = report(logbook, asked, tick=tick)
                    return Made(for_others(made) if wish.readers == OTHERS else made)
                except Refused as refused:
                    return Made(None, (refused.what, refused.remedy))

        self.runner.run(work)
        self.show_keys(running=True)

    def _show(self, made: Made) -> None:
        self.made = made
        self.preview.show_pages(_pages(made), "report")
        self.back()
        if made.report is None:
            missing, helps = made.empty
            self.show_blocks([Block(missing, (helps,))])
        self.say(_state(made, self.wish))
        self.show_keys(running=False)
        self.lay_out()

    def can(self) -> Mapping[str, bool]:
        """Which keys can be pressed."""
        return {
            "Choose …": bool(self.forms),
            "Sign and save …": self.made.report is not None,
        }

    # questions

    def choose(self) -> None:
        """Ask which form, from when to when, and for whom."""
        wish = self.wish
        choices = [Choice("readers", "Who reads it", READERS, wish.readers)]
        if len(self.forms) > 1:
            choices.insert(0, Choice("form", "Form", self.forms, wish.form))
        self.ask(
            Question(
                "What is reported, and to whom?",
                ("It names no learner and no observer. For others small counts are hidden.",),
                "Look at it",
                self._chosen,
                (
                    Field(
                        "since",
                        "From the day (such as 2026-03-02; empty: from the first)",
                        wish.since,
                    ),
                    Field("until", "Until the day (empty: until the last)", wish.until),
                ),
                tuple(choices),
            )
        )

    def _chosen(self, answers: Answers) -> None:
        self.wish = Wish(
            answers.get("form") or self.wish.form,
            answers["since"],
            answers["until"],
            answers["readers"] or self.wish.readers,
        )
        self.back()
        self.compute()

    def sign(self) -> None:
        """Ask who answers for it; then it is signed and saved."""
        self.ask(
            Question(
                "Sign the director's report",
                ("Whoever signs answers for it. It is kept in the logbook that it was issued.",),
                "Sign and save …",
                self._sign,
                (Field("by", "Who answers for it"),),
                (Choice("paper", "Paper", tuple((one.value, one.value) for one in Paper), "A4"),),
            )
        )

    def _sign(self, answers: Answers) -> None:
        if not answers["by"].strip():
            raise BadInput("Nobody signs it.", remedy="Write who answers for it.")
        by = person_named(self.logbook, answers["by"])
        keys, at = self.logbook.keys, now(self.logbook)
        paper = answers["paper"] or Paper.A4.value
        if not keys.needs_passphrase(by, at):
            self._save(by, paper)
            return

        def opened(told: Answers) -> None:
            keys.unlock(by, told["passphrase"], at)
            self._save(by, paper)

        self.ask(
            Question(
                "Open your signing key",
                ("Once a day is enough; it is not written down anywhere.",),
                "Open it",
                opened,
                (Field("passphrase", "Passphrase", secret=True),),
            )
        )

    def _save(self, by: str, paper: str) -> None:
        made = self.made.report
        chosen = self.where("Save the report", "report.pdf") if made else ""
        if made is None or not chosen:
            return

        def deed() -> None:
            issue_report(self.logbook, made, Path(chosen), by=by, paper=paper)
            self.say(f"Signed and saved: {chosen}")

        self.back()
        self.attempt(deed)


def _pages(made: Made) -> tuple[Page, ...]:
    if made.report is None:
        return ()
    content = pages_of(made.report, UNSIGNED, __version__)
    return compose(content, Paper.A4, digest_of(written(content)))


def _state(made: Made, wish: Wish) -> str:
    if made.report is None:
        return made.empty[0]
    readers = "for others, small counts hidden" if wish.readers == OTHERS else "for the director"
    days = made.report.workshops
    return f"{counted(len(days), 'workshop')}, {days[0][0]} to {days[-1][0]}; {readers}."
