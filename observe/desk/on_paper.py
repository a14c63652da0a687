"""A few lines on the printer that the person chooses."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtGui import QTextDocument
from PySide6.QtWidgets import QWidget


def page_of(title: str, lines: Sequence[str]) -> QTextDocument:
    """What is printed: the title, and each line as a paragraph; the first one large."""
    first, *rest = lines or ("",)
    document = QTextDocument()
    document.setHtml(
        f"<h2>{escape(title)}</h2><p style='font-size: 16pt'><code>{escape(first)}</code></p>"
        + "".join(f"<p>{escape(one)}</p>" for one in rest)
    )
    return document


def print_lines(parent: QWidget, title: str, lines: Sequence[str]) -> bool:
    """Print lines below a title; False where the person chose no printer."""
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(title)
    if QPrintDialog(printer, parent).exec() != QPrintDialog.DialogCode.Accepted:
        return False
    page_of(title, lines).print_(printer)
    return True
