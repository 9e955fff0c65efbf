"""Gaps measured on the solids themselves, by manifold3d: as designed, before and after the shrink.

Axisymmetric parts agree within 1 micrometre, waving ones within 2. On a wave the gap is set
along the axis; across the slope two walls are nearer, by the shortest normal of two like waves.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import manifold3d
import numpy as np
import pytest
from judging.checks import judged
from judging.programs import KERNEL, MANIFOLD
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from referees import kernel

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.form.mesh import Mesh
from ringgeom.form.solid import solids
from ringgeom.jobs import Job
from ringgeom.making.wave_path import wave_path
from ringgeom.making.wax import waxes

ROOT = Path(__file__).parents[2]
CHORD_MM = 0.0005
"""Facets share one angle grid, so that gaps are off by far less than a chord."""

STILL_MM, WAVING_MM = 0.001, 0.002
WHY = "a tenth of the least that a bench can tell"

SEARCH_MM = 1.0


def solid(mesh: Mesh) -> manifold3d.Manifold:
    return manifold3d.Manifold(
        manifold3d.Mesh64(np.array(mesh.vertices), np.array(mesh.faces, dtype=np.uint64))
    )


def finished(job: Job, chord_mm: float = CHORD_MM) -> dict[str, manifold3d.Manifold]:
    assert job.ring is not None
    meshes = solids(job.ring, chord_mm=chord_mm)
    return {part.name: solid(meshes[part.piece]) for part in job.parts if part.piece in meshes}


def cast(job: Job) -> dict[str, manifold3d.Manifold]:
    """Every wax shrunk by its own alloy's shrink, as the metal does it."""
    assert job.ring is not None
    sprues = {p.name: s for c in job.castings for p, s in zip(c.parts, c.sprues, strict=True)}
    found = {}
    for wax in waxes(job.ring, job.parts, sprues, job.shop):
        left = 1 - wax.part.scale.cast_percent / 100
        found[wax.part.name] = solid(wax.mesh.scaled(left))
    return found


def ring(*parts: dict[str, Any], body: bool = True, shop: rg.Shop | None = None) -> Job:
    asked: dict[str, Any] = {
        "job": {"name": "Trial"},
        "ring": {"size": "18 mm across", "width_mm": 6.0, "thickness_mm": 2.0},
        "part": list(parts),
    }
    if body:
        asked["body"] = {"alloy": "gold-750-yellow-3n"}
    return rg.job(Design.model_validate(asked), shop)


CHANNEL = {
    "name": "inlay",
    "place": "channel",
    "alloy": "gold-750-green",
    "width_mm": 2.0,
    "depth_mm": 0.8,
}
LINER = {"name": "liner", "place": "liner", "alloy": "silver-925", "thickness_mm": 0.8}


@pytest.mark.parametrize("made", [finished, cast], ids=["finished", "cast"])
@pytest.mark.parametrize(
    ("parts", "between", "gap"),
    [
        (({**CHANNEL, "gap_mm": {"side": 0.2, "floor": 0.05}},), ("inlay", "body"), 0.05),
        (({**CHANNEL, "gap_mm": {"side": 0.03, "floor": 0.2}},), ("inlay", "body"), 0.03),
        (({**CHANNEL, "gap_mm": 0.04, "centre_mm": -2.0},), ("inlay", "body"), 0.04),
        (({**LINER, "gap_mm": 0.06},), ("liner", "body"), 0.06),
        (
            (
                {**LINER, "gap_mm": 0.06, "thickness_mm": 0.6},
                {**CHANNEL, "depth_mm": 0.6, "gap_mm": 0.02},
            ),
            ("inlay", "body"),
            0.02,
        ),
    ],
)
def test_axisymmetric_gaps(
    made: Callable[[Job], dict[str, manifold3d.Manifold]],
    parts: tuple[dict[str, Any], ...],
    between: tuple[str, str],
    gap: float,
) -> None:
    """Each alloy with a shrink of its own: the gap is still the one asked for."""
    shrinks = {"gold-750-green": 1.7, "silver-925": 1.1, "gold-750-yellow-3n": 1.3}
    shop = rg.Shop.model_validate({"shrink": {"alloy": shrinks}, "mesh": {"chord_mm": CHORD_MM}})
    found = made(ring(*parts, shop=shop))
    one, other = (found[name] for name in between)
    what = "gaps that turn, finished and as cast [mm]"
    judged(MANIFOLD, what, gap, one.min_gap(other, SEARCH_MM), abs=STILL_MM, why=WHY)


