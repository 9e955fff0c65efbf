"""Rules on motifs and patterns by their finest places, sought once the hand lets go."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import hypot
from typing import TYPE_CHECKING

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules

if TYPE_CHECKING:
    from ringgeom.engraving.features import Features
    from ringgeom.engraving.figures import Figures
    from ringgeom.engraving.shape import Shape

RULES: Rules[Laid] = Rules()

SPACING_MM = 0.03
"""Of the points along an outline: a place of 0.08 mm is told 3 um too wide at most."""

CHORD_MM = 0.005
ARC_PIECES = 48
FILM_MM = 0.001
"""What comes back this near to the outline has not been lost: no film is left along its sides."""

TIP = 4.0
"""A thin place longer than so many times the limit is no point."""


@RULES.add
def figures_are_large_enough(laid: Laid) -> Iterator[Finding]:
    """Cuts, and metal left between them, too fine (common practice, no source)."""
    limits = laid.asking.shop.limits
    for one in laid.engraved:
        if one.figures is None or len(one.carved) != 1:
            # facets of many depths have no metal between them, and are as large as asked
            continue
        limit = limits.letter_cast_warn_mm if one.cast_in else limits.letter_line_warn_mm
        from ringgeom.engraving.features import Features, Thin

        found = thinnest(one.figures)
        apart = one.figures.apart_mm
        if apart and (found.metal is None or apart < found.metal.mm):
            found = Features(cut=found.cut, metal=Thin(mm=apart, at_mm=(0.0, 0.0), over_mm=0.0))
        for cut, thin in ((True, found.cut), (False, found.metal)):
            if thin is None or thin.mm >= limit - 1e-3:
                continue
            drawn_out = (apart or limit) >= limit and not runs_thin(
                _seen(one.figures), limit, cut=cut
            )
            tool = "print and cast" if one.cast_in else "engrave cleanly"
            yield Finding(
                code="thin-cut" if cut else "thin-between",
                level="note" if drawn_out else "warn",
                value=thin.mm,
                limit=limit,
                unit="mm",
                text=f"{one.words} {'is cut' if cut else 'leaves metal'} only {thin.mm:.2f} mm "
                "wide at its finest" + (", in points" if drawn_out else f": too fine to {tool}"),
                fix="nothing for a graver; blunter points for casting or a wide beam"
                if drawn_out
                else f"larger, or coarser by {limit / max(thin.mm, 0.01):.1f} times"
                + (f", or line_mm = {limit:g}" if cut and one.lines else ""),
                key=("engraving", one.number),
            )


@lru_cache(maxsize=64)
def runs_thin(shape: Shape, limit_mm: float, *, cut: bool) -> bool:
    """Whether a thin place runs on for a while; a point does not, however sharp.

    What a disc as wide as the limit does not reach is looked at: at a point it is a short tip.
    """
    from manifold3d import CrossSection, FillRule, JoinType

    def grown(one: CrossSection, by_mm: float) -> CrossSection:
        return one.offset(by_mm, JoinType.Round, 2.0, ARC_PIECES)

    whole = CrossSection(shape.polylines(CHORD_MM), FillRule.NonZero)
    half = 0.5 * limit_mm * (1 - 1e-3)
    if cut:
        lost = whole - grown(grown(whole, -half), half + FILM_MM)
    else:
        lost = grown(grown(whole, half), -half - FILM_MM) - whole
    ends = [one.bounds() for one in lost.decompose()]
    return any(hypot(x1 - x0, y1 - y0) > TIP * limit_mm for x0, y0, x1, y1 in ends)


@lru_cache(maxsize=32)
def _seen(figures: Figures) -> Shape:
    """One copy where a motif's copies are apart, else all."""
    if figures.single is not None and figures.apart_mm != 0:
        return figures.single
    from ringgeom.engraving.shape import joined

    return joined(cut.shape for cut in figures.cuts)


@lru_cache(maxsize=32)
def thinnest(figures: Figures) -> Features:
    """The thinnest places of a figure; of one copy where a motif's copies are apart."""
    from ringgeom.engraving.features import features

    return features(_seen(figures), figures.round_mm, SPACING_MM)
