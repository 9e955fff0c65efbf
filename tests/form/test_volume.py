"""Volumes: they add up to the band, are those of the contract, and keep what they must."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from math import pi

import numpy as np
import pytest
from form import rings
from form.mixed import MIXED, Asked
from form.plain import TURN, PlainRing
from form.plain_volume import Key, band_mm3
from form.plain_volume import volumes as plain_volumes
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.form import quadrature
from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import NO_STOCK, Stock, ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.volume import volumes

EXAMPLES = settings(max_examples=20, deadline=None, derandomize=True)


def of_owners(asked: Asked, stock: Stock = NO_STOCK) -> dict[Key, float]:
    """Volume of every owner and segment, its pieces together [mm3]."""
    found: dict[Key, float] = defaultdict(float)
    for piece, volume in volumes(ring(*asked, stock), with_stock=stock is not NO_STOCK).items():
        found[piece.owner.kind, piece.owner.claim, piece.sector] += volume.volume_mm3
    return dict(found)


def total(asked: Asked, stock: Stock = NO_STOCK) -> float:
    return sum(of_owners(asked, stock).values())


@EXAMPLES
@given(asked=rings.rings(), stocked=st.booleans())
def test_everything_together_is_the_band(asked: Asked, stocked: bool) -> None:
    """Parts + gaps + recess - what is pressed into each other = the band, by Pappus."""
    stock = rings.STOCK if stocked else NO_STOCK
    if asked[0].proud_mm > 0:  # a place takes room above the outside and gives it to nobody
        asked = (replace(asked[0], proud_mm=0.0), asked[1])
    band = band_mm3(PlainRing(*asked, stock))
    # asked by the contract: 1e-9; pieces below 1e-6 mm3 are crumbs and are left out
    crumbs = 1e-6 * 10
    assert total(asked, stock) == pytest.approx(band, rel=1e-9, abs=crumbs)


@EXAMPLES
@given(asked=rings.rings(), stocked=st.booleans())
def test_no_volume_is_negative(asked: Asked, stocked: bool) -> None:
    for key, volume in of_owners(asked, rings.STOCK if stocked else NO_STOCK).items():
        assert (volume < 0) == (key[0] == "press"), key


def differences(found: dict[Key, float], expected: dict[Key, float]) -> dict[Key, float]:
    """By owner; what is pressed is compared in total."""
    known = {key: value for key, value in found.items() if key[0] != "press"}
    known["doubled", -1, None] = -sum(v for key, v in found.items() if key[0] == "press")
    return {k: known.get(k, 0.0) - expected.get(k, 0.0) for k in known.keys() | expected.keys()}


@EXAMPLES
@given(asked=rings.rings(waves=False), stocked=st.booleans())
def test_rings_that_turn_are_those_of_the_contract(asked: Asked, stocked: bool) -> None:
    stock = rings.STOCK if stocked else NO_STOCK
    expected = plain_volumes(PlainRing(*asked, stock), nodes=20)
    off = differences(of_owners(asked, stock), expected)
    # walls found by halving to 1e-13 mm on each side, times 2 pi and some 20 mm2/rad; pieces
    # below 1e-6 mm3 are left out of a ring
    assert max(map(abs, off.values())) < 2e-6, off


@pytest.mark.parametrize("stocked", [False, True], ids=["finished", "cast"])
@pytest.mark.parametrize("name", MIXED)
def test_mixed_rings_are_those_of_the_contract(name: str, stocked: bool) -> None:
    stock = rings.STOCK if stocked else NO_STOCK
    crossing = "crossing" in name
    plain = plain_volumes(PlainRing(*MIXED[name], stock), panels=60 if crossing else 12)
    off = max(map(abs, differences(of_owners(MIXED[name], stock), plain).values()))
    if crossing:
        # the plain integral misses a kink by the square of a panel, (2 pi/3/60)^2, of a slope of
        # some mm2, up to a dozen times round
        assert off < 5e-3
    else:
        # walls are found by halving on both sides; an arc that ends upright takes half the digits
        assert off < (1e-5 if "rounding" in name else 1e-9)


@pytest.mark.parametrize(
    "name", ["crossing a stripe", "two waves crossing", "stripes pressed over a liner", "recessed"]
)
def test_by_throwing_points(name: str) -> None:
    """Monte Carlo over the band: nothing but the contract's answer at a million points."""
    asked = MIXED[name]
    plain, random = PlainRing(*asked), np.random.default_rng(20251125)
    low, high = asked[0].inside_diameter_mm / 2, plain.crest + max(asked[0].proud_mm, 0.0)
    count = 1_000_000
    box = pi * (high**2 - low**2) * 2 * plain.half
    r = np.sqrt(random.uniform(low**2, high**2, count))
    hits = plain.owners(
        r, random.uniform(0, TURN, count), random.uniform(-1, 1, count) * plain.half
    )
    found = of_owners(asked)
    for (kind, claim), mask in hits.items():
        if kind != "doubled":
            share = float(mask.mean())
            sigma = box * np.sqrt(share * (1 - share) / count)
            # one in 16,000 lies beyond four standard errors; the seed is fixed
            assert abs(found.get((kind, claim, None), 0.0) - box * share) <= 4 * sigma, kind


@EXAMPLES
@given(
    width=st.floats(0.8, 2.5),
    depth=st.floats(0.4, 1.0),
    gap=st.floats(0.0, 0.08),
    under=st.floats(0.0, 0.15),
    wave=st.tuples(st.floats(0.1, 1.2), st.integers(1, 30), st.floats(-180, 180)),
)
def test_a_wave_on_a_flat_outside_moves_no_metal(
    width: float, depth: float, gap: float, under: float, wave: tuple[float, int, float]
) -> None:
    """A wave of constant axial width only shifts each section along the axis."""
    more = {"gap_mm": gap, "undercut_mm": under}
    straight = of_owners((rings.FLAT, [rings.channel(width, depth, **more)]))
    waving = of_owners((rings.FLAT, [rings.channel(width, depth, wave=rings.wave(*wave), **more)]))
    assert waving == {key: pytest.approx(value, rel=1e-10) for key, value in straight.items()}


