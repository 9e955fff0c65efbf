"""The partition of the section: it tiles the band, and every point has its owner."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from form import rings
from form.plain import TURN, PlainRing
from form.plain_volume import band_mm3, moments
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import NO_STOCK, Ring, ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.section import Cell, Section

EXAMPLES = settings(max_examples=40, deadline=None, derandomize=True)
Asked = tuple[RingForm, list[AnyPlace]]

# Not on any symmetry of a wave, and one beyond the turn.
ANGLES = np.array([0.1234, 1.7, 2.9, 4.4444, 6.1, 7.3])


def laid(asked: Asked, stocked: bool) -> tuple[Ring, PlainRing]:
    stock = rings.STOCK if stocked else NO_STOCK
    return ring(*asked, stock), PlainRing(*asked, stock)


@EXAMPLES
@given(asked=rings.rings(), stocked=st.booleans())
def test_cells_tile_the_band_at_every_angle(asked: Asked, stocked: bool) -> None:
    """Every cell counted once makes the whole moment of the section, between any cuts."""
    made, plain = laid(asked, stocked)
    outside = max(asked[0].proud_mm, 0.0)
    if outside:  # above the outside a place takes room and gives it to nobody
        return
    for which, section in made.sections(ANGLES, with_stock=stocked):
        whole = sum(section.moment(cell) for cell in section.cells)
        # a sum of some forty moments of at most 300 mm3 each, all of one ring
        assert np.broadcast_to(whole, which.shape) == pytest.approx(
            np.full(which.size, band_mm3(plain) / TURN), rel=1e-12
        )


@EXAMPLES
@given(asked=rings.rings(), stocked=st.booleans())
def test_cells_of_a_column_lie_apart(asked: Asked, stocked: bool) -> None:
    made, _ = laid(asked, stocked)
    for _, section in made.sections(ANGLES, with_stock=stocked):
        assert (np.diff(section.cuts, axis=0) > -1e-9).all()
        for one, two in combinations(section.cells, 2):
            if one.column == two.column:
                spans = sorted(levels(section, cell) for cell in (one, two))
                assert spans[0][1] <= spans[1][0] + 1e-9


def levels(section: Section, cell: Cell) -> tuple[float, float]:
    at = section.middle(cell.column)
    low, high = (section.seen_r(index, cell.column, at) for index in (cell.low, cell.high))
    return low, high


@EXAMPLES
@given(asked=rings.rings(), stocked=st.booleans(), seed=st.integers(0, 2**32 - 1))
def test_every_point_has_the_owner_of_the_contract(asked: Asked, stocked: bool, seed: int) -> None:
    """Random points of the ring, asked of the partition and of the contract read plainly."""
    made, plain = laid(asked, stocked)
    random = np.random.default_rng(seed)
    crest = plain.crest + 0.3
    r = random.uniform(asked[0].inside_diameter_mm / 2 - 0.2, crest, 200)
    z = random.uniform(-plain.half, plain.half, 200)
    for which, section in made.sections(ANGLES, with_stock=stocked):
        for index in which.tolist():
            turn = ANGLES[index] + made.twist * z
            expected = plain.owners(r, turn, z)
            column = int(np.flatnonzero(which == index)[0]) if section.turns else 0
            found = held(section, column, r, z)
            for key, mask in expected.items():
                if key[0] != "doubled":
                    assert (found.get(key, np.zeros(200, bool)) == mask).all(), (key, index)


def held(section: Section, column: int, r: np.ndarray, z: np.ndarray) -> dict:
    """Which points each owner's cells hold, at one angle of a section."""
    found: dict[tuple[str, int], np.ndarray] = {}
    for cell in section.cells:
        start, end = (float(section.cuts[cell.column + side, column]) for side in (0, 1))
        inside = (z >= start) & (z < end)
        for i in np.flatnonzero(inside):
            low, high = (
                radius(section, k, cell.column, column, z[i]) for k in (cell.low, cell.high)
            )
            if low <= r[i] < high:
                for owner in cell.owners:
                    mine = found.setdefault((owner.kind, owner.claim), np.zeros(z.size, bool))
                    mine[i] = True
    return found


def radius(section: Section, index: int, piece: int, column: int, z: float) -> float:
    values = section.curve(index, piece).r(np.array([z]))
    return float(values[column if values.size > 1 else 0])


@EXAMPLES
@given(asked=rings.rings(), stocked=st.booleans())
def test_moments_are_those_of_the_contract(asked: Asked, stocked: bool) -> None:
    """Integral of r dr dz of every owner at every angle, to what the plain integral can tell."""
    made, plain = laid(asked, stocked)
    expected = moments(plain, ANGLES, 20)
    doubled = expected.pop(("doubled", -1))
    found = {key: np.zeros(ANGLES.size) for key in expected}
    twice = np.zeros(ANGLES.size)
    for which, section in made.sections(ANGLES, with_stock=stocked):
        for cell in section.cells:
            twice[which] += (len(cell.owners) - 1) * section.moment(cell)
            for owner in cell.owners:
                found[owner.kind, owner.claim][which] += section.moment(cell)
    for key, value in expected.items():
        # a floor that meets a rounding near its upright end: there Gauss's rule is good to 1e-7
        assert found[key] == pytest.approx(value, abs=1e-6), key
    assert twice == pytest.approx(doubled, abs=1e-6)


def test_the_order_written_decides() -> None:
    """Of two channels over each other the first has the metal, the second what is left."""
    wide, narrow = rings.channel(3.0, 0.9, name="wide"), rings.channel(1.0, 0.4, name="narrow")
    for places, held_by in (((narrow, wide), (0, 1)), ((wide, narrow), (0, 0))):
        made = ring(rings.FLAT, places)
        ((_, section),) = made.sections(np.zeros(1))
        found = held(section, 0, np.array([10.4, 9.9]), np.zeros(2))
        for point, owner in enumerate(held_by):
            assert [key for key, mask in found.items() if mask[point]] == [("part", owner)]


def test_one_group_where_the_order_holds_and_more_where_it_changes() -> None:
    """A wave over a stripe's boundary parts the turn; a wave by itself does not."""
    around = np.linspace(0, TURN, 48, endpoint=False)
    waving = rings.channel(1.2, 0.8, wave=rings.wave(1.4, 3))
    assert len(ring(rings.form(), [waving]).sections(around)) == 1
    crossing = ring(rings.form(), [waving, rings.stripe(-3.0, 0.0)]).sections(around)
    assert len(crossing) > 1
    assert sorted(np.concatenate([which for which, _ in crossing])) == list(range(48))
