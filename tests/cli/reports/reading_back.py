"""Reading a PDF back: its text by page, and its pages."""

from __future__ import annotations

import io

from pypdf import PdfReader

NAMES = (
    "#text(red)[x] $x$ *b* _i_ `c` @ref <label> // \\ ",
    '<b>"quoted"</b> \' & &amp; &P \\u{41}',
    "=1+1",
    "=cmd|' /C calc'!A0",
    "+1",
    "-1",
    "@SUM(A1)",
    "Süd, стена, τοίχος",
    "קיר דרום",
    "日本の家 🧱",
    "W" * 80,
)
"""Names that some output could take for markup or a formula, or has no letters for."""


def pages(content: bytes) -> list[str]:
    """Give the text of each page."""
    return [page.extract_text() for page in PdfReader(io.BytesIO(content)).pages]


def words(content: bytes) -> str:
    """Give the text of all pages with single blanks, zero-width breaks left out."""
    return " ".join(" ".join(pages(content)).replace("\u200b", "").split())


def size(content: bytes) -> tuple[int, int]:
    """Give width and height of the first page. [pt]"""
    box = PdfReader(io.BytesIO(content)).pages[0].mediabox
    return round(box.width), round(box.height)
