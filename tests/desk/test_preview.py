"""The sheet on the screen before it is issued."""

from PySide6.QtWidgets import QWidget

from observe.desk.preview import Preview
from observe.desk.theme import Skin
from tests.sheets.samples import excessive, longest, remediate


def test_its_pages_stand_below_each_other_and_are_read_out(skin: Skin, parent: QWidget) -> None:
    preview = Preview(skin)
    preview.setParent(parent)
    preview.show_sheet(remediate())
    assert len(preview.pages) == 2
    assert "Ravi Senapathi" in preview.accessibleName()
    wide = 900
    preview.resize(wide, preview.needed(wide))
    assert preview.height() > 2 * 1.3 * preview.skin.px(800)
    picture = preview.grab().toImage()
    colours = {
        picture.pixelColor(x, y).name() for x in range(100, 800, 9) for y in range(20, 900, 7)
    }
    assert len(colours) > 5


def test_as_many_pages_as_there_are(skin: Skin, parent: QWidget) -> None:
    preview = Preview(skin)
    preview.setParent(parent)
    for content in (longest(), excessive()):
        preview.show_sheet(content)
        preview.resize(700, preview.needed(700))
        preview.grab()
    assert len(preview.pages) > 2
