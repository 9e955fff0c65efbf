"""Width of strokes: bars of known width, and letters that grow with their height."""

from __future__ import annotations

import pytest

from ringgeom.engraving.asked import Lettering
from ringgeom.engraving.row import row
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stems import LOST, stem_mm
from ringgeom.engraving.stroke import line


def bar(wide: float, high: float) -> Shape:
    corners = [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)]
    return Shape(
        (tuple(line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)),)
    )


@pytest.mark.parametrize("wide", [0.1, 0.25, 0.4])
def test_a_bar_is_as_wide_as_it_is(wide: float) -> None:
    # the search halves 2 mm eight times; a disc does not reach into the corners
    assert stem_mm((bar(wide, 2.0),)) == pytest.approx(wide, abs=0.012)


def test_what_is_thin_counts_by_its_area() -> None:
    """Thin strokes of more than a tenth of the area decide; of less they do not."""
    thick, thin = bar(0.5, 2.0), bar(0.1, 2.0).moved(2.0)
    assert LOST * (0.5 + 0.1) * 2 < 0.1 * 2
    assert stem_mm((thick, thin)) == pytest.approx(0.1, abs=0.012)
    serif = bar(0.1, 0.6).moved(2.0)
    assert stem_mm((thick, serif)) > 0.3


def test_letters_grow_with_their_height() -> None:
    low, high = (
        stem_mm(row(Lettering(kind="lettering", text="HELL", font="bold", height_mm=h)).shapes)
        for h in (1.0, 3.0)
    )
    assert high == pytest.approx(3 * low, rel=0.05)
