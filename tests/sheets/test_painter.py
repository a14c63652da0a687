"""The paper shows the same pictures as the screen: both are compared with sampled shapes."""

import io

import pypdfium2
import pytest
from reportlab.pdfgen.canvas import Canvas

from observe.look.marks import MarkLook, mark_shapes
from observe.look.shapes import Shapes, in_ink, moved
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token
from observe.sheets.blocks import Line, Place
from observe.sheets.painter import Painter
from observe.sheets.typeset import Style, width
from tests.look.raster import difference, enlarged, picture

EDGE = 4
FINE = 3
"""Px for each point of the page."""


def painted(shapes: Shapes, side: int) -> list[float]:
    """Ink of each px of a page that holds one picture."""
    out = io.BytesIO()
    whole = side + 2 * EDGE
    canvas = Canvas(out, pagesize=(whole, whole), invariant=1)
    Painter(canvas, whole).paint(moved(shapes, EDGE, EDGE))
    canvas.save()
    document = pypdfium2.PdfDocument(out.getvalue())
    bitmap = document[0].render(scale=FINE, grayscale=True)
    wide = whole * FINE
    rows = [bytes(bitmap.buffer)[row * bitmap.stride :][:wide] for row in range(wide)]
    document.close()
    darkest = min(min(row) for row in rows)
    return [(255 - grey) / (255 - darkest) for row in rows for grey in row]


@pytest.mark.parametrize("side", [14, 40])
@pytest.mark.parametrize("look", [*MarkLook, *SignLook])
def test_a_picture_on_paper_is_the_picture_of_its_shapes(
    look: MarkLook | SignLook, side: int
) -> None:
    shapes = mark_shapes(look, side) if isinstance(look, MarkLook) else sign_shapes(look, side)
    shapes = in_ink(shapes, Token.INK)
    whole = (side + 2 * EDGE) * FINE
    wanted = picture(enlarged(moved(shapes, EDGE, EDGE), FINE), whole, whole)
    rim = sum(0 < share < 1 for share in wanted) + 2 * FINE * side
    assert difference(painted(shapes, side), wanted) <= rim


def test_text_stands_at_its_baseline_and_places_are_left_free() -> None:
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(200, 100), invariant=1, pageCompression=0)
    style = Style(10, ink=Token.WRONG)
    line = Line(20, 30, "Remediate", style, width("Remediate", style))
    Painter(canvas, 100).paint((line, Place("decided", 5, 5, 20, 20)))
    canvas.save()
    assert b"1 0 0 1 20 70 Tm" in out.getvalue()
    assert b" re " not in out.getvalue()
