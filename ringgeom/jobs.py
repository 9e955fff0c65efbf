"""The single pass: a design and a shop become a job, gathered once and frozen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ringgeom.design import Design
from ringgeom.errors import ShapeError
from ringgeom.findings import Finding, Formed, Laid, judge_laid, ordered
from ringgeom.form.contacts import Contact, contacts
from ringgeom.form.measure import Plate, build
from ringgeom.form.pieces import Piece
from ringgeom.form.ring import Ring
from ringgeom.form.volume import Volume, volumes
from ringgeom.making.as_made import placed_places
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
from ringgeom.metal.caution import Caution, cautions
from ringgeom.notebook import Rows, table_html, words_html
from ringgeom.shop import Shop
from ringgeom.sketch import Sketch, asking_of, cannot_be_laid_out, coloured, formed_and_judged
from ringgeom.units import grams

if TYPE_CHECKING:
    from ringgeom.engraving.inset import Inset
    from ringgeom.making.bench import Bench

NO_MELTS = MeltPlan(melts=(), left=(), kept_out=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Job(Sketch):
    """Everything that is known of a ring; outputs only read it.

    `ring`, `band`, `parts` and `castings` are empty when a finding stops the design;
    `on_form` are those of the findings that the form alone decides.
    """

    parts: tuple[Part, ...]
    on_form: tuple[Finding, ...]
    castings: tuple[Casting, ...]
    meetings: tuple[Meeting, ...]
    joints: tuple[Joint, ...]
    band: WholeBand | None
    routes: tuple[Route, ...]
    melts: MeltPlan
    marks: tuple[ArticleMark, ...]
    cautions: tuple[Caution, ...]

    @property
    def as_cast_g(self) -> float:
        """All castings without sprue and button [g]."""
        return sum(part.as_cast_g for part in self.parts)

    def _repr_html_(self) -> str:
        """Size, parts, what to melt and what is found, for a notebook."""
        name, state = self.design.job.name, "cannot be made as designed"
        if not self.stopped:
            state = f"{grams(self.finished_g)} g ± {grams(self.uncertainty_g)}"
        size = f"{self.finger.asked}, {self.made.inside_diameter_mm:.2f} mm across: {state}"
        tables = [
            table_html((one.cells() for one in rows), title=title)
            for title, rows in (
                ("Parts", self.parts),
                ("To melt", self.castings),
                ("Findings", self.findings),
            )
        ]
        return "".join([words_html(f"{name}, {size}"), *tables])

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
    formed, on_form = formed_and_judged(asking, kept)
    found, laid = on_form, None
    if formed is not None:
        try:
            laid = laid_of(formed)
            found = ordered([*found, *judge_laid(laid)])
        except ShapeError as error:
            found, laid = ordered([*found, cannot_be_laid_out(error)]), None
    if any(finding.level == "stop" for finding in found):
        laid = None
    colours = coloured(laid.parts if laid else ())
    return Job(
        design=design,
        shop=shop,
        finger=asking.finger,
        made=asking.made,
        form=asking.form,
        ring=laid.ring if laid else None,
        parts=Rows(laid.parts if laid else ()),
        castings=Rows(laid.castings if laid else ()),
        volumes=tuple(laid.volumes.items()) if laid else (),
        engraved=laid.engraved if laid else (),
        insets=laid.insets if laid else (),
        colours=colours,
        meetings=laid.meetings if laid else (),
        joints=laid.joints if laid else (),
        band=_band(laid) if laid else None,
        routes=laid.routes if laid else (),
        melts=laid.melts if laid else NO_MELTS,
        marks=laid.marks if laid else (),
        cautions=cautions([alloy.recipe for alloy, _ in colours], casting=True) if laid else (),
        findings=found,
        on_form=on_form,
    )


def laid_of(formed: Formed) -> Laid:
    """The ring with everything that is cast, joined and melted for it.

    Raises
    ------
    ShapeError
        Its section with stock cannot be drawn.
    """
    asking, laid_ring = formed.asking, formed.ring
    design, shop = asking.design, asking.shop
    found, _ = cast_parts(formed)
    sprues = {part.name: _sprue(laid_ring, part, shop) for part in found}
    cast = castings(found, sprues, shop.casting)
    touch = all_contacts(laid_ring, formed.insets)
    melts = melt_plan(
        [Wanted(job=design.job.name, alloy=one.alloy, grams=one.flask.melt_g) for one in cast],
        shop.lots,
        shop.melt,
        shop.prices,
    )
    return Laid(
        asking=asking,
        ring=laid_ring,
        volumes=formed.volumes,
        parts=found,
        engraved=formed.engraved,
        insets=formed.insets,
        sprues=sprues,
        castings=cast,
        contacts=touch,
        meetings=meetings(laid_ring, touch, found),
        joints=(
            *joints(found, touch, shop.joining),
            *segment_joints(laid_ring, found, shop.joining),
        ),
        routes=routes(
            laid_ring,
            placed_places(design, asking.band),
            found,
            touch,
            [section for _, section in formed.groups],
            shop,
            not_split=asking.not_split,
        ),
        melts=melts,
        marks=ring_marks(found, melts, shop.marks.region),
    )


def cast_parts(formed: Formed) -> tuple[tuple[Part, ...], dict[Piece, Volume]]:
    """The parts of a ring with their stock on, and the volumes of all castings [mm3].

    Raises
    ------
    ShapeError
        Its section with stock cannot be drawn.
    """
    cast = volumes(formed.ring, with_stock=True)
    plates: dict[Piece, Plate] = {}
    if formed.insets:
        from ringgeom.engraving.inset import with_insets
        from ringgeom.engraving.inset_measures import plate

        cast = with_insets(cast, formed.insets, cast=True)
        plates = {one.piece: plate(one) for one in formed.insets if one.host is not None}
    cast_in: dict[Piece, float] = {}
    if formed.engraved:
        from ringgeom.engraving.engraved import taken_mm3

        cast_in = taken_mm3(formed.engraved, cast=True)
    shop = formed.asking.shop
    found = parts(formed.ring, formed.parts, cast, shop, engraved=cast_in, plates=plates)
    return found, cast


def all_contacts(laid_ring: Ring, inlaid: Sequence[Inset]) -> tuple[Contact, ...]:
    """Every joint of a ring, those of its motif inlays too."""
    found = contacts(laid_ring)
    if inlaid:
        from ringgeom.engraving.inset_measures import inset_contacts

        found = (*found, *inset_contacts(inlaid))
    return found


def _band(laid: Laid) -> WholeBand:
    asking = laid.asking
    places = placed_places(asking.design, asking.band)
    return whole_band(laid.ring, places, laid.groups, asking.made, asking.shop)


def _sprue(laid_ring: Ring, part: Part, shop: Shop) -> Sprue:
    measured = build(laid_ring, part.cast_piece, with_stock=True)
    one = sprue(
        measured,
        shop.casting,
        width_mm=part.wax.width_mm / part.scale.scale,
        waves=laid_ring.alike,
    )
    return one if part.plate is None else one.times(part.count)
