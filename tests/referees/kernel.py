"""An exact B-rep kernel (OpenCASCADE) builds a design file's parts and weighs them by itself.

Nothing of the package is imported: the two agree only if both read the design file's contract
the same way. As long as everything turns round the finger axis, cuts are made in the section
plane, on true lines and arcs, and revolved last; the first wavy or slanted part makes it solid.

Reading the contract where it leaves room: an undercut wall starts on the outside profile, edge
rounding included; `proud_mm` moves the body's whole outside, roundings included, and a place
keeps its claim above the outside; a segment that falls apart is named "name i 1", "name i 2".
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import Any

from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from referees.kernel_places import Ring, places, segments
from referees.kernel_region import CannotJudge, Region, Shape, checked, volume_mm3

__all__ = [
    "CannotJudge",
    "Region",
    "overlap_mm3",
    "parts",
    "solids",
    "volume_mm3",
    "volumes",
]


def parts(design: Mapping[str, Any], inside_diameter_mm: float) -> dict[str, Region]:
    """Each part's metal under the name it has in the design file, and the body's."""
    ring = Ring(design, inside_diameter_mm)
    left = ring.band(0.0)
    body = ring.band(ring.proud) if ring.proud else left
    found: dict[str, Region] = {}

    def claim(tool: Region, name: str) -> Region:
        nonlocal left, body
        taken, left = left.parted(tool, name)
        body = body.parted(tool, f"the body beside {name}")[1] if ring.proud else left
        return taken

    for part in design.get("part", ()):
        if part["place"] == "segments":
            pieces, tool = segments(ring, part, left)
            found |= {f"{part['name']} {i}": piece for i, piece in enumerate(pieces, 1)}
            claim(tool, part["name"])
            continue
        for name, tool, metal in places(ring, part):
            shrunk = None if metal is tool else left.parted(metal, name)[0]
            taken = claim(tool, name)
            found[name] = taken if shrunk is None else shrunk
    return {**found, "body": body}


def _numbered(name: str, region: Region) -> list[str]:
    count = len(region.pieces)
    return [name] if count == 1 else [f"{name} {i + 1}" for i in range(count)]


def solids(design: Mapping[str, Any], inside_diameter_mm: float) -> dict[str, Shape]:
    """Each solid by its name; what falls apart is numbered by the height of its centroid.

    Parameters
    ----------
    design : mapping
        The parsed design file; `ring.size` is not read.
    inside_diameter_mm : float
        Bore at mid-width [mm].

    Returns
    -------
    dict of str to TopoDS_Solid
        Nothing is listed for a body or part of which no metal is left.

    Raises
    ------
    CannotJudge
        The kernel cannot build the design, or its booleans do not add up.
    """
    made = parts(design, inside_diameter_mm).items()
    return {n: s for name, r in made for n, s in zip(_numbered(name, r), r.pieces, strict=True)}


def volumes(design: Mapping[str, Any], inside_diameter_mm: float) -> dict[str, float]:
    """Volume of every solid of the design [mm^3], named as in `solids`."""
    made = parts(design, inside_diameter_mm).items()
    return {n: v for name, r in made for n, v in zip(_numbered(name, r), r.volumes, strict=True)}


def overlap_mm3(shapes: Mapping[str, Shape]) -> dict[tuple[str, str], float]:
    """Common volume of every pair of shapes [mm^3]; 0 where they only touch."""
    common = {}
    for one, two in itertools.combinations(shapes, 2):
        shared = checked(BRepAlgoAPI_Common(shapes[one], shapes[two]), f"{one} with {two}")
        common[one, two] = sum(Region(solid=shared).volumes)
    return common
