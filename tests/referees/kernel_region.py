"""Regions of metal in the exact kernel: outlines that turn round the axis, or solids."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from OCP.BOPAlgo import BOPAlgo_PaveFiller
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
from OCP.collections import (
    List_TopoDS_Shape,
)
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Dir, gp_Pln, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Builder, TopoDS_Compound

Shape = Any  # the kernel's bindings carry no types
Part = Mapping[str, Any]  # one [[part]] table of the design file
Point = tuple[float, float]  # (r, z) in the section plane [mm]
Wall = Callable[[float, float], float]  # (r, theta) -> z [mm]

AXIS = gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))
TURN = 2 * math.pi
BALANCE = 2e-7  # taken + left = before, relative; a failed boolean is off by 1e-3 and more


class CannotJudge(Exception):
    """The kernel cannot build this design, or failed at it; the text says why."""


def volume_mm3(shape: Shape, tolerance: float = 1e-9) -> float:
    """Volume by adaptive Gauss-Kronrod on the exact faces, span by span [mm^3].

    The kernel's default, without a tolerance, is wrong by percents on wavy walls.
    """
    found = GProp_GProps()
    if BRepGProp.VolumePropertiesGK_s(shape, found, tolerance, False, True) < 0:
        raise CannotJudge("the kernel's volume integral did not converge")
    return float(found.Mass())


def inner(shape: Shape, kind: Any) -> Iterator[Shape]:
    """The faces, edges or solids of a shape."""
    casts = {TopAbs_SOLID: TopoDS.Solid, TopAbs_FACE: TopoDS.Face, TopAbs_EDGE: TopoDS.Edge}
    walk = TopExp_Explorer(shape, kind)
    while walk.More():
        yield casts[kind](walk.Current())
        walk.Next()


def together(shapes: Sequence[Shape]) -> Shape:
    builder, whole = TopoDS_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for shape in shapes:
        builder.Add(whole, shape)
    return whole


def listed(*shapes: Shape) -> Any:
    found = List_TopoDS_Shape()
    for shape in shapes:
        found.Append(shape)
    return found


def checked(done: Any, what: str) -> Shape:
    if not done.IsDone() or not BRepCheck_Analyzer(done.Shape()).IsValid():
        raise CannotJudge(f"the kernel's boolean failed at {what}")
    return done.Shape()


@dataclass(frozen=True, kw_only=True)
class Region:
    """Metal or a tool: a plane section to be revolved, else a solid."""

    section: Shape | None = None
    solid: Shape | None = None

    @cached_property
    def bulk(self) -> Shape:
        return self.solid if self.section is None else self.turned(TURN)

    @cached_property
    def pieces(self) -> tuple[Shape, ...]:
        """The solids, by rising centroid."""
        found = tuple(inner(self.bulk, TopAbs_SOLID))
        return found if len(found) < 2 else tuple(sorted(found, key=height))

    @cached_property
    def volumes(self) -> tuple[float, ...]:
        return tuple(volume_mm3(piece) for piece in self.pieces)

    def turned(self, angle: float) -> Shape:
        """The section revolved from theta = 0."""
        how = (AXIS,) if angle > TURN - 1e-12 else (AXIS, angle)
        faces = inner(self.section, TopAbs_FACE)
        return together([BRepPrimAPI_MakeRevol(face, *how).Shape() for face in faces])

    def parted(self, tool: Region, what: str) -> tuple[Region, Region]:
        """What lies in the tool, and what is left; the faces are crossed only once."""
        if not self.pieces:
            return self, self
        plane = self.section is not None and tool.section is not None
        mine, other = (self.section, tool.section) if plane else (self.bulk, tool.bulk)
        crossing = BOPAlgo_PaveFiller()
        crossing.SetArguments(listed(mine, other))
        crossing.Perform()
        taken, left = (
            Region(**{"section" if plane else "solid": checked(make(mine, other, crossing), what)})
            for make in (BRepAlgoAPI_Common, BRepAlgoAPI_Cut)
        )
        off = sum(taken.volumes) + sum(left.volumes) - sum(self.volumes)
        if abs(off) > BALANCE * sum(self.volumes):
            raise CannotJudge(f"the kernel's booleans lost {off:+.2e} mm3 at {what}")
        return taken, left


def height(solid: Shape) -> float:
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, found, 1e-5)
    return float(found.CentreOfMass().Z())


def outline(edges: Sequence[tuple[Point, ...]]) -> Region:
    """Section closed by lines (two points) and arcs (three points)."""
    wire = BRepBuilderAPI_MakeWire()
    for edge in edges:
        if math.dist(edge[0], edge[-1]) < 1e-9:
            continue
        points = [gp_Pnt(r, 0, z) for r, z in edge]
        given = points if len(points) == 2 else [GC_MakeArcOfCircle(*points).Value()]
        wire.Add(BRepBuilderAPI_MakeEdge(*given).Edge())
    plane = gp_Pln(gp_Pnt(0, 0, 0), gp_Dir(0, -1, 0))
    return Region(section=BRepBuilderAPI_MakeFace(plane, wire.Wire()).Face())


def polygon(*corners: Point) -> Region:
    return outline(list(zip(corners, corners[1:] + corners[:1], strict=True)))
