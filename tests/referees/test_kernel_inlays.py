"""Pockets and inserts of a motif, against the exact kernel that builds the same solids."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from engraving.drawn import inlay, job_in
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from referees import kernel_pieces
from referees.kernel_letters import letter
from referees.kernel_region import volume_mm3

import ringgeom as rg
from ringgeom.engraving.shape import Shape

ROUNDING_MM3 = 1e-8
"""The kernel's own integral is good to about this; 1e-6 is wanted."""

R2 = (Path(__file__).parents[1] / "published" / "r2.toml").read_text("utf-8")


def loops(shape: Shape) -> list[list[np.ndarray]]:
    return [[stroke.points for stroke in loop] for loop in shape.loops]


@pytest.mark.parametrize("keys", [{}, {"cutter_mm": 0.3, "file": "square.svg", "height_mm": 1.4}])
def test_pockets_and_inserts_on_a_cylinder(keys: dict[str, object], tmp_path: Path) -> None:
    """Every copy's pocket, and one insert of each: outlines on two cylinders, ruled between."""
    job = job_in(tmp_path, inlay(count=3, mirrored="no", **keys))
    (one,) = job.insets
    r = one.face.radius_mm
    pockets = sum(
        volume_mm3(solid)
        for shape in one.cut.pockets[:1]
        for solid in letter(loops(shape), r, r - 0.7, r)
    )
    assert one.pocket_mm3 == pytest.approx(3 * pockets, abs=ROUNDING_MM3)
    (alike,) = one.alike
    insert = sum(volume_mm3(s) for s in letter(loops(alike.shape), r, r - 0.7 + 0.03, r))
    assert alike.volume_mm3 == pytest.approx(insert, abs=ROUNDING_MM3)


def test_a_pocket_in_a_dome(tmp_path: Path) -> None:
    """Common metal of a leaf down to a flat floor and the band of the reference piece R2."""
    leaf = inlay(count=1, at=90, centre_mm=-2.05, height_mm=0.8, floor="flat", depth_mm=0.5)
    job_in(tmp_path, "")
    path = tmp_path / "ring.toml"
    path.write_text(R2 + leaf, "utf-8")
    job = rg.job(rg.read_design(path))
    (one,) = job.insets
    r = one.face.radius_mm
    dome = (3.0**2 + 0.35**2) / (2 * 0.35)
    floor = r - dome + (dome**2 - 2.05**2) ** 0.5 - 0.5
    band = kernel_pieces.built("R2")["band"]
    exact = sum(
        volume_mm3(BRepAlgoAPI_Common(solid, band).Shape())
        for solid in letter(loops(one.cut.pockets[0]), r, floor, r + 0.2)
    )
    assert one.pocket_mm3 == pytest.approx(exact, abs=ROUNDING_MM3)
