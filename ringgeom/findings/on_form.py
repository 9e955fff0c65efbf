"""Rules on the forms of outside and bore: their measures, their edges, their ridges."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ringgeom.errors import ShapeError
from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Rules
from ringgeom.findings.on_size import LEAST_THICKNESS_MM
from ringgeom.form.places import Channel
from ringgeom.form.profiles import Domed, KnifeEdge
from ringgeom.form.ring import Stock, ring

RULES: Rules[Asking] = Rules()

RIDGE_MM = 0.2
"""A ridge rounded by this is still crisp to the eye (common practice, no source)."""


@RULES.add
def form_fits(a: Asking) -> Iterator[Finding]:
    """Measures of a form that do not go with the band's width or thickness."""
    for (key, form), misfits in zip(a.asked_forms, a.misfits, strict=True):
        domed = isinstance(form, Domed)
        for one in misfits:
            yield Finding(
                code="dome-too-high" if domed else "form-does-not-fit",
                level="stop",
                value=one.value,
                limit=one.limit,
                unit="mm",
                text=f"an {key} {one.text}" if domed else f"the {key}: {one.text}",
                fix=one.fix,
                key=("ring", key) if domed else ("ring", key, one.key),
            )


@RULES.add
def wall_at_edges(a: Asking) -> Iterator[Finding]:
    """Forms that leave no wall at the band's edges."""
    (outer, inner), thick = a.rises_mm, a.form.thickness_mm
    if thick - outer - inner >= -1e-9:
        return
    domed = all(form.plain or isinstance(form, Domed) for _, form in a.asked_forms)
    yield Finding(
        code="dome-larger-than-wall",
        level="stop",
        value=outer + inner,
        limit=thick,
        unit="mm",
        text=f"domes of {outer:g} and {inner:g} mm leave no wall at the edges of a band "
        f"{thick:g} mm thick"
        if domed
        else f"at the edges the outside falls by {outer:g} mm and the bore rises by {inner:g} mm, "
        f"which leaves nothing there of a band {thick:g} mm thick",
        fix=f"rises adding up to {thick:g} mm at most, or a thicker band"
        if domed
        else f"together {thick:g} mm at most, or a thicker band",
        key=("ring", "outside" if outer >= inner else "inside"),
    )


@RULES.add
def wall_between(a: Asking) -> Iterator[Finding]:
    """A hollow or a valley that comes down to the bore, or nearly."""
    if a.form.thickness_mm < LEAST_THICKNESS_MM or a.least_wall is None:
        return
    wall, at = a.least_wall
    if wall < LEAST_THICKNESS_MM:
        yield Finding(
            code="form-does-not-fit",
            level="stop",
            value=wall,
            limit=LEAST_THICKNESS_MM,
            unit="mm",
            text=f"{abs(at):.2f} mm from mid-width the outside leaves {max(wall, 0.0):.2f} mm of "
            "wall over the bore: thinner than any band",
            fix="a shallower outside, or a band thicker by "
            f"{LEAST_THICKNESS_MM - wall:.2f} mm or more",
            key=("ring", "outside"),
        )


@RULES.add
def frame_fits(a: Asking) -> Iterator[Finding]:
    """Rounded edges and stock, judged by drawing the empty frame."""
    if not a.form_fits or a.least_wall is None or a.least_wall[0] <= 0:
        return
    stock = a.shop.stock
    try:
        _ = ring(a.form, (), Stock(**stock.model_dump())).cast
    except ShapeError as error:
        yield Finding(
            code="edge-rounding",
            level="stop",
            value=a.form.edge_mm,
            unit="mm",
            text=str(error),
            fix="a smaller edge_mm",
            key=("ring", "edge_mm"),
        )


@RULES.add
def sharp_ridge(a: Asking) -> Iterator[Finding]:
    """Common practice, no source."""
    outside = a.form.outside
    if isinstance(outside, KnifeEdge) and outside.sharp:
        yield Finding(
            code="sharp-ridge",
            level="note",
            value=0.0,
            limit=RIDGE_MM,
            unit="mm",
            text="a knife edge drawn to a point is rounded as it is polished and worn, and marks "
            "the rings beside it",
            fix=f"round_mm = {RIDGE_MM:g}, or a small flat",
            key=("ring", "outside"),
        )


@RULES.add
def undercut_breaks_out(a: Asking) -> Iterator[Finding]:
    """An undercut wall that comes out of the metal again, through a step or a steep fall."""
    plain = a.empty_ring
    if plain is None:
        return
    outside = plain.finished.outside
    for key, place in a.places():
        if not isinstance(place, Channel) or not place.undercut_mm:
            continue
        swing = place.wave.amplitude_mm if place.wave else 0.0
        for out, at in zip((-1, 1), place.walls_mm(), strict=True):
            if a.band.on_edge(at):
                continue
            mouths = at + swing * np.linspace(-1.0, 1.0, 9 if swing else 1)
            share = np.linspace(0.02, 1.0, 60)[:, None]
            top, foot = outside.r(mouths), a.band.mid_mm - place.depth_mm
            over = outside.r(mouths + out * place.undercut_mm * share)
            lip = over - (top + (foot - top) * share)
            broken = np.argwhere((lip < 0) & (top > foot))
            if broken.size:
                n, m = broken[0]
                where = float(mouths[m] + out * place.undercut_mm * share[n, 0])
                yield Finding(
                    code="runs-out",
                    level="stop",
                    part=place.name,
                    value=place.undercut_mm,
                    limit=place.undercut_mm * float(share[n, 0]),
                    unit="mm",
                    text=f"the undercut of {place.undercut_mm:g} mm breaks out through the outside "
                    f"{abs(where):.2f} mm from mid-width: the lip over it would fall off",
                    fix="a smaller undercut_mm, or the channel further from where it falls",
                    key=(*key, "undercut_mm"),
                )
                break
