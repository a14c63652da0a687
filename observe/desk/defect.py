"""A defect of the program: its own window, what was kept, and a report without names."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.look.tokens import Token, Weight


class DefectWindow(QWidget):
    """Says that this is the program's fault, and where the report is; one for all of them."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin, self.kind, self.report = skin, "", ""
        self.count = 0
        self.setWindowTitle("A defect · Observe")
        self.setAttribute(Qt.WidgetAttribute.WA_QuitOnClose, on=False)
        self.setFixedSize(skin.px(640), skin.px(300))
        self.close_key = Key(skin, self, word_face("Go on"))
        self.close_key.struck.connect(self.close)
        wide, high = skin.px(140), max(skin.px(56), skin.mm(12))
        self.close_key.setGeometry(
            self.width() - wide - skin.px(18), self.height() - high - skin.px(14), wide, high
        )

    def tell(self, kind: str, report: str) -> None:
        """Tell one more defect. report: where its report is; empty if none could be written."""
        self.kind, self.report = kind, report
        self.count += 1
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        band = QRectF(0, 0, box.width(), px(60))
        pen.fill(band, Token.BAND)
        head = band.adjusted(px(18), 0, -px(18), 0)
        title = "This is a defect of the program, not of your doing."
        pen.text(head, title, Style(20, Weight.BOLD, Token.ONBAND, 14, down=MIDDLE))
        place = QRectF(px(18), px(74), box.width() - px(36), px(60))
        times = f", {self.count} times" if self.count > 1 else ""
        said = f"Every mark that was shown as set is on the disk. Kind: {self.kind}{times}."
        pen.text(place, said, Style(16, least=13, leading=1.3))
        kept = self.report or "No report could be written."
        words = f"A report without names or marks: {kept}" if self.report else kept
        below = QRectF(px(18), px(140), box.width() - px(36), px(80))
        pen.text(below, words, Style(15, ink=Token.INK2, least=11, leading=1.25))
        painter.end()
