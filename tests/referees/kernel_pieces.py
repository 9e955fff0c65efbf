"""Four reference rings, as a plain user of an exact B-rep kernel would make them.

The yardstick of the speed benchmark: solids by revolving, booleans, the kernel's own exact volume
(with a tolerance), its own mesher, its own STL writer. Plain, but not handicapped: no healing
step, no wrapper library, the fewest spline points that weigh the wavy ring to 1e-6, and the
faster and better of the kernel's two integrals. Each phase is a function of its own.

Bore 17.35 across at mid-width, 6 wide, 1.9 thick, outside arc rise 0.35, inside arc rise 0.25;
R2 has a channel 2.4 wide and 0.8 deep, its inlay 0.02 clear at each wall and at the floor;
in R3 both walls follow 0.7 sin(8 theta); R4 is the plain band in twelve equal sectors.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeVertex,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Sewing,
    BRepBuilderAPI_Transform,
)
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepFill import BRepFill
from OCP.BRepGProp import BRepGProp
from OCP.BRepLib import BRepLib
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
from OCP.collections import HArray1_double, HArray1_gp_Pnt
from OCP.GC import GC_MakeArcOfCircle
from OCP.GeomAPI import GeomAPI_Interpolate
from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Trsf
from OCP.GProp import GProp_GProps
from OCP.StlAPI import StlAPI_Writer
from OCP.TopAbs import TopAbs_FACE, TopAbs_REVERSED
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Compound

Shape = Any  # the kernel's bindings carry no types
Mesh = tuple[np.ndarray, np.ndarray]  # vertices (n, 3) [mm], triangles (m, 3)

BORE_MM, CREST_MM, HALF_MM = 8.675, 10.575, 3.0
RISE_OUT_MM, RISE_IN_MM = 0.35, 0.25
FLOOR_MM, CHANNEL_HALF_MM, GAP_MM = CREST_MM - 0.8, 1.2, 0.02
SECTORS = 12
AMPLITUDE_MM, WAVES, POINTS_PER_WAVE = 0.7, 8, 16
OUT_MM = CREST_MM + 0.3  # how far cutters reach
DEFLECTION_MM, ANGULAR_RAD = 0.005, 0.5  # 0.5 rad: only the linear deflection decides
VOLUME_TOLERANCE = 1e-7


def _revolved(outline: Any) -> Shape:
    face = BRepBuilderAPI_MakeFace(outline.Wire()).Face()
    return BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))).Shape()


def _section() -> Any:
    low_in, low_out = (BORE_MM + RISE_IN_MM, -HALF_MM), (CREST_MM - RISE_OUT_MM, -HALF_MM)
    top_in, top_out = (low_in[0], HALF_MM), (low_out[0], HALF_MM)
    outline = BRepBuilderAPI_MakeWire()
    for edge in (
        (low_in, low_out),
        (low_out, (CREST_MM, 0.0), top_out),
        (top_out, top_in),
        (top_in, (BORE_MM, 0.0), low_in),
    ):
        points = [gp_Pnt(r, 0, z) for r, z in edge]
        curve = points if len(edge) == 2 else [GC_MakeArcOfCircle(*points).Value()]
        outline.Add(BRepBuilderAPI_MakeEdge(*curve).Edge())
    return outline


def _band() -> Shape:
    return _revolved(_section())


def _sectors() -> dict[str, Shape]:
    """Each turned by itself to its place: quicker than cutting the band."""
    face = BRepBuilderAPI_MakeFace(_section().Wire()).Face()
    axis, found = gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)), {}
    for number in range(SECTORS):
        place = gp_Trsf()
        place.SetRotation(axis, 2 * math.pi * number / SECTORS)
        begun = BRepBuilderAPI_Transform(face, place, True).Shape()
        sector = BRepPrimAPI_MakeRevol(begun, axis, 2 * math.pi / SECTORS)
        found[f"s {number + 1}"] = sector.Shape()
    return found


def _straight_cutter(floor: float, half: float) -> Shape:
    outline = BRepBuilderAPI_MakePolygon()
    for r, z in ((floor, -half), (OUT_MM, -half), (OUT_MM, half), (floor, half)):
        outline.Add(gp_Pnt(r, 0, z))
    outline.Close()
    return _revolved(outline)


def _wavy_cutter(floor: float, half: float) -> Shape:
    n = WAVES * POINTS_PER_WAVE
    rims = []
    for r, z0 in ((floor, -half), (OUT_MM, -half), (OUT_MM, half), (floor, half)):
        points, angles = HArray1_gp_Pnt(1, n), HArray1_double(1, n + 1)
        for i in range(n + 1):
            a = 2 * math.pi * i / n
            angles.SetValue(i + 1, a)
            if i < n:
                z = z0 + AMPLITUDE_MM * math.sin(WAVES * a)
                points.SetValue(i + 1, gp_Pnt(r * math.cos(a), r * math.sin(a), z))
        spline = GeomAPI_Interpolate(points, angles, True, 1e-9)
        spline.Perform()
        rims.append(BRepBuilderAPI_MakeEdge(spline.Curve()).Edge())
    sewing = BRepBuilderAPI_Sewing(1e-6)
    for one, two in zip(rims, rims[1:] + rims[:1], strict=True):
        sewing.Add(BRepFill.Face_s(one, two))
    sewing.Perform()
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell(sewing.SewedShape())).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid


def _inlaid(cutter: Any) -> dict[str, Shape]:
    band = _band()
    metal = cutter(FLOOR_MM + GAP_MM, CHANNEL_HALF_MM - GAP_MM)
    return {
        "band": BRepAlgoAPI_Cut(band, cutter(FLOOR_MM, CHANNEL_HALF_MM)).Shape(),
        "inlay": BRepAlgoAPI_Common(band, metal).Shape(),
    }


def built(piece: str) -> dict[str, Shape]:
    """Phase 1: the exact parts of "R1", "R2", "R3" or "R4"."""
    if piece == "R1":
        return {"band": _band()}
    if piece == "R4":
        return _sectors()
    return _inlaid({"R2": _straight_cutter, "R3": _wavy_cutter}[piece])


def volume_mm3(shape: Shape) -> float:
    """Phase 2: exact volume [mm^3], with an explicit tolerance (the default is wrong on R3)."""
    found = GProp_GProps()
    BRepGProp.VolumePropertiesGK_s(shape, found, VOLUME_TOLERANCE, False, True)
    return float(found.Mass())


def meshed(shape: Shape, deflection_mm: float = DEFLECTION_MM) -> int:
    """Phase 3: mesh the shape in place at an absolute deflection [mm]; its triangle count."""
    BRepMesh_IncrementalMesh(shape, deflection_mm, False, ANGULAR_RAD, False)
    return sum(found.NbTriangles() for _, found in _triangulations(shape))


def write_stl(shape: Shape, path: Path) -> None:
    """Phase 4: binary STL of the mesh the shape carries."""
    writer = StlAPI_Writer()
    writer.ASCIIMode = False
    if not writer.Write(shape, str(path)):
        raise OSError(f"the kernel did not write {path}")


def made(piece: str, folder: Path | str) -> dict[str, tuple[float, int]]:
    """All four phases of one piece: part -> (volume [mm^3], triangles)."""
    result = {}
    for name, shape in built(piece).items():
        volume, triangles = volume_mm3(shape), meshed(shape)
        write_stl(shape, Path(folder) / f"{piece}-{name}.stl")
        result[name] = (volume, triangles)
    return result


def _triangulations(shape: Shape) -> list[tuple[Shape, Any]]:
    found = []
    walk = TopExp_Explorer(shape, TopAbs_FACE)
    while walk.More():
        face = TopoDS.Face(walk.Current())
        found.append((face, BRep_Tool.Triangulation_s(face, TopLoc_Location())))
        walk.Next()
    return found


def mesh_of(shape: Shape) -> Mesh:
    """The mesh a meshed shape carries, face after face (rims doubled), outward."""
    points, triangles, base = [], [], 0
    for face, found in _triangulations(shape):
        count = found.NbNodes()
        nodes = (found.Node(i + 1) for i in range(count))
        points += [(p.X(), p.Y(), p.Z()) for p in nodes]
        order = (1, 3, 2) if face.Orientation() == TopAbs_REVERSED else (1, 2, 3)
        for i in range(found.NbTriangles()):
            triangles.append([base + found.Triangle(i + 1).Value(k) - 1 for k in order])
        base += count
    return np.array(points), np.array(triangles)


def measured_deviation_mm(shape: Shape, mesh: Mesh, samples: int = 400) -> float:
    """Greatest distance found from a mesh to the exact surface [mm].

    Looked for at `samples` vertices, edge middles and triangle centres, drawn evenly with a
    fixed seed; so it is a lower bound. The mesh may come from anyone.
    """
    vertices, triangles = np.asarray(mesh[0]), np.asarray(mesh[1])
    corners = vertices[triangles]
    middles = (corners + np.roll(corners, 1, axis=1)) / 2
    pool = np.concatenate([corners.mean(axis=1), middles.reshape(-1, 3), vertices])
    drawn = np.random.default_rng(0).permutation(len(pool))[:samples]
    # Faces only: a point inside a solid is at no distance from the solid.
    skin, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(skin)
    for face, _ in _triangulations(shape):
        builder.Add(skin, face)
    search = BRepExtrema_DistShapeShape()
    search.LoadS1(skin)
    worst = 0.0
    for point in pool[drawn]:
        search.LoadS2(BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex())
        search.Perform()
        worst = max(worst, float(search.Value()))
    return worst
