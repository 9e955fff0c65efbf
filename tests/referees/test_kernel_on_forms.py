"""The exact kernel weighs a band of every form, and what is let into it.

It builds each section from its second drawing and rounds the edges with its own fillets, so
it shares nothing with the program. Exact to about 1e-9; 1e-6 is asked.
"""

from __future__ import annotations

import math

import pytest
from form import rings
from form.outlines import BORES, FORMS, asked, band
from judging.checks import judged
from judging.programs import KERNEL
from referees.kernel_forms import formed
from referees.kernel_region import Region, polygon

from ringgeom.form.pieces import Piece
from ringgeom.form.ring import ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.section import BODY, Owner
from ringgeom.form.volume import volumes

WHY = "it rounds edges by fillets of its own, good to about 1e-9"
ENDLESS = (-math.inf, math.inf)


def between(form: RingForm, z: tuple[float, float], r: tuple[float, float]) -> Region:
    """A rectangle of the section plane, wherever it is not bounded carried past the band."""
    low, high = max(z[0], -form.width_mm), min(z[1], form.width_mm)
    deep, out = max(r[0], 1.0), min(r[1], form.band.crest_mm + 1.0)
    return polygon((deep, low), (out, low), (out, high), (deep, high))


@pytest.mark.parametrize("edge", [0.0, 0.15], ids=["sharp", "rounded"])
@pytest.mark.parametrize("inside", BORES)
@pytest.mark.parametrize("outside", FORMS)
def test_the_band(outside: str, inside: str, edge: float) -> None:
    form = band(outside, inside, edge_mm=edge)
    found = volumes(ring(form, []))[Piece(BODY)].volume_mm3
    theirs = sum(formed(asked(form), form.edge_mm).volumes)
    judged(KERNEL, "volume of a band of every form", found, theirs, rel=1e-6, why=WHY)


@pytest.mark.parametrize("outside", FORMS)
def test_a_channel_a_liner_and_a_stripe(outside: str) -> None:
    """An inlay off mid-width with its gap, over a liner, beside a stripe, all turned."""
    form = band(outside, "domed", edge_mm=0.15)
    inlay = rings.channel(
        1.2, 0.5, centre_mm=-0.4, gap_mm={"side": 0.04, "floor": 0.06}, name="inlay"
    )
    places = [rings.liner(0.6), inlay, rings.stripe(0.9, 3.0)]
    laid = ring(form, places)
    found = {p: v.volume_mm3 for p, v in volumes(laid).items() if p.owner.kind != "gap"}
    whole, bore, floor = (
        formed(asked(form), form.edge_mm),
        form.band.bore_mm,
        form.band.mid_mm - 0.5,
    )
    liner, rest = whole.parted(between(form, ENDLESS, (0.0, bore + 0.6)), "liner")
    metal, _ = rest.parted(between(form, (-0.96, 0.16), (floor + 0.06, math.inf)), "inlay")
    _, rest = rest.parted(between(form, (-1.0, 0.2), (floor, math.inf)), "channel")
    stripe, body = rest.parted(between(form, (0.9, math.inf), (0.0, math.inf)), "stripe")
    for owner, region in (
        (Owner("part", 0), liner),
        (Owner("part", 1), metal),
        (Owner("part", 2), stripe),
        (BODY, body),
    ):
        mine = sum(v for p, v in found.items() if p.owner == owner)
        what = "a channel, a liner and a stripe in every form"
        judged(KERNEL, what, mine, sum(region.volumes), rel=1e-6, why=WHY)
