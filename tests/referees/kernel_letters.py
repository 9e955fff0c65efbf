"""Letters in an exact B-rep kernel: outlines laid on two cylinders, ruled between, cut from a ring.

Nothing of the package is imported: a letter is its loops, each a list of control polygons in mm,
x round the ring at a radius and y across it, islands to the left and holes to the right.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Sewing,
)
from OCP.BRepFill import BRepFill
from OCP.BRepLib import BRepLib
from OCP.collections import Array1_gp_Pnt2d
from OCP.Geom import Geom_CylindricalSurface
from OCP.Geom2d import Geom2d_BezierCurve
from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt, gp_Pnt2d
from OCP.TopoDS import TopoDS
from referees.kernel_region import CannotJudge, Shape

Loop = Sequence[np.ndarray]
SEWN_MM = 1e-6


def letter(loops: Sequence[Loop], radius_mm: float, low_mm: float, high_mm: float) -> list[Shape]:
    """The solids of a letter between two radii, its sides along the radius."""
    islands = [loop for loop in loops if _area(loop) > 0]
    holes = [loop for loop in loops if _area(loop) < 0]
    found = []
    for island in islands:
        mine = [hole for hole in holes if _inside(hole[0][0], island)]
        found.append(_solid([island, *mine], radius_mm, low_mm, high_mm))
    return found


def _solid(loops: Sequence[Loop], radius: float, low: float, high: float) -> Shape:
    sewing = BRepBuilderAPI_Sewing(SEWN_MM)
    skins = [
        Geom_CylindricalSurface(gp_Ax3(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)), r) for r in (low, high)
    ]
    wires: list[list[Any]] = [[], []]
    for loop in loops:
        edges: list[list[Any]] = [[], []]
        for points in loop:
            for n, skin in enumerate(skins):
                edges[n].append(_edge(points, radius, skin))
        for one, two in zip(*edges, strict=True):
            sewing.Add(BRepFill.Face_s(one, two))
        for n in range(2):
            wire = BRepBuilderAPI_MakeWire()
            for edge in edges[n]:
                wire.Add(edge)
            wires[n].append(wire.Wire())
    for n, skin in enumerate(skins):
        face = BRepBuilderAPI_MakeFace(skin, wires[n][0])
        for hole in wires[n][1:]:
            face.Add(hole)
        sewing.Add(face.Face())
    sewing.Perform()
    if sewing.NbFreeEdges():
        raise CannotJudge(f"the kernel left {sewing.NbFreeEdges()} edges of a letter open")
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell(sewing.SewedShape())).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid


def _edge(points: np.ndarray, radius: float, skin: Any) -> Any:
    """A stroke on a cylinder, by its curve in angle and height."""
    poles = Array1_gp_Pnt2d(1, len(points))
    for n, (x, y) in enumerate(points.tolist()):
        poles.SetValue(n + 1, gp_Pnt2d(x / radius, y))
    edge = BRepBuilderAPI_MakeEdge(Geom2d_BezierCurve(poles), skin).Edge()
    BRepLib.BuildCurves3d_s(edge, 1e-9)
    return edge


def _corners(loop: Loop) -> np.ndarray:
    t = np.linspace(0, 1, 9)[:-1, None]
    found = []
    for points in loop:
        p = [np.asarray(point) for point in points]
        while len(p) > 1:
            p = [(1 - t) * a + t * b for a, b in pairwise(p)]
        found.append(p[0])
    return np.vstack(found)


def _area(loop: Loop) -> float:
    x, y = _corners(loop).T
    return float(0.5 * (x @ np.roll(y, -1) - y @ np.roll(x, -1)))


def _inside(point: np.ndarray, loop: Loop) -> bool:
    """Whether a point lies in a loop, by the crossings of a ray."""
    corners = _corners(loop)
    inside = False
    for (x0, y0), (x1, y1) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if (y0 > point[1]) != (y1 > point[1]):
            at = x0 + (point[1] - y0) / (y1 - y0) * (x1 - x0)
            inside ^= bool(at > point[0])
    return inside
