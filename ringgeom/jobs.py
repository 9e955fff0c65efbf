"""The single pass: a design and a shop become a job, gathered once and frozen."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, pi
from typing import TYPE_CHECKING

from ringgeom.colour import Colour, colour
from ringgeom.design import Design
from ringgeom.errors import ShapeError
from ringgeom.findings import Asking, Finding, Laid, judge_asking, judge_laid, ordered, turn_angles
from ringgeom.finger import FingerSize, FitSettings, MadeSize, made_size, read_size
from ringgeom.form.contacts import contacts
from ringgeom.form.measure import build
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Ring, RingForm, Stock, ring
from ringgeom.form.volume import Volume
from ringgeom.making.alloys import alloy_in_shop, alloys_asked
from ringgeom.making.as_made import as_made, placed_places, why_not_split
from ringgeom.making.joint import Joint, joints, segment_joints
from ringgeom.making.marking import ring_marks
from ringgeom.making.meeting import Meeting, meetings
from ringgeom.making.part import Part, parts
from ringgeom.making.poured import Casting, castings
from ringgeom.making.routes import Route, routes
from ringgeom.making.sprue import Sprue, sprue
from ringgeom.making.whole_band import WholeBand, whole_band
from ringgeom.marks import ArticleMark
from ringgeom.melt import MeltPlan, Wanted, melt_plan
from ringgeom.metal import Alloy
from ringgeom.metal.caution import Caution, cautions
from ringgeom.shop import Shop

if TYPE_CHECKING:
    from ringgeom.making.bench import Bench

Keys = tuple[str | int, ...]

NO_MELTS = MeltPlan(melts=(), left=(), kept_out=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Everything that is known of a ring; outputs only read it.

    `ring`, `band`, `parts` and `castings` are empty when a finding stops the design.
    """

    design: Design
    shop: Shop
    finger: FingerSize
    made: MadeSize
    form: RingForm
    ring: Ring | None
    parts: tuple[Part, ...]
    castings: tuple[Casting, ...]
    volumes: tuple[tuple[Piece, Volume], ...]
    colours: tuple[tuple[Alloy, Colour], ...]
    meetings: tuple[Meeting, ...]
    joints: tuple[Joint, ...]
    band: WholeBand | None
    routes: tuple[Route, ...]
    melts: MeltPlan
    marks: tuple[ArticleMark, ...]
    cautions: tuple[Caution, ...]
    findings: tuple[Finding, ...]

    @property
    def stopped(self) -> bool:
        """Whether a finding forbids making it."""
        return any(finding.level == "stop" for finding in self.findings)

    @property
    def outside_diameter_mm(self) -> float:
        """Over the outside at its highest, or over a proud body [mm]."""
        top = self.form.thickness_mm
        if self.ring is not None and self.form.highest_at_edge:
            # the rounding of the edges takes a little off it
            top = self.ring.finished.outside.extremes_mm()[1] - self.form.band.bore_mm
        return self.form.inside_diameter_mm + 2 * (top + max(0.0, self.form.proud_mm))

    @property
    def volume_mm3(self) -> float:
        """Of all parts together [mm3]."""
        return sum(part.volume_mm3 for part in self.parts)

    @property
    def finished_g(self) -> float:
        return sum(part.finished_g for part in self.parts)

    @property
    def as_cast_g(self) -> float:
        return sum(part.as_cast_g for part in self.parts)

    @property
    def uncertainty_g(self) -> float:
        """Half width of the band on the whole ring: one alloy's parts err together [g]."""
        by_alloy = [sum(part.uncertainty_g for part in c.parts) for c in self.castings]
        return hypot(*by_alloy) if by_alloy else 0.0

    def bench(self) -> Bench | None:
        """Tables for the bench, drawn once when they are asked for; None for no ring."""
        if (ring := self.ring) is None:
            return None
        from ringgeom.making.bench import bench

        places = placed_places(self.design, self.form.band)
        # rings in other alloys keep what was drawn of the first one
        alloys = tuple(part.alloy for part in self.parts)
        found: Bench = ring.once(
            ("bench", alloys), bench, ring, self.parts, places, self.joints, self.shop
        )
        return found

    @property
    def circumference_mm(self) -> float:
        return pi * self.made.inside_diameter_mm


def job(design: Design, shop: Shop | None = None) -> Job:
    """Everything about a design, in one pass.

    A design that cannot be made comes back with its findings and no parts.

    Parameters
    ----------
    design : Design
        What was asked.
    shop : Shop, optional
        The shop's settings; the defaults without.
    """
    return _job(design, shop or Shop(), None)


def refilled(like: Job, design: Design) -> Job:
    """The job of a design that differs from another job's in its alloys alone.

    The same as `job` of it, but nothing is drawn anew: volumes do not change with an alloy.
    """
    return _job(design, like.shop, like.ring)


