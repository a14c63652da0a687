"""The skin of the desk: colours of the theme, and sizes for the screen that is there."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QGuiApplication, QPalette, QScreen

from observe.domain.troubles import Surroundings
from observe.look.fonts import CODE, FACES, OTHER_SCRIPTS, TEXT
from observe.look.tokens import DARK, HAND, LIGHT, Density, Theme, Token, Weight, density

MM_IN_INCH = 25.4
HAND_DPI = 149.0
"""The screen on which the sizes of the hand density are in px (10 inches, 1280 × 800)."""
DESK_DPI = 96.0
"""The same for the desk density."""
BAR_HEIGHT = (70, 62)
"""px of the bar at the hand and the desk density."""
BELIEVABLE_DPI = (50.0, 500.0)
"""Screens that report less or more do not know their own size."""


class Skin(QObject):
    """Colours, fonts and sizes; one for the whole desk.

    Sizes are given in px of the density's own screen and scaled to the one that
    is there, so that a key keeps its millimetres.
    """

    changed = Signal()

    def __init__(self, theme: Theme = LIGHT, dots_per_inch: float = DESK_DPI) -> None:
        super().__init__()
        self.theme = theme
        self._colours: dict[Token, QColor] = {}
        self._fonts: dict[tuple[float, Weight, bool], QFont] = {}
        self.set_screen(dots_per_inch)

    def set_screen(self, dots_per_inch: float) -> None:
        """Fit all sizes to a screen."""
        self.dots_per_inch = dots_per_inch
        self.density: Density = density(dots_per_inch)
        self.unit = dots_per_inch / (HAND_DPI if self.is_hand else DESK_DPI)
        self._fonts.clear()

    def set_theme(self, theme: Theme) -> None:
        """Change the colours; everybody who listens repaints."""
        if theme is self.theme:
            return
        self.theme = theme
        self._colours.clear()
        self.changed.emit()

    def turn_over(self) -> None:
        """From light to dark, or back."""
        self.set_theme(LIGHT if self.is_dark else DARK)

    @property
    def is_dark(self) -> bool:
        return self.theme is DARK

    @property
    def is_hand(self) -> bool:
        """Whether the screen is read in the hand: 130 dots an inch and more."""
        return self.density is HAND

    def px(self, size: float) -> int:
        """Whole screen px for a size in px of the density; at least 1 for any size."""
        return max(1, round(size * self.unit)) if size > 0 else 0

    def pick(self, hand: float, desk: float) -> int:
        """Screen px of a size that differs between the densities."""
        return self.px(hand if self.is_hand else desk)

    def mm(self, millimetres: float) -> int:
        """Whole screen px for a length on the glass."""
        return round(millimetres * self.dots_per_inch / MM_IN_INCH)

    def colour(self, token: Token) -> QColor:
        """The colour of a token in the theme."""
        if token not in self._colours:
            self._colours[token] = QColor(self.theme.colour(token))
        return self._colours[token]

    def font(self, size: float, weight: Weight = Weight.REGULAR, *, code: bool = False) -> QFont:
        """A face of the text family. size: px of the density; code: for digests and paths."""
        key = (size, weight, code)
        if key not in self._fonts:
            face = CODE if code else TEXT[weight]
            font = QFont([face.family, OTHER_SCRIPTS.family])
            font.setPixelSize(max(1, round(size * self.unit)))
            font.setWeight(QFont.Weight(face.css_weight))
            font.setItalic(face.italic)
            self._fonts[key] = font
        return self._fonts[key]

    def palette(self) -> QPalette:
        """The colours for Qt's own widgets: text fields, scroll bars."""
        palette = QPalette()
        roles = {
            QPalette.ColorRole.Window: Token.GROUND,
            QPalette.ColorRole.WindowText: Token.INK,
            QPalette.ColorRole.Base: Token.WELL,
            QPalette.ColorRole.Text: Token.INK,
            QPalette.ColorRole.Button: Token.KEY,
            QPalette.ColorRole.ButtonText: Token.INK,
            QPalette.ColorRole.PlaceholderText: Token.INK2,
            QPalette.ColorRole.Highlight: Token.ACT,
            QPalette.ColorRole.HighlightedText: Token.WELL,
        }
        for role, token in roles.items():
            palette.setColor(role, self.colour(token))
        return palette


def register_faces() -> None:
    """Make the bundled faces known to Qt, before the first paint.

    Raises `Surroundings` if one of the program's own font files cannot be used.
    """
    for face in FACES:
        path = face.path()
        if QFontDatabase.addApplicationFont(str(path)) < 0:
            raise Surroundings(
                "A font of the program cannot be read.",
                where=str(path),
                remedy="Install the program again; your logbook is kept apart and is not touched.",
            )


def dots_per_inch(screen: QScreen) -> float:
    """The physical dots an inch of a screen; the logical ones if it does not know its size."""
    physical = screen.physicalDotsPerInch()
    low, high = BELIEVABLE_DPI
    return physical if low <= physical <= high else screen.logicalDotsPerInch()


def system_theme() -> Theme:
    """Dark where the system is dark, else light."""
    scheme = QGuiApplication.styleHints().colorScheme()
    return DARK if scheme is Qt.ColorScheme.Dark else LIGHT
