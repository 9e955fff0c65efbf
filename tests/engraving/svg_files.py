"""Drawing files written for the tests."""

from __future__ import annotations

PAGE = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'width="{wide}" height="{high}" viewBox="{box}">{inside}</svg>'
)


def svg(inside: str, wide: str = "20mm", high: str = "10mm", box: str = "0 0 20 10") -> bytes:
    """A drawing file; by default one unit is one mm."""
    return PAGE.format(wide=wide, high=high, box=box, inside=inside).encode()
