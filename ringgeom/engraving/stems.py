"""How thick the strokes of letters are: the widest tool that still cuts nearly all of them."""

from __future__ import annotations

from functools import lru_cache

from ringgeom.engraving.shape import Shape

LOST = 0.1
"""Share of the letters' area that may be thinner: serifs and tips."""

CHORD_MM = 0.003
SEARCHES = 8


@lru_cache(maxsize=64)
def stem_mm(shapes: tuple[Shape, ...]) -> float:
    """Width of the strokes of some letters, nine tenths of whose area is at least as wide [mm].

    Found by opening the outlines with a disc: what a disc of that width cannot reach is thinner.
    """
    from manifold3d import CrossSection, FillRule, JoinType

    found = CrossSection(
        [loop for shape in shapes for loop in shape.polylines(CHORD_MM)], FillRule.NonZero
    ).simplify(CHORD_MM)
    area = found.area()
    low, high = 0.0, max(b[3] - b[2] for b in (shape.bounds_mm for shape in shapes))
    for _ in range(SEARCHES):
        middle = 0.5 * (low + high)
        opened = found.offset(-middle / 2, JoinType.Round, 2.0, 24)
        opened = opened.offset(middle / 2, JoinType.Round, 2.0, 24)
        if opened.area() >= (1 - LOST) * area:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
