"""The fonts of page and sheet, with their licences; how wide a text is in them."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path
from threading import RLock

SANS, BOLD, SERIF = "BenchSans-Regular", "BenchSans-Semibold", "BenchSerif-Semibold"

LETTERING = {
    "serif": "BenchLettering-Serif",
    "sans": "BenchLettering-Sans",
    "bold": "BenchLettering-Bold",
    "script": "BenchLettering-Script",
}
"""Fonts that are engraved, by the word a design names them with."""

SINGLE_LINE = "line"
"""Word of the alphabet whose letters are single lines; it is drawn here and is no font file."""

LETTERING_WORDS = (*LETTERING, SINGLE_LINE)

NOT_SHOWN = "☐"
"""Stands for a letter that the fonts lack."""


WRITER = RLock()
"""Held while a PDF is written: a font of its writer keeps one reading position for all threads."""


def font_path(name: str) -> Path:
    """File of a font."""
    return Path(str(files("ringgeom.fonts") / f"{name}.ttf"))


def registered() -> bool:
    """Make the fonts known to the PDF writer, once."""
    with WRITER:
        return _registered()


@cache
def _registered() -> bool:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name in (SANS, BOLD, SERIF):
        pdfmetrics.registerFont(TTFont(name, str(font_path(name))))
    pdfmetrics.registerFontFamily(SANS, normal=SANS, bold=BOLD, italic=SANS, boldItalic=BOLD)
    return True


@cache
def _letters(name: str) -> frozenset[int]:
    from reportlab.pdfbase import pdfmetrics

    registered()
    return frozenset(pdfmetrics.getFont(name).face.charToGlyph)


def shown(text: str, name: str = SANS) -> str:
    """A text in which letters that the font lacks are a box, never a gap that nobody sees."""
    have = _letters(name)
    return "".join(c if ord(c) in have or c == "\n" else NOT_SHOWN for c in text)


def lacking(text: str, name: str = SANS) -> tuple[str, ...]:
    """Letters of a text that a font does not have."""
    have = _letters(name)
    return tuple(dict.fromkeys(c for c in text if ord(c) not in have and c != "\n"))


def width_mm(text: str, size_mm: float, *, bold: bool = False) -> float:
    """How wide a text is [mm]; sizes are those of the em."""
    from reportlab.pdfbase import pdfmetrics

    registered()
    return float(pdfmetrics.stringWidth(shown(text), BOLD if bold else SANS, size_mm))
