"""Bands of every form in the exact kernel: lines, arcs, its own fillets, turned round the axis."""

from __future__ import annotations

from collections.abc import Sequence

from form.outlines import Asked, Edge, bore_edges, circle, is_line, outside_edges
from OCP.BRep import BRep_Tool
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet2d
from OCP.TopAbs import TopAbs_FACE, TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from referees.kernel_region import CannotJudge, Region, checked, inner, outline

SAME_MM = 1e-7


def _plain(edges: Sequence[Edge]) -> list[tuple[tuple[float, float], ...]]:
    """Edges as (radius, z), arcs of nothing left out."""
    found = []
    for edge in edges:
        points = (edge[0], edge[-1]) if is_line(edge) else edge
        if abs(points[0][0] - points[-1][0]) + abs(points[0][1] - points[-1][1]) > 1e-9:
            found.append(tuple((r, z) for z, r in points))
    return found


def formed(form: Asked, edge_mm: float, shift: float = 0.0) -> Region:
    """The band's section, its edges rounded where the form does not end upright of itself.

    `shift` moves the outside along the radius [mm].
    """
    low = bore_edges(form)
    high = [tuple((z, r + shift) for z, r in edge) for edge in outside_edges(form)]
    back = [tuple(reversed(edge)) for edge in reversed(high)]
    half = form.width_mm / 2
    edges = [*low, (low[-1][-1], high[-1][-1]), *back, (high[0][0], low[0][0])]
    section = outline(_plain(edges))
    if not edge_mm:
        return section
    (face,) = inner(section.section, TopAbs_FACE)
    fillet = BRepFilletAPI_MakeFillet2d(face)
    sharp = [
        edge for side in (low, high) for edge in (side[0], side[-1]) if not _upright(edge, half)
    ]
    corners = [p for edge in sharp for p in (edge[0], edge[-1]) if abs(abs(p[0]) - half) < SAME_MM]
    walk, done = TopExp_Explorer(face, TopAbs_VERTEX), []
    while walk.More():
        vertex = TopoDS.Vertex(walk.Current())
        at = BRep_Tool.Pnt_s(vertex)
        z, r = at.Z(), at.X()
        wanted = any(abs(z - p[0]) + abs(r - p[1]) < SAME_MM for p in corners)
        if wanted and not any(abs(z - a) + abs(r - b) < SAME_MM for a, b in done):
            fillet.AddFillet(vertex, edge_mm)
            done.append((z, r))
        walk.Next()
    if len(done) != len({(round(p[0], 6), round(p[1], 6)) for p in corners}):
        raise CannotJudge("a corner of the section was not found")
    if not done:
        return section
    fillet.Build()
    return Region(section=checked(fillet, "rounded edges"))


def _upright(edge: Edge, half: float) -> bool:
    """Whether an arc ends level with the edge face."""
    if is_line(edge):
        return False
    found = circle(edge)
    return (
        any(
            abs(abs(p[0]) - half) < SAME_MM and abs(abs(p[0] - found.z) - found.radius) < SAME_MM
            for p in (edge[0], edge[-1])
        )
        and abs(edge[0][0] - edge[-1][0]) < half
    )