def _job(design: Design, shop: Shop, kept: Ring | None) -> Job:
    asking = asking_of(design, shop)
    found = judge_asking(asking)
    laid = None
    if not any(finding.level == "stop" for finding in found):
        try:
            laid = laid_of(asking, kept)
            found = ordered([*found, *judge_laid(laid)])
        except ShapeError as error:
            found, laid = ordered([*found, cannot_be_laid_out(error)]), None
    if any(finding.level == "stop" for finding in found):
        laid = None
    alloys = tuple({part.alloy.name: part.alloy for part in laid.parts}.values()) if laid else ()
    return Job(
        design=design,
        shop=shop,
        finger=asking.finger,
        made=asking.made,
        form=asking.form,
        ring=laid.ring if laid else None,
        parts=laid.parts if laid else (),
        castings=laid.castings if laid else (),
        volumes=tuple(laid.volumes.items()) if laid else (),
        colours=tuple((alloy, colour(alloy)) for alloy in alloys),
        meetings=laid.meetings if laid else (),
        joints=laid.joints if laid else (),
        band=_band(laid) if laid else None,
        routes=laid.routes if laid else (),
        melts=laid.melts if laid else NO_MELTS,
        marks=laid.marks if laid else (),
        cautions=cautions([alloy.recipe for alloy in alloys], casting=True) if laid else (),
        findings=found,
    )


def cannot_be_laid_out(error: ShapeError) -> Finding:
    """The finding that stops a ring whose section cannot be drawn."""
    return Finding(
        code="cannot-be-laid-out",
        level="stop",
        text=str(error),
        fix="simplify the places",
        key=("ring",),
    )


def asking_of(design: Design, shop: Shop) -> Asking:
    """What the rules look at before anything is laid out."""
    asked = design.ring
    finger = read_size(asked.size)
    made = made_size(
        finger,
        width_mm=asked.width_mm,
        comfort_bore=asked.inside.comfort,
        fit=FitSettings(**shop.fit.model_dump()),
    )
    form = RingForm(
        inside_diameter_mm=made.inside_diameter_mm,
        width_mm=asked.width_mm,
        thickness_mm=asked.thickness_mm,
        outside=asked.outside,
        inside=asked.inside,
        edge_mm=asked.edge_mm,
        proud_mm=design.body.proud_mm if design.body else 0.0,
    )
    alloys = tuple((key, alloy_in_shop(one, shop)) for key, one in alloys_asked(design))
    return Asking(
        design=as_made(design),
        shop=shop,
        finger=finger,
        made=made,
        form=form,
        alloys=alloys,
        not_split=why_not_split(design),
    )


def laid_of(asking: Asking, kept: Ring | None = None) -> Laid:
    """The ring laid out, with everything that is judged of it.

    Parameters
    ----------
    kept : Ring, optional
        A ring of the same form that was drawn already; its alloys alone are changed.

    Raises
    ------
    ShapeError
        Its section cannot be drawn.
    """
    design, shop = asking.design, asking.shop
    if kept is None:
        laid_ring = ring(asking.form, design.parts, Stock(**shop.stock.model_dump()))
    else:
        laid_ring = kept.refilled(design.parts)
    found, volumes = parts(
        laid_ring,
        alloys=[[alloy_in_shop(one, shop) for one in placed.alloys] for placed in laid_ring.placed],
        body=alloy_in_shop(design.body.alloy, shop) if design.body else None,
        shop=shop,
    )
    sprues = {part.name: _sprue(laid_ring, part, shop) for part in found}
    cast = castings(found, sprues, shop.casting)
    angles = turn_angles(laid_ring)
    groups = tuple(laid_ring.sections(angles))
    drawn = [section for _, section in groups]
    touch = contacts(laid_ring)
    met = meetings(laid_ring, touch, found)
    melts = melt_plan(
        [Wanted(job=design.job.name, alloy=one.alloy, grams=one.flask.melt_g) for one in cast],
        shop.lots,
        shop.melt,
        shop.prices,
    )
    return Laid(
        asking=asking,
        ring=laid_ring,
        groups=groups,
        cast_groups=tuple(laid_ring.sections(angles, with_stock=True)),
        volumes=volumes,
        parts=found,
        sprues=sprues,
        castings=cast,
        contacts=touch,
        meetings=met,
        joints=(
            *joints(found, touch, shop.joining),
            *segment_joints(laid_ring, found, shop.joining),
        ),
        routes=routes(
            laid_ring,
            placed_places(design, asking.band),
            found,
            touch,
            drawn,
            shop,
            not_split=asking.not_split,
        ),
        melts=melts,
        marks=ring_marks(found, melts, shop.marks.region),
    )


def _band(laid: Laid) -> WholeBand:
    asking = laid.asking
    places = placed_places(asking.design, asking.band)
    return whole_band(laid.ring, places, laid.groups, asking.made, asking.shop)


def _sprue(laid_ring: Ring, part: Part, shop: Shop) -> Sprue:
    measured = build(laid_ring, part.cast_piece, with_stock=True)
    return sprue(
        measured,
        shop.casting,
        width_mm=part.wax.width_mm / part.scale.scale,
        waves=laid_ring.alike,
    )
