"""A PDF canvas that attaches a file and writes a structure, for which the library has no way."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from reportlab.pdfbase import pdfdoc
from reportlab.pdfgen.canvas import Canvas

from observe.sheets.structure import Element, Stretch, Structure
from observe.sheets.tags import Role

_SCOPE = b"/A<</O/Table/Scope/Row>>"


class SheetCanvas(Canvas):
    """What is written by hand here stands in ISO 32000-1 under the numbers given."""

    _code: list[str]
    _doc: Any  # what the types of the library leave out is just what is needed

    def write(self, words: str) -> None:
        """Drawing instructions as they are."""
        self._code.append(words)

    def attach(self, name: str, kept: bytes, described: str) -> None:
        """Canonical JSON as an associated file of the document (ISO 32000-2, 7.11.4, 14.13)."""
        document = self._doc
        stream = pdfdoc.PDFStream(
            dictionary=pdfdoc.PDFDictionary(
                {
                    "Type": pdfdoc.PDFName("EmbeddedFile"),
                    "Subtype": "/application#2Fjson",
                    "Params": pdfdoc.PDFDictionary({"Size": len(kept)}),
                }
            ),
            content=kept,
            filters=[pdfdoc.PDFZCompress],
        )
        title = pdfdoc.PDFString(name)
        specification = document.Reference(
            pdfdoc.PDFDictionary(
                {
                    "Type": pdfdoc.PDFName("Filespec"),
                    "F": title,
                    "UF": title,
                    "Desc": pdfdoc.PDFString(described),
                    "AFRelationship": pdfdoc.PDFName("Data"),
                    "EF": pdfdoc.PDFDictionary({"F": document.Reference(stream)}),
                }
            )
        )
        names = pdfdoc.PDFArray([title, specification])
        catalog = document.Catalog
        catalog.Names = pdfdoc.PDFDictionary(
            {"EmbeddedFiles": pdfdoc.PDFDictionary({"Names": names})}
        )
        catalog.AF = pdfdoc.PDFArray([specification])
        catalog.__NoDefault__ = [*catalog.__NoDefault__, "AF"]

    def structured(self, structure: Structure) -> None:
        """The tree of all that was painted, 14.7; call it behind the last page.

        The places for signatures have their numbers in the parent tree behind those of the
        pages, in their order; whoever makes the fields ties them to it (`sign`).
        """
        document = self._doc
        pages = document.Pages.pages
        for number, page in enumerate(pages):
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents = number
            page.Tabs = pdfdoc.PDFName("S")
        catalog = document.Catalog
        catalog.StructTreeRoot = _Tree(structure, pages)
        catalog.MarkInfo = pdfdoc.PDFDictionary({"Marked": "true"})
        self.setViewerPreference("DisplayDocTitle", "true")


class _Object(pdfdoc.PDFObject):
    """An object of its own whose words are made when all others have their numbers."""

    __RefOnly__ = 1

    def __init__(self, words: Callable[[Any], bytes]) -> None:
        self._words = words

    def format(self, document: Any) -> bytes:  # noqa: ANN401 - the library's, without types
        return self._words(document)


class _Tree(_Object):
    """The root of the structure with its parent tree, 14.7.2 and 14.7.4.4."""

    def __init__(self, structure: Structure, pages: list[Any]) -> None:
        super().__init__(self._root)
        self._pages = pages
        self._structure = structure
        self._objects: Mapping[Element, _Object] = {
            element: _Object(self._words_of(element)) for element in structure.document.all()
        }

    def _root(self, document: Any) -> bytes:  # noqa: ANN401 - the library's, without types
        def reference(element: Element) -> bytes:
            return _number(document, self._objects[element])

        lists = [
            b"[" + b" ".join(map(reference, owners)) + b"]" for owners in self._structure.pages
        ]
        forms = [one for one in self._objects if one.tag.role is Role.FORM]
        entries = [*lists, *map(reference, forms)]
        numbers = b" ".join(b"%d %b" % entry for entry in enumerate(entries))
        return b"<</Type/StructTreeRoot/K %b/ParentTree<</Nums[%b]>>/ParentTreeNextKey %d>>" % (
            reference(self._structure.document),
            numbers,
            len(entries),
        )

    def _words_of(self, element: Element) -> Callable[[Any], bytes]:
        def words(document: Any) -> bytes:  # noqa: ANN401 - the library's, without types
            above = self._objects[element.parent] if element.parent else self
            parts = [b"<</S/%b/P %b" % (element.tag.role.encode(), _number(document, above))]
            if any(isinstance(kid, Stretch) for kid in element.kids):
                parts.append(b"/Pg %b" % _number(document, self._pages[element.page]))
            kids = [self._kid(document, element, kid) for kid in element.kids]
            if len(kids) == 1:
                parts.append(b"/K %b" % kids[0])
            elif kids:
                parts.append(b"/K[%b]" % b" ".join(kids))
            parts.extend(_attributes(document, element))
            return b"".join((*parts, b">>"))

        return words

    def _kid(self, document: Any, element: Element, kid: Element | Stretch) -> bytes:  # noqa: ANN401 - the library's, without types
        if isinstance(kid, Element):
            return _number(document, self._objects[kid])
        if kid.page == element.page:
            return b"%d" % kid.number
        page = _number(document, self._pages[kid.page])
        return b"<</Type/MCR/Pg %b/MCID %d>>" % (page, kid.number)


def _number(document: Any, thing: object) -> bytes:  # noqa: ANN401 - the library's, without types
    return bytes(document.Reference(thing).format(document))


def _attributes(document: Any, element: Element) -> list[bytes]:  # noqa: ANN401 - the library's, without types
    """Words for what is drawn (14.9.3), a figure's box and the scope of a head (14.8.5)."""
    found = []
    if element.tag.said:
        found.append(b"/Alt" + bytes(pdfdoc.PDFString(element.tag.said).format(document)))
    if element.place:
        found.append(b"/T" + bytes(pdfdoc.PDFString(element.place).format(document)))
    if element.box:
        found.append(b"/A<</O/Layout/BBox[%d %d %d %d]>>" % element.box)
    if element.tag.role is Role.HEAD:
        found.append(_SCOPE)
    return found
