"""The skin of the desk: colours of the theme, and sizes for the screen that is there."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QGuiApplication,
    QPalette,
    QScreen,
    QStyleHints,
)
from PySide6.QtWidgets import QApplication, QStyle

from observe.domain.troubles import Surroundings
from observe.look.fonts import CODE, FACES, OTHER_SCRIPTS, TEXT
from observe.look.tokens import (
    BAR_SHARE,
    CONTRAST,
    CONTRAST_DARK,
    DARK,
    HAND,
    LIGHT,
    SIGN_SHARE,
    TEXT_LINE,
    Density,
    Theme,
    Token,
    Weight,
    density,
    grown,
)
from observe.work.settings import Motion, Settings, ThemeChoice, WritingHand

MM_IN_INCH = 25.4
HAND_DPI = 149.0
"""The screen on which the sizes of the hand density are in px (10 inches, 1280 × 800)."""
DESK_DPI = 96.0
"""The same for the desk density."""
NS = 1_000_000_000
BAR_HEIGHT = (70, 62)
"""px of the bar at the hand and the desk density."""
BELIEVABLE_DPI = (50.0, 500.0)
"""Screens that report less or more do not know their own size."""
OTHER_GROUND = {LIGHT.name: DARK, DARK.name: LIGHT}
OTHER_GROUND |= {CONTRAST.name: CONTRAST_DARK, CONTRAST_DARK.name: CONTRAST}
"""Each theme by name, and the one with which it changes places."""
_CHOSEN = {
    ThemeChoice.LIGHT: LIGHT,
    ThemeChoice.DARK: DARK,
    ThemeChoice.CONTRAST: CONTRAST,
    ThemeChoice.CONTRAST_DARK: CONTRAST_DARK,
}


class Skin(QObject):
    """Colours, fonts and sizes; one for the whole desk.

    Sizes are given in px of the density's own screen and scaled to the one that
    is there, so that a key keeps its millimetres. text: scale of the text, 1 to 2;
    lengths that hold text grow with it, gaps and millimetres do not. hand, gloves:
    who presses. motion_reduced: nothing may move but at once. edge_full_ns: time without a
    look after which a seat's stretch of the table edge is full.
    """

    changed = Signal()
    turned_over = Signal()
    """The person turned from light to dark or back; `changed` came before it."""

    def __init__(self, theme: Theme = LIGHT, dots_per_inch: float = DESK_DPI) -> None:
        super().__init__()
        self.theme = theme
        self.text = 1.0
        self.hand = WritingHand.RIGHT
        self.gloves = False
        self.motion_reduced = False
        self.edge_full_ns = 180 * NS
        self._colours: dict[Token, QColor] = {}
        self._fonts: dict[tuple[float, Weight, bool], QFont] = {}
        self.set_screen(dots_per_inch)

    def set_screen(self, dots_per_inch: float) -> None:
        """Fit all sizes to a screen."""
        self.dots_per_inch = dots_per_inch
        self.density: Density = density(dots_per_inch)
        self.unit = dots_per_inch / (HAND_DPI if self.is_hand else DESK_DPI)
        self._fonts.clear()

    def apply(self, settings: Settings) -> None:
        """Show the desk as the settings say; everybody who listens lays out and repaints."""
        before = self._look()
        self._set_theme(_CHOSEN.get(settings.theme) or system_theme())
        self.text = settings.text / 100
        self.hand, self.gloves = settings.hand, settings.gloves
        self.edge_full_ns = settings.edge_full_s * NS
        reduced = settings.motion is Motion.REDUCED
        self.motion_reduced = reduced or (
            settings.motion is Motion.SYSTEM and system_motion_reduced()
        )
        self._fonts.clear()
        if self._look() != before:
            self.changed.emit()

    def _look(self) -> tuple[object, ...]:
        look = (self.theme, self.text, self.hand, self.gloves, self.motion_reduced)
        return (*look, self.edge_full_ns)

    def set_theme(self, theme: Theme) -> None:
        """Change the colours; everybody who listens repaints."""
        if theme is self.theme:
            return
        self._set_theme(theme)
        self.changed.emit()

    def _set_theme(self, theme: Theme) -> None:
        self.theme = theme
        self._colours.clear()

    def turn_over(self) -> None:
        """From light to dark, or back; high contrast stays high."""
        self.set_theme(OTHER_GROUND[self.theme.name])
        self.turned_over.emit()

    @property
    def is_dark(self) -> bool:
        return self.theme in (DARK, CONTRAST_DARK)

    @property
    def is_contrast(self) -> bool:
        return self.theme in (CONTRAST, CONTRAST_DARK)

    @property
    def is_left(self) -> bool:
        """Whether the left hand presses."""
        return self.hand is WritingHand.LEFT

    @property
    def is_hand(self) -> bool:
        """Whether the screen is read in the hand: 130 dots an inch and more."""
        return self.density is HAND

    def px(self, size: float) -> int:
        """Whole screen px for a size in px of the density; at least 1 for any size.

        A length that could hold a line of text grows with the text; a gap does not.
        """
        scale = self.unit * (self.text if size > TEXT_LINE else 1)
        return max(1, round(size * scale)) if size > 0 else 0

    def pick(self, hand: float, desk: float) -> int:
        """Screen px of a size that differs between the densities."""
        return self.px(hand if self.is_hand else desk)

    def still(self, hand: float, desk: float) -> int:
        """Screen px of a size that does not grow with the text."""
        return max(1, round((hand if self.is_hand else desk) * self.unit))

    def grows(self, hand: float, desk: float, share: float) -> int:
        """Screen px of a size that takes a share, 0 to 1, in the growth of the text."""
        return round(self.still(hand, desk) * (1 + (self.text - 1) * share))

    def sign(self, hand: float, desk: float) -> int:
        """Side in screen px of a mark or sign beside text."""
        return self.grows(hand, desk, SIGN_SHARE)

    @property
    def bar_height(self) -> int:
        """Screen px of the bar."""
        return self.grows(*BAR_HEIGHT, BAR_SHARE)

    def text_px(self, size: float) -> int:
        """Screen px of a text whose size is given in px of the density."""
        return max(1, round(grown(size, self.text) * self.unit))

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
            font.setPixelSize(self.text_px(size))
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
    """Dark where the system is dark, else light; in high contrast where it asks for that."""
    hints = QGuiApplication.styleHints()
    dark = hints.colorScheme() is Qt.ColorScheme.Dark
    if _wants_contrast(hints):
        return CONTRAST_DARK if dark else CONTRAST
    return DARK if dark else LIGHT


def _wants_contrast(hints: QStyleHints) -> bool:
    """Whether the system asks for high contrast; Qt tells from its version 6.10 on."""
    ask = getattr(hints, "accessibility", None)
    if ask is None:
        return False
    told = ask()
    return bool(told.contrastPreference() is Qt.ContrastPreference.HighContrast)


def system_motion_reduced() -> bool:
    """Whether the system asks for less motion: Qt's own widgets then have none."""
    if QApplication.instance() is None:
        return False
    style = QApplication.style()
    return style.styleHint(QStyle.StyleHint.SH_Widget_Animation_Duration) == 0
