"""Where on the cut section a finding lies: a point to mark, and a stretch that is too thin."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.design import Design
from ringgeom.drawing.cut import Face
from ringgeom.findings import Finding
from ringgeom.form.places import Band
from ringgeom.page.grip import Grip
from ringgeom.page.measures import Measure

Spot = tuple[float, float]
RAIL_CODES = ("thin-rail", "inlay-too-wide", "feather-edge")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A place on the section (z, r) [mm], and the two ends of what is too thin, if that is it."""

    at_mm: Spot
    ends_mm: tuple[Spot, Spot] | None = None


def mark(
    finding: Finding,
    design: Design,
    band: Band,
    faces: tuple[Face, ...],
    grips: tuple[Grip, ...],
    measures: tuple[Measure, ...],
) -> Mark | None:
    """The place of a finding; None where it is about nothing that is drawn."""
    if finding.code == "thin-floor":
        floors = [one for one in measures if one.side == "in"]
        if floors:
            low = min(floors, key=lambda one: one.value)
            at = low.at_mm
            ends = (at, low.from_mm), (at, low.to_mm)
            return Mark(at_mm=(at, (low.from_mm + low.to_mm) / 2), ends_mm=ends)
    if finding.code in RAIL_CODES:
        runs = [one for one in measures if one.side == "above" and one.key is None]
        if runs:
            thin = min(runs, key=lambda one: one.value)
            height = band.crest_mm - 0.3 * (band.crest_mm - band.bore_mm)
            ends = (thin.from_mm, height), (thin.to_mm, height)
            return Mark(at_mm=((thin.from_mm + thin.to_mm) / 2, height), ends_mm=ends)
    for grip in grips:
        if finding.key and finding.key == grip.moves[0].key:
            return Mark(at_mm=grip.at_mm)
    if finding.code == "cannot-be-laid-out" or finding.key[:1] not in (("part",), ("body",)):
        return None
    names = {finding.part}
    if len(finding.key) > 1 and isinstance(finding.key[1], int):
        names.add(design.parts[finding.key[1]].name)
    if finding.key[:1] == ("body",):
        names.add("body")
    for face in faces:
        if face.part.name in names:
            return Mark(at_mm=_middle(face))
    return None


def _middle(face: Face) -> Spot:
    z0, z1 = face.ends_mm
    r = [r for loop in face.loops for _, r in loop]
    return (z0 + z1) / 2, min(r) + 0.5 * (max(r) - min(r))
