"""Review: the director's questions of a logbook, a face for each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QCloseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.paint import Pen
from observe.desk.review.agreement import AgreementFace
from observe.desk.review.face import ReviewFace
from observe.desk.review.observers import ObserversFace
from observe.desk.review.progress import ProgressFace
from observe.desk.review.report import ReportFace
from observe.desk.review.standard import StandardFace
from observe.desk.theme import Skin
from observe.look.tokens import ROUTINE_TARGET_MM, Token
from observe.work.logbooks import Logbook

FACES: Mapping[str, Callable[[Skin, Logbook], ReviewFace]] = {
    AgreementFace.title: AgreementFace,
    ObserversFace.title: ObserversFace,
    StandardFace.title: StandardFace,
    ProgressFace.title: ProgressFace,
    ReportFace.title: ReportFace,
}
FACE_KEY_PX = 150


class ReviewPage(QWidget):
    """One face at a time; each is made, and begins to compute, when it is first asked for."""

    told = Signal(object)
    """A trouble that no question asked for."""

    def __init__(self, skin: Skin, logbook: Logbook, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.skin, self.logbook = skin, logbook
        self.faces: dict[str, ReviewFace] = {}
        self.front: ReviewFace | None = None
        self.keys: dict[str, Key] = {}
        for title in FACES:
            key = self.keys[title] = Key(skin, self)
            key.struck.connect(partial(self.show_face, title))
        skin.changed.connect(self.lay_out)
        self.show_face(next(iter(FACES)))

    def show_face(self, title: str) -> None:
        """Bring a face to the front, by its title."""
        if title not in self.faces:
            made = FACES[title](self.skin, self.logbook)
            made.setParent(self)
            made.told.connect(self.told)
            self.faces[title] = made
        for name, face in self.faces.items():
            face.setVisible(name == title)
        self.front = self.faces[title]
        self.front.setFocus(Qt.FocusReason.OtherFocusReason)
        self.lay_out()

    def closeEvent(self, event: QCloseEvent) -> None:
        for face in self.faces.values():
            face.close()
        super().closeEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """Place the keys of the faces, and the front one below them."""
        px, pad = self.skin.px, self.skin.px(6)
        high = max(self.skin.mm(ROUTINE_TARGET_MM), px(40), self.skin.text_px(16) + px(20))
        room = (self.width() - 2 * pad) // len(self.keys)
        wide = min(room, round(px(FACE_KEY_PX) * self.skin.text))
        for place, (title, key) in enumerate(self.keys.items()):
            shown = self.front is not None and self.front.title == title
            key.show_face(replace(word_face(title, size=16), chosen=shown))
            key.setGeometry(pad + place * wide, pad, wide - px(8), high)
        if self.front is not None:
            self.front.setGeometry(0, pad + high, self.width(), self.height() - pad - high)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        Pen(painter, self.skin).fill(QRectF(self.rect()), Token.GROUND)
        painter.end()
