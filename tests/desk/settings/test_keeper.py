"""Settings hold at once and at the next start; a disk that refuses is told, never a defect."""

from __future__ import annotations

from pathlib import Path

from pytestqt.qtbot import QtBot

from observe.desk.settings.keeper import SettingsKeeper
from observe.desk.theme import Skin
from observe.domain.troubles import Surroundings
from observe.look.tokens import CONTRAST_DARK, DARK, LIGHT
from observe.work.settings import Settings, ThemeChoice, WritingHand, read_settings


def test_a_choice_holds_at_once_and_at_the_next_start(keeper: SettingsKeeper) -> None:
    keeper.choose(text=150, hand=WritingHand.LEFT)
    assert keeper.skin.text == 1.5
    assert keeper.skin.is_left
    again = SettingsKeeper(Skin(LIGHT), keeper.path)
    assert again.load() is None
    assert again.settings == keeper.settings
    assert again.skin.text == 1.5


def test_light_and_dark_by_their_own_key_are_kept_too(keeper: SettingsKeeper) -> None:
    keeper.skin.turn_over()
    assert keeper.skin.theme is DARK
    assert read_settings(keeper.path).settings.theme is ThemeChoice.DARK
    keeper.skin.turn_over()
    assert read_settings(keeper.path).settings.theme is ThemeChoice.LIGHT
    keeper.choose(theme=ThemeChoice.CONTRAST)
    keeper.skin.turn_over()
    assert keeper.skin.theme is CONTRAST_DARK
    assert read_settings(keeper.path).settings.theme is ThemeChoice.CONTRAST_DARK


def test_the_same_choice_again_writes_nothing(keeper: SettingsKeeper) -> None:
    keeper.choose(text=100)
    assert not keeper.path.exists()


def test_a_disk_that_refuses_is_told_and_the_choice_holds_for_now(
    skin: Skin, tmp_path: Path, qtbot: QtBot
) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_bytes(b"")
    keeper = SettingsKeeper(skin, in_the_way / "settings.json")
    with qtbot.waitSignal(keeper.told) as heard:
        keeper.choose(gloves=True)
    assert isinstance(heard.args[0], Surroundings)
    assert skin.gloves


def test_a_damaged_file_is_told_at_the_start(keeper: SettingsKeeper) -> None:
    keeper.path.parent.mkdir()
    keeper.path.write_text("{", encoding="utf-8")
    trouble = keeper.load()
    assert trouble is not None
    assert "damaged" in trouble.what
    assert keeper.settings == Settings()
