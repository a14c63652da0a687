"""A keeper of settings in a folder of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.desk.settings.keeper import SettingsKeeper
from observe.desk.theme import Skin
from observe.work.settings import NAME


@pytest.fixture
def keeper(skin: Skin, tmp_path: Path) -> SettingsKeeper:
    return SettingsKeeper(skin, tmp_path / "data" / NAME)