@EXAMPLES
@given(asked=rings.rings(waves=False), slant=st.integers(-70, 70), count=st.integers(2, 12))
def test_slanted_segments_equal_straight_ones(asked: Asked, slant: int, count: int) -> None:
    """A joint that turns evenly along the axis shears the piece: every section keeps its turn."""
    band, places = asked
    under = [place for place in places if place.place in ("channel", "liner", "edges")]
    straight, slanted = (
        of_owners((band, [*under, rings.segments(count, slant_deg=float(s), depth_mm=0.9)]))
        for s in (0, slant)
    )
    assert slanted == {key: pytest.approx(value, rel=1e-12) for key, value in straight.items()}


def test_slanted_segments_share_a_wave_as_straight_ones_do() -> None:
    """Four segments round a wave of four weigh alike, slanted or not, and what they did before."""
    places = [rings.channel(gap_mm=0.03, wave=rings.wave(0.7, 4))]
    each = [
        of_owners((rings.form(), [*places, rings.segments(4, slant_deg=slant)]))
        for slant in (0.0, 35.0)
    ]
    for found in each:
        parts = [found["part", 1, n] for n in range(4)]
        assert parts == pytest.approx([parts[0]] * 4, rel=1e-12)
    assert sum(v for k, v in each[0].items() if k[1] == 1) == pytest.approx(
        sum(v for k, v in each[1].items() if k[1] == 1), rel=1e-12
    )


@EXAMPLES
@given(asked=rings.rings(), stocked=st.booleans())
def test_the_mirror_image_weighs_the_same(asked: Asked, stocked: bool) -> None:
    band, places = asked
    stock = rings.STOCK if stocked else NO_STOCK
    one = by_kind(band, places, stock)
    other = by_kind(band, [rings.mirrored(place) for place in places], stock)
    assert one.keys() == other.keys()
    for kind, some in one.items():
        # pieces change their numbers, rails their names, segments their order; where a wall
        # only touches another, the moment ends like a root and Gauss's rule is good to 1e-7 mm3
        assert other[kind] == pytest.approx(some, abs=1e-6), kind


def by_kind(band: RingForm, places: Sequence[AnyPlace], stock: Stock) -> dict[str, list[float]]:
    found: dict[str, list[float]] = defaultdict(list)
    for piece, volume in volumes(
        ring(band, places, stock), with_stock=stock is not NO_STOCK
    ).items():
        # crumbs are left out below 1e-6 mm3, and may fall on either side of it
        if abs(volume.volume_mm3) > 1e-5:
            found[piece.owner.kind].append(volume.volume_mm3)
    return {kind: sorted(some) for kind, some in found.items()}


@pytest.mark.parametrize("name", MIXED)
def test_finer_sampling_changes_nothing(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    coarse = of_owners(MIXED[name])
    monkeypatch.setattr(quadrature, "NODES_A_WAVE", 2 * quadrature.NODES_A_WAVE)
    monkeypatch.setattr(quadrature, "SCAN_A_WAVE", 2 * quadrature.SCAN_A_WAVE)
    finer = {size: np.polynomial.legendre.leggauss(40) for size in quadrature.GAUSS}
    monkeypatch.setattr(quadrature, "GAUSS", finer)
    fine = of_owners(MIXED[name])
    # where a wall runs along the upright end of a rounding, Gauss's rule converges slowly
    rel = 1e-6 if "rounding" in name else 1e-10
    assert fine == {key: pytest.approx(value, rel=rel) for key, value in coarse.items()}


@EXAMPLES
@given(asked=rings.rings())
def test_stock_only_adds(asked: Asked) -> None:
    """No part is lighter as cast than finished; those with an open face are heavier."""
    finished, cast = (of_owners(asked, stock) for stock in (NO_STOCK, rings.STOCK))
    for key, volume in finished.items():
        if key[0] in ("part", "body"):
            assert cast[key] >= volume * (1 - 1e-12), key
    outer = [key for key in finished if key[0] == "part"] or [("body", -1, None)]
    assert sum(cast[key] for key in outer) > sum(finished[key] for key in outer)


def test_mating_faces_have_no_stock() -> None:
    """An inlay grows by the stock on its top and nowhere else."""
    asked = (rings.FLAT, [rings.channel(2.4, 0.8, gap_mm=0.02)])
    crest = 17.35 / 2 + 1.9
    grown = of_owners(asked, rings.STOCK)["part", 0, None] - of_owners(asked)["part", 0, None]
    ring_on_top = pi * ((crest + 0.10) ** 2 - crest**2) * 2.36
    # differences of volumes of 115 mm3
    assert grown == pytest.approx(ring_on_top, rel=1e-12)


def test_segments_pressed_together_balance_too() -> None:
    """A negative gap between segments doubles metal as any press fit does."""
    asked = (rings.FLAT, [rings.segments(6, gap_mm=-0.02)])
    assert total(asked) == pytest.approx(band_mm3(PlainRing(*asked)), rel=1e-9)


@pytest.mark.parametrize(
    ("name", "by"), [("recessed and pressed", "closed form"), ("recessed", "quadrature")]
)
def test_how_it_was_found_is_said(name: str, by: str) -> None:
    found = volumes(ring(*MIXED[name]))
    assert {v.by for p, v in found.items() if p.owner.kind in ("part", "body")} == {by}
