"""Who keeps the settings: reads them at the start, shows them at once, writes each change."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal

from observe.desk.theme import Skin
from observe.domain.troubles import Surroundings, Trouble
from observe.work.settings import Settings, ThemeChoice, read_settings, write_settings


class SettingsKeeper(QObject):
    """The settings that hold now. `changed` follows every change, `told` a trouble or None."""

    changed = Signal()
    told = Signal(object)

    def __init__(self, skin: Skin, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.skin, self.path = skin, path
        self.settings = Settings()
        skin.turned_over.connect(self._turned_over)

    def load(self) -> Trouble | None:
        """Read the settings and show the desk in them; returns what a person should be told."""
        read = read_settings(self.path)
        self.settings = read.settings
        self.skin.apply(self.settings)
        self.changed.emit()
        return read.trouble

    def choose(self, **change: Any) -> None:  # noqa: ANN401 - fields of Settings, each with its own type
        """Change settings by the names of their fields: at once on the screen, then on disk.

        Where the disk refuses they hold until the desk is closed, and `told` says so.
        """
        settings = replace(self.settings, **change)
        if settings == self.settings:
            return
        self.settings = settings
        self.skin.apply(settings)
        self.changed.emit()
        try:
            write_settings(settings, self.path)
        except Surroundings as trouble:
            self.told.emit(trouble)
        else:
            self.told.emit(None)

    def _turned_over(self) -> None:
        """Light and dark changed places by a key of their own: that is a choice too."""
        if self.skin.is_contrast:
            dark, light = ThemeChoice.CONTRAST_DARK, ThemeChoice.CONTRAST
        else:
            dark, light = ThemeChoice.DARK, ThemeChoice.LIGHT
        self.choose(theme=dark if self.skin.is_dark else light)
