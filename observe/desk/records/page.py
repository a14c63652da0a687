"""The records: sections at the left, what they hold at the right, questions in its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from enum import StrEnum
from functools import partial
from pathlib import Path

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDropEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QFileDialog, QWidget

from observe.desk.asking import AskPanel, Question
from observe.desk.blocks import Block, BlockList
from observe.desk.keys import Face, Key, Row, word_face
from observe.desk.on_paper import print_lines
from observe.desk.paint import MIDDLE, RIGHT, Pen, Style
from observe.desk.records.carrying import Carrying
from observe.desk.records.checking import Checking, files_in
from observe.desk.records.deciding import Deciding
from observe.desk.records.keeping import Keeping
from observe.desk.records.lines import (
    Deeds,
    holder_blocks,
    missing_blocks,
    packet_blocks,
    plan_blocks,
    wanted_blocks,
)
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.domain.troubles import Trouble
from observe.domain.workshop import Workshop
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight
from observe.work.dropping import held_up
from observe.work.known import Department
from observe.work.logbooks import Logbook
from observe.work.plans import OpenPlan, due_plans, plan_line
from observe.work.records import disclosures, holders, lacks, missing
from observe.work.wanted import wanted

NAME = Style(17, Weight.MEDIUM, least=14, down=MIDDLE)
COUNT = Style(17, Weight.BOLD, least=14, across=RIGHT, down=MIDDLE)
TITLE = Style(22, Weight.BOLD, least=17)
NOTE = Style(16, ink=Token.INK2, least=14)


class Section(StrEnum):
    """What the records are parted into."""

    WANTED = "To decide"
    COMING = "What has come"
    MACHINES = "Machines"
    PACKETS = "Sent and taken in"
    KEYS = "Keys"
    CHECK = "Check a file"


NOTES = {
    Section.WANTED: "What waits for a person: before it counts, or because its day is past.",
    Section.COMING: "Each workshop: what this machine lacks, and which records are not here whole.",
    Section.MACHINES: "Who holds a logbook of these workshops, as far as their packets tell.",
    Section.PACKETS: "Every packet and sheet that left, about whom and by whom, and what came in.",
    Section.KEYS: "Whose keys are known, and by which department.",
    Section.CHECK: "Is a sheet, packet or logbook untouched, who signed it, and does it stand?",
}
NOTHING = {
    Section.WANTED: "Nothing waits for anybody.",
    Section.COMING: "No workshop is planned in this logbook yet. Take a plan in, or plan one.",
    Section.MACHINES: "Nothing was written here yet.",
    Section.PACKETS: "Nothing left this machine, and nothing came in.",
    Section.KEYS: "",
    Section.CHECK: "",
}


class RecordsPage(QWidget):
    """One logbook's records. me: the name of who is at the machine; empty if nobody is."""

    told = Signal(object)
    """A trouble that no question asked for."""
    changed = Signal()
    """Something was decided or taken in."""

    def __init__(
        self, skin: Skin, logbook: Logbook, me: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.skin, self.logbook = skin, logbook
        self.section = Section.WANTED
        self.said = ""
        self.wanted, self.due = wanted(logbook), due_plans(logbook)
        self.deciding = Deciding(logbook, me, self._decided)
        self.carrying = Carrying(logbook, me, self.ask, self._done, self._ask_where, self)
        self.carrying.changed.connect(self._carried)
        self.carrying.progressed.connect(self._progressed)
        self.carrying.failed.connect(self._failed)
        self.keeping = Keeping(logbook, me, self.ask, self._done, self._ask_folder, self._put_out)
        self.checking = Checking(logbook, self.ask, self._told_of_code, self)
        self.checking.changed.connect(self._checked)
        self.checking.failed.connect(self.told)
        self.is_dragged_over = False
        self.setAcceptDrops(True)
        self.rows = {one: Row(skin, self) for one in Section}
        for one, row in self.rows.items():
            row.struck.connect(partial(self.choose, one))
        self.in_key = Key(skin, self, replace(word_face("Take a packet in …"), heel=Token.ACT))
        self.in_key.struck.connect(self.take_in)
        self.out_key = Key(skin, self, word_face("Write a packet …"))
        self.out_key.struck.connect(self.write)
        self.list = BlockList(skin)
        self.list_area = Tall(skin, self, self.list, self.list.needed)
        self.panel = AskPanel(skin)
        self.panel_area = Tall(skin, self, self.panel, self.panel.needed)
        self.panel.left.connect(self._leave)
        self.panel.grown.connect(self.panel_area.lay_out)
        self.panel_area.hide()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        skin.changed.connect(self.lay_out)
        self.refresh()

    # what is shown

    def choose(self, section: Section) -> None:
        """Show a section, unless what is asked has to be answered first."""
        if self._is_held():
            return
        self.section, self.said = section, ""
        self._leave()
        self.refresh()

    def refresh(self) -> None:
        """Read the logbook anew and show the section."""
        try:
            self.wanted, self.due = wanted(self.logbook), due_plans(self.logbook)
            doing = self.carrying.doing
            blocks = (doing,) if doing else tuple(self._blocks())
        except Trouble as trouble:
            self.told.emit(trouble)
            return
        nothing = NOTHING[self.section]
        self.list.show_blocks(blocks or ([Block(nothing)] if nothing else []))
        for one, row in self.rows.items():
            count = self.wanted.count + len(self.due) if one is Section.WANTED else 0
            here = one is self.section
            fill, ink = (Token.BAND, Token.ONBAND) if here else (Token.KEY, Token.INK)
            said = f"{one.value}, {count}" if count else one.value
            row.show_face(Face(said, paint_section, (one.value, count), fill=fill, ink=ink))
        workshops = self.logbook.workshops()
        free = bool(workshops) and doing is None
        self.out_key.show_face(word_face("Write a packet …").allowed(can=free))
        self.setAccessibleName(f"Records, {self.section.value}. {NOTES[self.section]}")
        self.lay_out()

    def _blocks(self) -> Iterable[Block]:
        names = self.logbook.names()
        if self.section is Section.WANTED:
            plans = [(one, plan_line(self.logbook, one)) for one in self.due]
            return [
                *wanted_blocks(self.wanted, names, self._deeds()),
                *plan_blocks(plans, self._close),
            ]
        if self.section is Section.COMING:
            workshops = reversed([*self.logbook.workshops().values()])
            return [
                block
                for one in workshops
                for block in missing_blocks(
                    one,
                    missing(self.logbook, one),
                    lacks(self.logbook, one),
                    names,
                    self._droppable(one, names),
                )
            ]
        if self.section is Section.MACHINES:
            return holder_blocks(holders(self.logbook))
        if self.section is Section.PACKETS:
            return packet_blocks(disclosures(self.logbook))
        if self.section is Section.CHECK:
            return self.checking.blocks(self.choose_files)
        return self.keeping.blocks(self._confirm)

    def _deeds(self) -> Deeds:
        names = self.logbook.names()
        return Deeds(
            adopt=lambda tail: self.ask(self.deciding.adopt(tail)),
            choose=lambda each, device: self.ask(self.deciding.choose(each, device)),
            join_learners=lambda w, pair: self.ask(self.deciding.join_learners(w, pair)),
            join_attempts=lambda w, pair: self.ask(self.deciding.join_attempts(w, pair)),
            rule=lambda w, result: self.ask(self.deciding.rule(w, result, names)),
            restore=lambda w, seat: self.ask(self.deciding.restore(w, seat)),
        )

    def _droppable(
        self, workshop: Workshop, names: Mapping[str, str]
    ) -> Iterator[tuple[str, Callable[[], None]]]:
        """The second looks that hold up an attempt whose first observer has sealed."""
        for seat, observer in held_up(self.logbook, workshop):
            question = self.deciding.drop(workshop, seat, names.get(observer, observer))
            word = f"Give up the second look at seat {seat.number} …"
            yield word, partial(self.ask, question)

    def _close(self, plan: OpenPlan) -> None:
        name = self.logbook.names().get(plan.seat.learner, plan.seat.learner)
        self.ask(self.deciding.close_plan(plan, name))

    def _confirm(self, department: Department) -> None:
        self.ask(self.deciding.confirm(department))

    # questions

    def ask(self, question: Question) -> None:
        """Show a question in place of the list."""
        self.said = ""
        self.panel.ask(question)
        self._show_panel()

    def _leave(self) -> None:
        self.panel.asked = None
        self.panel_area.hide()
        self.list_area.show()
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.lay_out()

    def _carried(self) -> None:
        """A packet is being read, in place of the section; or no longer."""
        self.said = ""
        if self._asks():
            self._show_panel()
        else:
            self.panel_area.hide()
            self.list_area.show()
        self.refresh()

    def _progressed(self, said: str) -> None:
        """How far a packet is; the list stays, so that nobody's press on its key is lost."""
        self.said = said
        self.lay_out()

    def _asks(self) -> bool:
        """Whether a question is shown; it stays below what is done about it."""
        return self.panel.asked is not None and self.carrying.doing is None

    def _is_held(self) -> bool:
        """Whether what is asked has to be answered first."""
        return self.panel.asked is not None and self.panel.asked.stays

    def _show_panel(self) -> None:
        self.list_area.hide()
        self.panel_area.show()
        self.lay_out()

    def _failed(self, trouble: Trouble) -> None:
        """Tell a packet's trouble in the question it came from, where what was typed still is."""
        if self.panel.asked is None:
            self.told.emit(trouble)
            return
        self.panel.trouble = trouble
        self.panel.grown.emit()
        self._show_panel()

    def _decided(self) -> None:
        self._done("Kept.")

    def _done(self, said: str) -> None:
        self._leave()
        self.said = said
        self.refresh()
        self.changed.emit()

    # checking files

    def choose_files(self) -> None:
        """Choose files, and check them."""
        chosen, _ = QFileDialog.getOpenFileNames(
            self, "Check files", "", "Sheets, packets, logbooks (*.pdf *.packet *.observe);;All (*)"
        )
        self.checking.check([Path(one) for one in chosen])

    def _checked(self) -> None:
        if self.section is Section.CHECK and self.panel.asked is None:
            self.refresh()

    def _told_of_code(self, said: str) -> None:
        self._leave()
        self.said = said
        self.refresh()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if self.panel.asked is not None or not files_in(event.mimeData()):
            event.ignore()  # What was typed for a question stays.
            return
        event.acceptProposedAction()
        if self.section is not Section.CHECK:
            self.choose(Section.CHECK)
        self._show_dragged(over=True)

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self._show_dragged(over=False)
        super().dragLeaveEvent(event)

    def dropEvent(self, event: QDropEvent) -> None:
        self._show_dragged(over=False)
        event.acceptProposedAction()
        self.said = ""
        self.checking.check(files_in(event.mimeData()))

    def _show_dragged(self, *, over: bool) -> None:
        self.is_dragged_over = over
        self.update()

    def closeEvent(self, event: QCloseEvent) -> None:
        self.checking.runner.stop()
        self.carrying.leave()
        super().closeEvent(event)

    # packets

    def take_in(self) -> None:
        """Choose a packet and say what it would bring."""
        if self._is_held():
            return
        chosen, _ = QFileDialog.getOpenFileName(
            self, "Take a packet in", "", "Packets (*.packet);;All files (*)"
        )
        if chosen:
            self._try(lambda: self.carrying.take_in(Path(chosen)))

    def write(self) -> None:
        """Write a packet of a workshop: the only one there is, or the one that is named."""
        if self._is_held():
            return
        workshops = self.logbook.workshops()
        if len(workshops) == 1:
            self.carrying.write(next(iter(workshops.values())))
            return
        newest = [*workshops.values()][::-1]

        def blocks() -> list[Block]:
            return [
                Block(
                    one.title,
                    (f"{one.date} · {one.place} · {one.mode.value}",),
                    (("Of this workshop …", partial(self.carrying.write, one)),),
                )
                for one in newest
            ]

        self._leave()
        self.list.show_blocks(blocks())
        self.lay_out()

    def _ask_where(self, name: str) -> str:
        chosen, _ = QFileDialog.getSaveFileName(self, "Write the packet", name)
        return chosen

    def _ask_folder(self, title: str) -> str:
        return QFileDialog.getExistingDirectory(self, title)

    def _put_out(self, title: str, lines: Sequence[str]) -> None:
        """Print lines below a title, on the printer that is chosen."""
        print_lines(self, title, lines)

    def _try(self, deed: Callable[[], None]) -> None:
        try:
            deed()
        except Trouble as trouble:
            self.told.emit(trouble)

    # geometry and painting

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def _left(self) -> int:
        px = self.skin.px
        return min(round(self.width() * 0.4), max(px(250), self.skin.grows(250, 250, 0.8)))

    def _head(self) -> int:
        """Px of the title and the sentence below it."""
        px, wide = self.skin.px, self._wide()
        if self._asks():  # A question has a title of its own.
            return px(10)
        note = height_of(self.skin, self._note(), wide, NOTE)
        return px(16) + height_of(self.skin, self.section.value, wide, TITLE) + px(4) + note + px(8)

    def _note(self) -> str:
        return self.said or NOTES[self.section]

    def _wide(self) -> int:
        px = self.skin.px
        return max(1, self.width() - self._left() - px(6) * 2 - px(40))

    def lay_out(self) -> None:
        """Place sections, keys and the list for the size of the page."""
        px, left = self.skin.px, self._left()
        pad, y = px(6), px(6) + px(10)
        high = max(self.skin.mm(ROUTINE_TARGET_MM), px(44))
        for row in self.rows.values():
            row.setGeometry(pad + px(6), y, left - px(12), high)
            y += high + px(4)
        foot = self.height() - pad - px(10)
        for key in (self.out_key, self.in_key):
            foot -= high
            key.setGeometry(pad + px(8), foot, left - px(16), high)
            foot -= px(8)
        x, top = left + 2 * pad + px(20), pad + self._head()
        for area in (self.list_area, self.panel_area):
            area.setGeometry(x, top, self._wide(), max(1, self.height() - top - pad - px(8)))
            area.lay_out()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        pen.fill(QRectF(self.rect()), Token.GROUND)
        pad, left, high = px(6), self._left(), self.height() - 2 * px(6)
        for box in (
            QRectF(pad, pad, left, high),
            QRectF(left + 2 * pad, pad, self.width() - left - 3 * pad, high),
        ):
            pen.fill(box, Token.SHEET)
            pen.frame(box, Token.RULE, 1)
        if self.is_dragged_over:
            pen.frame(box, Token.ACT, 4)
        if not self._asks():
            self._paint_head(pen, left + 2 * pad + px(20), pad + px(16))
        painter.end()

    def _paint_head(self, pen: Pen, x: int, y: int) -> None:
        """The section, and what it is about, or what was just done."""
        px, wide = self.skin.px, self._wide()
        tall = height_of(self.skin, self.section.value, wide, TITLE)
        pen.text(QRectF(x, y, wide, tall), self.section.value, TITLE)
        note = QRectF(x, y + tall + px(4), wide, height_of(self.skin, self._note(), wide, NOTE))
        style = replace(NOTE, ink=Token.INK, weight=Weight.BOLD) if self.said else NOTE
        pen.text(note, self._note(), style)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.panel.asked is not None:
            if not self._is_held():
                self._leave()
            return
        super().keyPressEvent(event)


def paint_section(pen: Pen, box: QRectF, ink: Token, name: str, count: int) -> None:
    """A section's name, and how much waits in it."""
    inner = box.adjusted(pen.skin.px(12), 0, -pen.skin.px(12), 0)
    pen.text(inner, name, replace(NAME, ink=ink))
    if count:
        pen.text(inner, str(count), replace(COUNT, ink=ink))