@pytest.mark.parametrize(("amplitude", "count"), [(0.5, 3), (1.0, 5), (0.8, 9)])
def test_waving_gaps(amplitude: float, count: int) -> None:
    """Derived: two like waves 0.05 apart along the axis; nearest down at the floor."""
    wave = {"amplitude_mm": amplitude, "count": count}
    found = finished(ring({**CHANNEL, "wave": wave, "gap_mm": {"side": 0.05, "floor": 0.2}}))
    # the floor lies at 10.2, the inlay's foot at 10.4, where its walls stand nearest
    nearest = wave_path(
        amplitude_mm=amplitude, count=count, radius_mm=10.4, band_width_mm=0.05
    ).narrowest_mm
    measured = found["inlay"].min_gap(found["body"], SEARCH_MM)
    judged(MANIFOLD, "gaps that wave [mm]", nearest, measured, abs=WAVING_MM, why=WHY)
    assert measured < 0.05


def test_the_floor_under_a_wave() -> None:
    wave = {"amplitude_mm": 0.8, "count": 5}
    found = finished(ring({**CHANNEL, "wave": wave, "gap_mm": {"side": 0.3, "floor": 0.05}}))
    measured = found["inlay"].min_gap(found["body"], SEARCH_MM)
    judged(MANIFOLD, "gaps under what waves [mm]", 0.05, measured, abs=WAVING_MM, why=WHY)


def test_slanted_segments() -> None:
    """Derived: 0.05 square to the joint outside; its wedge is narrower inside by the radius."""
    place = {
        "name": "brick",
        "place": "segments",
        "alloys": ["gold-750-green", "silver-925"],
        "count": 6,
        "gap_mm": 0.05,
    }
    found = finished(ring({**LINER, "gap_mm": 0.2}, place, body=False))
    for number in range(1, 6):
        one, other = found[f"brick {number}"], found[f"brick {number + 1}"]
        # the pieces stand on the liner, across 9.8
        measured = one.min_gap(other, SEARCH_MM)
        what = "gaps between segments [mm]"
        judged(MANIFOLD, what, 0.05 * 9.8 / 11, measured, abs=STILL_MM, why=WHY)


@pytest.mark.parametrize("path", sorted((ROOT / "designs").glob("*.toml")), ids=lambda p: p.stem)
def test_no_two_parts_of_a_design_touch_where_a_gap_was_asked(path: Path) -> None:
    """The least gap of every pair is that of its joints, less what a slope takes from it."""
    job = rg.job(rg.read_design(path))
    found = finished(job, chord_mm=0.005)
    pairs: dict[tuple[str, str], float] = {}
    for joint in job.joints:
        if joint.kind == "segment face" or not set(joint.between) <= set(found):
            continue  # a wedge, measured by itself above; inserts, in test_kernel_inlays.py
        gap = min(joint.gap_mm, pairs.get(joint.between, 9.9))
        pairs[joint.between] = gap
    assert pairs
    for between, gap in pairs.items():
        one, other = (found[name] for name in between)
        measured = one.min_gap(other, SEARCH_MM)
        if job.ring is not None and not job.ring.turns and not job.ring.twist:
            what = "gaps of the example designs that turn [mm]"
            judged(MANIFOLD, what, gap, measured, abs=STILL_MM, why=WHY)
        else:
            assert 0.5 * gap <= measured <= gap + WAVING_MM, between


@pytest.mark.parametrize("name", ["heron", "plover", "tideline"])
def test_the_exact_kernel_measures_the_same_gaps(name: str) -> None:
    """Solids that the kernel built from the design file's contract alone, its own distance."""
    path = ROOT / f"designs/{name}.toml"
    job = rg.job(rg.read_design(path))
    asked = tomllib.loads(path.read_text(encoding="utf-8"))
    exact = kernel.solids(asked, job.made.inside_diameter_mm)
    ours = finished(job)
    waves = job.ring is not None and bool(job.ring.waves)
    for between in {joint.between for joint in job.joints}:
        if min(j.gap_mm for j in job.joints if j.between == between) <= 0:
            continue  # they touch, and there is nothing to measure
        one, other = (exact[part] for part in between)
        measured = BRepExtrema_DistShapeShape(one, other).Value()
        own = ours[between[0]].min_gap(ours[between[1]], SEARCH_MM)
        what = f"gaps of example designs, {'waving' if waves else 'still'} [mm]"
        least = WAVING_MM if waves else STILL_MM
        judged(KERNEL, what, own, measured, abs=least, why=WHY)
        if not waves:
            gap = min(j.gap_mm for j in job.joints if j.between == between)
            what, why = "gaps as they were asked for [mm]", "its own tolerance is 1e-7"
            judged(KERNEL, what, gap, measured, abs=1e-6, why=why)
