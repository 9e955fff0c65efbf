"""Sheets that are written at the same moment, in threads of one program."""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor

from ringgeom.sheet.paper import document, paper_named, para, section


def page(number: int) -> bytes:
    """A page whose letters are its own: each needs other glyphs of the fonts."""
    letters = "".join(chr(code) for code in range(0xC0 + number, 0x17F, 3))
    flow = [section(f"{number} {letters}"), para(letters)]
    return document(flow, paper_named("A4"), title=str(number), foot=letters)


def test_they_do_not_read_each_others_fonts() -> None:
    """Found: the font of the PDF writer has one reading position; a page ended in a traceback."""
    alone = [page(number) for number in range(24)]
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        with ThreadPoolExecutor(8) as runs:
            assert list(runs.map(page, range(24))) == alone
    finally:
        sys.setswitchinterval(before)
