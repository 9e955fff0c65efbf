"""The parts of a job as a picture shows them: solid, alloy, finish, colour, and the dark gaps."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING

from ringgeom.colour import Colour, colour
from ringgeom.colour.predict import Finish
from ringgeom.engraving.solid import lettered
from ringgeom.errors import ShapeError, StopError
from ringgeom.form.grid import CHORD_MM
from ringgeom.form.mesh import Mesh
from ringgeom.form.ring import Ring, ring
from ringgeom.form.solid import solids
from ringgeom.making.as_made import placed_places
from ringgeom.metal import Alloy
from ringgeom.scene.cut import within

if TYPE_CHECKING:
    from ringgeom.jobs import Job

CHORD_OF_PICTURES_MM = CHORD_MM
"""Two thirds of a dot in the largest picture: no facet shows at an edge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPart:
    """One part of a ring.

    Attributes
    ----------
    name : str
        Of its place, such as plank for plank 1 to plank 12.
    place : str
        Kind of its place, such as channel; body for what is left.
    segment : bool
        Whether it is one of several round the ring.
    colour : Colour
        Of its alloy with its own finish.
    """

    name: str
    place: str
    segment: bool
    alloy: Alloy
    finish: Finish
    colour: Colour
    mesh: Mesh


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """All parts of a ring, and the gaps between them as solids.

    `joints` are the angles at mid-width where a segment begins or ends [rad].
    """

    job: str
    parts: tuple[ShownPart, ...]
    gaps: tuple[Mesh, ...]
    joints: tuple[float, ...]

    def clear_angle(self, near: float) -> float:
        """An angle well within a segment, as near as can be to another; itself without [rad]."""
        if not self.joints:
            return near
        starts = sorted({round(angle % (2 * pi), 9) for angle in self.joints})
        ends = [*starts[1:], starts[0] + 2 * pi]
        widest = max(end - start for start, end in zip(starts, ends, strict=True))
        middles = [
            0.5 * (start + end)
            for start, end in zip(starts, ends, strict=True)
            if end - start > 0.5 * widest
        ]
        return min(middles, key=lambda angle: abs((angle - near + pi) % (2 * pi) - pi))


def shown(job: Job) -> Shown:
    """The finished parts of a job, in its order.

    Raises
    ------
    StopError
        A finding stops the design: there is nothing to show.
    ShapeError
        A part cannot be meshed as designed.
    """
    if job.ring is None:
        raise StopError("a finding stops this design: no picture is drawn")
    plain = solids(job.ring, chord_mm=CHORD_OF_PICTURES_MM)
    meshes = lettered(plain, job.engraved, job.insets, chord_mm=CHORD_OF_PICTURES_MM)
    places = placed_places(job.design, job.form.band)
    found = []
    for part in job.parts:
        place = None if part.place is None else places[part.place]
        asked = place or job.design.body
        finish: Finish = asked.finish if asked else "polished"
        found.append(
            ShownPart(
                name=place.name if place else part.name,
                place=place.place if place else "body",
                segment=part.pieces_round > 1,
                alloy=part.alloy,
                finish=finish,
                colour=colour(part.alloy, finish),
                mesh=meshes[part.piece],
            )
        )
    return Shown(
        job=job.design.job.name,
        parts=tuple(found),
        gaps=tuple(_gaps(job.ring)),
        joints=tuple(job.ring.knots()),
    )


def _gaps(whole: Ring) -> list[Mesh]:
    """The gaps as solids; beside an inlay that stands proud one ends where the body does."""
    chord = CHORD_OF_PICTURES_MM
    try:
        gaps = [*solids(whole, chord_mm=chord, kinds=("gap", "joint")).values()]
    except ShapeError:
        # splinters of a gap that cannot be told apart: the picture is the same without
        return []
    if whole.form.proud_mm >= 0 or not gaps:
        return gaps
    (body,) = solids(ring(whole.form, ()), chord_mm=chord).values()
    return within(gaps, body)
