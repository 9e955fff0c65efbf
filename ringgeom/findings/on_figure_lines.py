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
                fix="nothing for the graver; blunter points for a caster or a wide beam"
                if drawn_out
                else f"larger, or coarser by {limit / max(thin.mm, 0.01):.1f} times",
                key=("engraving", one.number),
            )


@lru_cache(maxsize=64)
def runs_thin(shape: Shape, limit_mm: float, *, cut: bool) -> bool:
    """Whether a thin place runs on for a while; a point does not, however sharp.

    What a disc as wide as the limit does not reach is looked at: at a point it is a short tip.
    """
    from ringgeom.engraving.flat import polygon_of

    whole, half = polygon_of(shape, CHORD_MM), 0.5 * limit_mm * (1 - 1e-3)
    if cut:
        lost = whole.difference(whole.buffer(-half).buffer(half))
    else:
        lost = whole.buffer(half).buffer(-half).difference(whole)
    return any(
        hypot(one.bounds[2] - one.bounds[0], one.bounds[3] - one.bounds[1]) > TIP * limit_mm
        for one in getattr(lost, "geoms", [lost])
        if not one.is_empty
    )


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
