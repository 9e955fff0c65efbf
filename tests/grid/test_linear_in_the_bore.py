"""A section, measured from the bore, is the same at every size: its volumes are linear in it."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from grid.many_designs import BY_ITSELF, DRAWN, EXAMPLES, TEXTS, design_named

import ringgeom as rg
from ringgeom.findings import Asking
from ringgeom.form.measure import build
from ringgeom.form.raised import raised, same_section
from ringgeom.form.ring import Ring, Stock, ring
from ringgeom.form.volume import volumes
from ringgeom.grid.sized import sized
from ringgeom.sketch import asking_of

LAID = [name for name in (*EXAMPLES, *TEXTS) if name != "no body"]


def asking_at(name: str, bore_mm: float) -> Asking:
    design = design_named(name)
    asked = design.ring.model_copy(update={"size": f"{bore_mm} mm across"})
    return asking_of(design.model_copy(update={"ring": asked}), rg.Shop())


def laid(asking: Asking) -> Ring:
    stock = Stock(**asking.shop.stock.model_dump())
    return ring(asking.form, asking.design.parts, stock)


@pytest.mark.parametrize("name", LAID)
def test_a_raised_ring_is_the_ring_laid_out_there(name: str) -> None:
    small, large = asking_at(name, 14.25), asking_at(name, 21.5)
    drawn, there = laid(small), laid(large)
    moved = raised(drawn, small.design.parts, 21.5)
    assert moved.form == there.form
    for with_stock in (False, True):
        found, expected = (volumes(one, with_stock=with_stock) for one in (moved, there))
        assert set(found) == set(expected)
        for piece, volume in expected.items():
            # rounding of radii of 10 mm in a part of 1e-3 mm3 and more
            assert found[piece].volume_mm3 == pytest.approx(volume.volume_mm3, rel=1e-10)
    for piece in (p for p in volumes(there, with_stock=True) if p.owner.kind in ("part", "body")):
        mine, other = (build(one, piece, with_stock=True) for one in (moved, there))
        assert mine.length_mm == pytest.approx(other.length_mm, rel=1e-12)
        assert mine.perimeter_mm == pytest.approx(other.perimeter_mm, rel=1e-12)
        assert mine.stand.radius_mm == pytest.approx(other.stand.radius_mm, rel=1e-12)


def test_pappus_on_a_plain_band() -> None:
    """Derived: V = pi w t (d + t), so pi w t more for every mm of bore."""
    askings = [replace(asking_at("plain", bore)) for bore in (12.0, 16.0, 23.0)]
    form = askings[0].form
    flat = type(form.inside)()
    askings = [
        replace(one, form=replace(one.form, outside=flat, inside=flat, edge_mm=0.0))
        for one in askings
    ]
    ((_, found),) = sized(askings)
    assert not isinstance(found, Exception)
    w, t = form.width_mm, form.thickness_mm
    for bore, volume in zip((12.0, 16.0, 23.0), found.volume_mm3[0], strict=True):
        assert volume == pytest.approx(pi * w * t * (bore + t), rel=1e-13)


@pytest.mark.parametrize("name", [name for name in LAID if name not in DRAWN])
def test_two_sizes_are_laid_out_for_all(name: str) -> None:
    askings = [asking_at(name, bore) for bore in (21.0, 15.5, 17.75, 15.5)]
    ((order, found),) = sized(askings)
    assert order == (1, 3, 2, 0)
    assert not isinstance(found, Exception)
    assert found.volume_mm3.shape[1] == 4
    assert found.volume_mm3[:, 0] == pytest.approx(found.volume_mm3[:, 1], rel=1e-15)


@pytest.mark.parametrize("name", BY_ITSELF)
def test_waves_beside_segments_are_not_taken_for_linear(name: str) -> None:
    askings = [asking_at(name, bore) for bore in (15.5, 18.0, 21.0)]
    # what is engraved is another at each size where the section is not
    assert bool(askings[0].design.engravings) or not same_section(laid(askings[0]))
    assert [numbers for numbers, _ in sized(askings)] == [(0,), (1,), (2,)]
