"""Rules on motif inlays by their finest places, sought once the hand lets go."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules
from ringgeom.findings.on_figure_lines import SPACING_MM, runs_thin

if TYPE_CHECKING:
    from ringgeom.engraving.features import Features
    from ringgeom.engraving.pockets import Pockets

RULES: Rules[Laid] = Rules()


@RULES.add
def inserts_are_large_enough(laid: Laid) -> Iterator[Finding]:
    """Inserts, and metal standing within their drawing, too fine (common practice, no source)."""
    limit = laid.asking.shop.limits.wire_stop_mm
    for one in laid.insets:
        if one.host is None:
            continue
        insert, pocket = _finest(one.cut)
        single = one.cut.single
        for shape, thin, cut in (
            (single.insert, insert.cut, True),
            (single.pocket, pocket.metal, False),
        ):
            if thin is None or thin.mm >= limit - 1e-3:
                continue
            pointed = not runs_thin(shape, limit, cut=cut)
            yield Finding(
                code="thin-inlay" if cut else "thin-between",
                level="note" if pointed else "warn",
                part=one.asked.name,
                value=thin.mm,
                limit=limit,
                unit="mm",
                text=f"the inserts of {one.asked.name} are"
                + ("" if cut else " let in round metal")
                + f" only {thin.mm:.2f} mm wide at the finest"
                + (", in points" if pointed else ": too fine to cast, to pierce and to set"),
                fix="blunter points, or cut them with the graver"
                if pointed
                else f"larger, or bolder by {limit / max(thin.mm, 0.01):.1f} times",
                key=(*laid.key_of(one.number), "file"),
            )


@lru_cache(maxsize=32)
def _finest(cut: Pockets) -> tuple[Features, Features]:
    """The finest places of one insert, and of its pocket."""
    from ringgeom.engraving.features import features

    single = cut.single
    return (
        features(single.insert, cut.round_mm, SPACING_MM),
        features(single.pocket, cut.round_mm, SPACING_MM),
    )
