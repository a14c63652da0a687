"""The faces that ship with the program, and where their files are.

Lato for reading: its figures share one width, it holds Latin, Greek, Cyrillic and
Vietnamese, and both painters can embed it. DejaVu Sans Mono for identifiers and
digests, where capital I and small l must differ. DejaVu Sans for scripts that
Lato lacks. Their licences lie beside them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from observe.look.tokens import Weight
from observe.places import resources


@dataclass(frozen=True, slots=True)
class Face:
    """One font file. css_weight: 400 regular to 900 black."""

    family: str
    css_weight: int
    italic: bool
    file_name: str

    @property
    def name(self) -> str:
        """A name of its own, as an embedded font needs it."""
        return self.file_name.removesuffix(".ttf")

    def path(self) -> Path:
        """The file. Raises `Surroundings` where the program's own files are missing."""
        return resources() / "fonts" / self.file_name


TEXT: Mapping[Weight, Face] = MappingProxyType(
    {
        Weight.REGULAR: Face("Lato", 400, italic=False, file_name="Lato-Regular.ttf"),
        Weight.MEDIUM: Face("Lato", 500, italic=False, file_name="Lato-Medium.ttf"),
        Weight.BOLD: Face("Lato", 700, italic=False, file_name="Lato-Bold.ttf"),
        Weight.BLACK: Face("Lato", 900, italic=False, file_name="Lato-Black.ttf"),
        Weight.ITALIC: Face("Lato", 400, italic=True, file_name="Lato-Italic.ttf"),
    }
)
CODE = Face("DejaVu Sans Mono", 400, italic=False, file_name="DejaVuSansMono.ttf")
OTHER_SCRIPTS = Face("DejaVu Sans", 400, italic=False, file_name="DejaVuSans.ttf")
OTHER_SCRIPTS_BOLD = Face("DejaVu Sans", 700, italic=False, file_name="DejaVuSans-Bold.ttf")

FACES: tuple[Face, ...] = (*TEXT.values(), CODE, OTHER_SCRIPTS, OTHER_SCRIPTS_BOLD)
"""Every face that ships."""
