"""Signing a sheet: PAdES B-B (ETSI EN 319 142-1), offline, with the signer's certificates inside.

All signature fields are made before the first signature locks the file to filling
them in (rule K2): whoever made the file signs now, the others later, each as a revision that
leaves the earlier bytes as they are.
"""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import datetime

from asn1crypto import keys as asn1_keys
from asn1crypto import x509 as asn1_x509
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.content import RawContent
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.layout import AxisAlignment, BoxConstraints, Margins, SimpleBoxLayoutRule
from pyhanko.pdf_utils.writer import BasePdfFileWriter
from pyhanko.sign.fields import (
    MDPPerm,
    SigFieldSpec,
    SigSeedSubFilter,
    append_signature_field,
    enumerate_sig_fields,
)
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner
from pyhanko.sign.signers.pdf_signer import PdfSigningSession
from pyhanko.stamp import StaticStampStyle
from pyhanko_certvalidator.registry import SimpleCertificateStore

from observe.domain.troubles import Refused
from observe.look.shapes import Rect
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import LIGHT
from observe.sheets.closing import READABLE
from observe.sheets.content import Part, SheetContent
from observe.sheets.report_content import FIELD
from observe.sheets.setting import Paper
from observe.sheets.sheet import Field, Unsigned, render
from observe.trust.keys import Key

_FIRST = frozenset({Part.DECIDED.value, FIELD})
_RESERVED = 6144
"""Bytes kept free for one signature; an EC P-256 one with its certificates takes about 3,000."""


def issue(content: SheetContent, key: Key, at: datetime, paper: Paper = Paper.A4) -> bytes:
    """A sheet drawn and signed: its signer part names the key that signs."""
    signer = replace(content.signer, key=key.label, fingerprint=key.fingerprint)
    return sign(render(replace(content, signer=signer), paper), key, at)


def sign(sheet: Unsigned, key: Key, at: datetime) -> bytes:
    """The sheet with its fields made and the first of them signed.

    at: the claimed time, with its offset. The first signature certifies the file:
    later only signature fields may be filled in.
    """
    writer = IncrementalPdfFileWriter(io.BytesIO(sheet.pdf))
    writer.document_meta.title = str(writer.prev.trailer["/Info"]["/Title"])  # into the XMP too
    for field in sheet.fields:
        append_signature_field(writer, _specification(field))
    _tie_to_structure(writer)
    first = next(one for one in sheet.fields if one.name in _FIRST)
    side = float(first.box[2] - first.box[0])
    return _signed(writer, first.name, key, at, side, certify=True)


def countersign(pdf: bytes, part: Part, key: Key, at: datetime) -> bytes:
    """A signed sheet with another place signed too, as a later revision (rule K2).

    Raises `Refused` where the sheet has no empty place for that part.
    """
    writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
    empty = {
        name: reference.get_object()
        for name, _, reference in enumerate_sig_fields(writer.prev, filled_status=False)
    }
    if part.value not in empty:
        raise Refused(
            f"This sheet has no empty place “{READABLE[part]}”.",
            remedy="It is signed there already, or its decision needs no such signature.",
        )
    left, _, right, _ = (float(number) for number in empty[part.value]["/Rect"])
    return _signed(writer, part.value, key, at, right - left, certify=False)


def _specification(field: Field) -> SigFieldSpec:
    return SigFieldSpec(
        sig_field_name=field.name,
        on_page=field.page,
        box=field.box,
        readable_field_name=READABLE[field.name],
    )


def _tie_to_structure(writer: IncrementalPdfFileWriter) -> None:
    """Each field into the element that waits for it (ISO 32000-1, 14.7.4.3 and 14.7.4.4)."""
    waiting = writer.root["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    fields = {str(one.get_object()["/T"]): one for one in writer.root["/AcroForm"]["/Fields"]}
    for place in range(0, len(waiting), 2):
        element = waiting[place + 1]
        if isinstance(element, generic.DictionaryObject):
            widget = fields[str(element["/T"])]
            annotation = widget.get_object()
            annotation[generic.pdf_name("/StructParent")] = waiting[place]
            page = annotation.raw_get("/P")
            tie = generic.DictionaryObject()  # type: ignore[no-untyped-call] # no types there
            tie[generic.pdf_name("/Type")] = generic.pdf_name("/OBJR")
            tie[generic.pdf_name("/Obj")] = widget
            tie[generic.pdf_name("/Pg")] = page
            element[generic.pdf_name("/K")] = tie
            writer.update_container(element)
            writer.update_container(annotation)


def _signed(
    writer: IncrementalPdfFileWriter,
    field: str,
    key: Key,
    at: datetime,
    side: float,
    *,
    certify: bool,
) -> bytes:
    metadata = PdfSignatureMetadata(
        field_name=field,
        md_algorithm="sha256",
        subfilter=SigSeedSubFilter.PADES,
        certify=certify,
        docmdp_permissions=MDPPerm.FILL_FORMS,
        name=key.name,
    )
    signer = _SignerAt(metadata, signer=_signer(key), stamp_style=_seal(side))
    signer.at = at
    out = io.BytesIO()
    signer.sign_pdf(writer, output=out, bytes_reserved=2 * _RESERVED)
    return out.getvalue()


def _signer(key: Key) -> SimpleSigner:
    """What signs with a key; the certificates above it go into the signature."""
    store = SimpleCertificateStore()  # type: ignore[no-untyped-call] # no types there
    for der in key.above:
        store.register(asn1_x509.Certificate.load(der))
    return SimpleSigner(
        signing_cert=asn1_x509.Certificate.load(key.certificate),
        signing_key=asn1_keys.PrivateKeyInfo.load(key.private),
        cert_registry=store,
    )


class _SignerAt(PdfSigner):
    """Claims a time handed in, not the clock's."""

    at: datetime

    def init_signing_session(
        self,
        pdf_out: BasePdfFileWriter,
        existing_fields_only: bool = False,  # noqa: FBT001, FBT002 - the library's own signature
    ) -> PdfSigningSession:
        session = super().init_signing_session(pdf_out, existing_fields_only)
        session.system_time = self.at
        return session


def _seal(side: float) -> StaticStampStyle:
    """The clamp: what stands in the field once it is signed."""
    red, green, blue = (int(LIGHT.ink[place : place + 2], 16) / 255 for place in (1, 3, 5))
    strokes = [f"{red:.4f} {green:.4f} {blue:.4f} rg"]
    for shape in sign_shapes(SignLook.SEALED, side):
        if isinstance(shape, Rect):
            y = side - shape.bottom
            strokes.append(f"{shape.x:.3f} {y:.3f} {shape.width:.3f} {shape.height:.3f} re f")
    content = RawContent(
        " ".join(strokes).encode("ascii"), box=BoxConstraints(width=side, height=side)
    )
    whole = SimpleBoxLayoutRule(
        x_align=AxisAlignment.ALIGN_MIN,
        y_align=AxisAlignment.ALIGN_MIN,
        margins=Margins(0, 0, 0, 0),
    )
    return StaticStampStyle(background=content, background_layout=whole, border_width=0)
