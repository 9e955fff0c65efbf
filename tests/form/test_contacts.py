"""Joints found from the partition: which faces meet, and their areas."""

from __future__ import annotations

from itertools import pairwise
from math import pi
from pathlib import Path

import numpy as np
import pytest

import ringgeom as rg
from ringgeom.form.contacts import Contact, contacts
from ringgeom.form.places import Channel, Edges, Gap, Liner, Stripe
from ringgeom.form.profiles import Domed, FlatFace
from ringgeom.form.ring import Ring, ring
from ringgeom.form.ring_form import RingForm
from ringgeom.form.volume import volumes

DESIGNS = sorted((Path(__file__).parents[2] / "designs").glob("*.toml"))
GOLD = "gold-750-green"


def band(*places: object, rise: float = 0.0, thickness: float = 2.0) -> Ring:
    outside = Domed(form="domed", rise_mm=rise) if rise else FlatFace(form="flat")
    form = RingForm(
        inside_diameter_mm=18.0,
        width_mm=6.0,
        thickness_mm=thickness,
        outside=outside,
        inside=FlatFace(form="flat"),
    )
    return ring(form, places)  # type: ignore[arg-type]


def channel(**keys: object) -> Channel:
    plain = {"name": "inlay", "place": "channel", "alloy": GOLD, "width_mm": 3.0, "depth_mm": 1.0}
    return Channel.model_validate({**plain, "gap_mm": 0.05, **keys})


def total(found: tuple[Contact, ...], kind: str) -> float:
    return sum(one.area_mm2 for one in found if one.kind == kind)


def test_the_filler_example() -> None:
    """Floor across 20, rails across 22, channel 3 wide: 320.44 mm2 (computed in the facts)."""
    found = contacts(band(channel()))
    assert [(one.kind, one.side) for one in found] == [("floor", 0), ("wall", -1), ("wall", 1)]
    assert total(found, "floor") == pytest.approx(pi * 20 * 3, rel=1e-12)
    assert total(found, "wall") == pytest.approx(2 * pi / 4 * (22**2 - 20**2), rel=1e-12)
    assert sum(one.area_mm2 for one in found) == pytest.approx(320.44, abs=0.005)
    assert all(one.gap_mm == pytest.approx(0.05, abs=1e-12) for one in found)


def test_gaps_of_their_own_and_a_press_fit() -> None:
    found = contacts(band(channel(gap_mm={"side": 0.03, "floor": 0.08})))
    assert {one.kind: round(one.gap_mm, 12) for one in found} == {"floor": 0.08, "wall": 0.03}
    pressed = contacts(band(channel(gap_mm={"side": -0.02, "floor": 0.05})))
    assert {one.kind: round(one.gap_mm, 12) for one in pressed} == {"floor": 0.05, "wall": -0.02}
    # the channel's own walls, whatever is pressed into them
    assert total(pressed, "wall") == pytest.approx(2 * pi / 4 * (22**2 - 20**2), rel=1e-12)


def test_a_liner_meets_the_body_above_it() -> None:
    liner = Liner.model_validate(
        {"name": "lining", "place": "liner", "alloy": GOLD, "thickness_mm": 0.8, "gap_mm": 0.04}
    )
    (one,) = contacts(band(liner))
    assert one.kind == "ceiling"
    assert one.area_mm2 == pytest.approx(pi * 2 * 9.8 * 6, rel=1e-12)
    assert one.gap_mm == pytest.approx(0.04, abs=1e-12)


def test_stripes_meet_at_rings_of_their_section() -> None:
    edges = Edges.model_validate(
        {"name": "edge", "place": "edges", "alloy": GOLD, "width_mm": 1.5, "gap_mm": 0.05}
    )
    found = contacts(band(edges))
    assert [(one.kind, one.side) for one in found] == [("wall", 1), ("wall", -1)]
    for one in found:
        assert one.area_mm2 == pytest.approx(pi * (11**2 - 9**2), rel=1e-12)


@pytest.mark.parametrize(("amplitude", "count"), [(0.4, 3), (1.0, 8)])
def test_a_waving_wall_is_larger(amplitude: float, count: int) -> None:
    """Derived: the surface z(angle), r, in triangles, by plain arithmetic."""
    wave = {"amplitude_mm": amplitude, "count": count}
    found = contacts(band(channel(wave=wave)))
    turn = np.linspace(0, 2 * pi, 40_001)
    z = amplitude * np.sin(count * turn)
    area = 0.0
    radii = np.linspace(10, 11, 41)
    for inner, outer in pairwise(radii):
        a, b = (np.stack([r * np.cos(turn), r * np.sin(turn), z], axis=1) for r in (inner, outer))
        for p, q, s in ((a[:-1], a[1:], b[:-1]), (b[:-1], b[1:], a[1:])):
            area += 0.5 * float(np.linalg.norm(np.cross(q - p, s - p), axis=1).sum())
    walls = [one.area_mm2 for one in found if one.kind == "wall"]
    # chords of 40 000 a turn and 40 bands a mm
    assert walls == pytest.approx([area, area], rel=1e-5)
    # a waving floor between waving walls is as large as a straight one
    assert total(found, "floor") == pytest.approx(pi * 20 * 3, rel=1e-9)


def test_an_undercut_wall_is_a_cone_on_each_side() -> None:
    """Derived: pi (R + r) s of a cone's frustum, undercut 0.2 over a depth of 1."""
    found = contacts(band(channel(undercut_mm=0.2)))
    walls = [one for one in found if one.kind == "wall"]
    assert [one.side for one in walls] == [-1, 1]
    for one in walls:
        assert one.area_mm2 == pytest.approx(pi * (10 + 11) * np.hypot(1, 0.2), rel=1e-9)


def test_a_waving_boundary_between_stripes() -> None:
    stripe = Stripe.model_validate(
        {
            "name": "sand",
            "place": "stripe",
            "alloy": GOLD,
            "from_mm": -3.0,
            "to_mm": 0.0,
            "wave": {"amplitude_mm": 0.5, "count": 5},
            "gap_mm": 0.05,
        }
    )
    (one,) = contacts(band(stripe))
    assert (one.kind, one.side) == ("wall", 1)
    assert one.area_mm2 > pi * (11**2 - 9**2)


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_joints_of_every_design_are_where_gaps_are(path: Path) -> None:
    """Volume of the gaps is about area times width: thin layers, so within a tenth."""
    job = rg.job(rg.read_design(path))
    assert job.ring is not None
    found = contacts(job.ring)
    assert found
    thin = [one for one in found if one.gap_mm > 0]
    room = sum(v.volume_mm3 for piece, v in volumes(job.ring).items() if piece.owner.kind == "gap")
    assert sum(one.area_mm2 * one.gap_mm for one in thin) == pytest.approx(room, rel=0.1, abs=0.01)
    assert all(one.gap_mm == Gap().side or abs(one.gap_mm) < 0.2 for one in found)
