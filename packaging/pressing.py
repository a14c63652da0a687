"""Measure signed sheets beside bare reportlab and pyHanko: python pressing.py [--sheets N].

Prints, in one run: sheets a second of the program, on one core and on two; what the two
libraries take for the same letters and shapes on the same pages with one signature, nothing
measured, wrapped, attached or named; the ratio; bytes of a sheet; and peak memory as the number
of sheets grows. Run it with the program's own environment.
"""

from __future__ import annotations

import argparse
import io
import resource
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from asn1crypto import keys as asn1_keys
from asn1crypto import x509 as asn1_x509
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.signers import PdfSignatureMetadata, SimpleSigner, sign_pdf
from pyhanko_certvalidator.registry import SimpleCertificateStore
from reportlab.pdfgen.canvas import Canvas

from observe.look.shapes import Disc, Rect
from observe.look.tokens import LIGHT
from observe.sheets.blocks import Line, Place, seen_of
from observe.sheets.compose import Page, compose
from observe.sheets.content import SheetContent
from observe.sheets.setting import Paper
from observe.sheets.sign import issue
from observe.sheets.typeset import font
from observe.trust.keys import Key, make, opened
from tests.sheets.samples import ALL

KINDS = ("remediate", "undecided", "practice")
AT = datetime(2026, 3, 14, 16, 0, tzinfo=UTC)


def main(arguments: list[str]) -> int:
    """Measure and print; returns 0."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sheets", type=int, default=60)
    count = parser.parse_args(arguments).sheets
    key = opened(make("Dr Petra Lindqvale", AT))
    contents = [ALL[name]() for name in KINDS]
    pages = [compose(one, Paper.A4) for one in contents]
    ours = partial(issue, key=key, at=AT)
    for one, made in zip(contents, pages, strict=True):  # Warm both, fonts and all.
        size = len(ours(one))
        bare(made, key)
    own = _seconds(count, lambda at: ours(contents[at % len(contents)]))
    floor = _seconds(count, lambda at: bare(pages[at % len(pages)], key))
    print(f"one core: {1 / own:.1f} sheets a second; bare libraries {1 / floor:.1f}")
    print(f"ratio of times: {own / floor:.2f} (goal 1.5)")
    begun = time.perf_counter()
    with ProcessPoolExecutor(2) as pool:
        list(pool.map(_some, [count, count]))
    print(f"two cores, with their start: {2 * count / (time.perf_counter() - begun):.1f} a second")
    print(f"bytes of a signed sheet: {size:,}")
    for more in (count, 5 * count, 10 * count):
        _seconds(more, lambda at: ours(contents[at % len(contents)]))
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"after {more:,} more: peak memory {peak:.0f} MB")
    return 0


def _some(count: int) -> None:
    key = opened(make("Dr Petra Lindqvale", AT))
    contents: list[SheetContent] = [ALL[name]() for name in KINDS]
    for at in range(count):
        issue(contents[at % len(contents)], key, AT)


def _seconds(count: int, work: object) -> float:
    """Seconds for one, the mean over some."""
    begun = time.perf_counter()
    for at in range(count):
        work(at)  # type: ignore[operator] # a function
    return (time.perf_counter() - begun) / count


def bare(pages: tuple[Page, ...], key: Key) -> bytes:
    """The same letters and shapes by the two libraries alone."""
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=Paper.A4.size, pageCompression=1, invariant=1)
    for page in pages:
        for item in seen_of(page.items):
            if isinstance(item, Line):
                canvas.setFillColor(LIGHT.colour(item.style.ink))
                canvas.setFont(font(item.style.faces[0]).fontName, item.style.size)
                canvas.drawString(item.x, page.height - item.y, item.text)
            elif not isinstance(item, Place):
                canvas.setFillColor(LIGHT.colour(item.ink))
                if isinstance(item, Rect):
                    y = page.height - item.bottom
                    canvas.rect(item.x, y, item.width, item.height, stroke=0, fill=1)
                elif isinstance(item, Disc):
                    canvas.circle(item.x, page.height - item.y, item.radius, stroke=0, fill=1)
                else:
                    path = canvas.beginPath()
                    path.moveTo(item.points[0][0], page.height - item.points[0][1])
                    for x, y in item.points[1:]:
                        path.lineTo(x, page.height - y)
                    canvas.drawPath(path, stroke=0, fill=1)
        canvas.showPage()
    canvas.save()
    signer = SimpleSigner(
        signing_cert=asn1_x509.Certificate.load(key.certificate),
        signing_key=asn1_keys.PrivateKeyInfo.load(key.private),
        cert_registry=SimpleCertificateStore(),  # type: ignore[no-untyped-call] # no types there
    )
    signed = sign_pdf(
        IncrementalPdfFileWriter(io.BytesIO(out.getvalue())),
        PdfSignatureMetadata(field_name="decided"),
        signer=signer,
    )
    return bytes(signed.getvalue())


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
