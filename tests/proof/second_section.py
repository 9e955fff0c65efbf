"""The section drawn a second time with shapely, and what findings say of it measured there.

The band's outline is that of `form.outlines`, drawn from the words of every form; places are
boxes and trapezes cut out of it in the order written. Nothing of the package's curves, walls
or columns is used; a band that tapers is drawn anew at every angle. Left out: rails of press
fits, rails that end in a falling outside, walls that are told to cross, and what lies within a
rounded edge: there a plain box says nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from math import cos, pi, radians, sin
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from form.outlines import asked, is_line, outside_edges, sampled, section_edges
from shapely import LineString, Polygon, box

import ringgeom as rg
from ringgeom.findings.finding import Finding
from ringgeom.form.places import (
    AnyPlace,
    Channel,
    Edges,
    Liner,
    Segments,
    Stripe,
)
from ringgeom.form.ring import RingForm

if TYPE_CHECKING:
    from proof.judged import Verdict

FAR = 60.0
AGREE_MM = 2e-3
"""Outlines are drawn with 200 points an arc, crests with a step of a hundredth of a wave."""

STEPS = 201

RUNS_OUT_MM = 0.02
"""A rail that runs out at a crest is nowhere as narrow as at the very angle of the crest."""


def band(form: RingForm) -> Polygon:
    """The band's section in (z, r), its edges not rounded."""
    runs = [
        sampled(edge, 2 if is_line(edge) else STEPS)[:-1] for edge in section_edges(asked(form))
    ]
    return Polygon(np.concatenate(runs)).buffer(0)


class Drawn:
    """Who holds the metal of a section, at any angle of a band that is alike all round."""

    def __init__(self, form: RingForm, places: Sequence[AnyPlace]) -> None:
        self.form, self.places = form, places
        self.half, self.bore = self.form.width_mm / 2, self.form.inside_diameter_mm / 2
        self.whole = band(self.form)
        line = np.concatenate([sampled(edge, STEPS) for edge in outside_edges(asked(self.form))])
        self.line = line
        self.mid = self.bore + self.form.mid_mm

    def outside_r(self, z: float) -> float:
        return float(np.interp(z, self.line[:, 0], self.line[:, 1]))

    def holders(self, angle: float) -> dict[tuple[int, int], Any]:
        """(place, which of its parts) or (-1, 0) for the body -> what it holds."""
        left, found = self.whole, {}
        for number, place in enumerate(self.places):
            for which, (takes, fills) in enumerate(self.shapes(place, angle)):
                found[number, which] = left & fills
                left = left - takes
        if self.form.proud_mm > 0:
            # what stands above the outside is the body's alone
            tall = shapely.affinity.translate(self.whole, 0, self.form.proud_mm) - self.whole
            for place in self.places:
                for takes, _ in self.shapes(place, angle):
                    tall = tall - takes
            left = left | tall
        if self.form.proud_mm < 0:
            low = shapely.affinity.translate(self.whole, 0, self.form.proud_mm)
            left = left & (low | box(-FAR, 0, FAR, self.bore + 1e-6))
        found[-1, 0] = left
        return found

    def shapes(self, place: AnyPlace, angle: float) -> Iterator[tuple[Any, Any]]:
        """What a place takes, and what it fills."""
        gap = place.gap
        if isinstance(place, Liner):
            top = self.bore + place.thickness_mm
            yield box(-FAR, 0, FAR, top), box(-FAR, 0, FAR, top - gap.floor)
        elif isinstance(place, Segments):
            floor = 0.0 if place.depth_mm is None else self.mid - place.depth_mm
            more = 0.0 if place.depth_mm is None else gap.floor
            yield box(-FAR, floor, FAR, FAR), box(-FAR, floor + more, FAR, FAR)
        elif isinstance(place, Channel):
            floor = self.mid - place.depth_mm
            yield (
                self.channel(place, angle, floor, 0.0),
                self.channel(place, angle, floor + gap.floor, gap.side),
            )
        elif isinstance(place, Stripe):
            ends = (-1, place.from_mm, "from"), (1, place.to_mm, "to")
            low, high = (self.end(place, way, at, on, angle) for way, at, on in ends)
            yield box(low, 0, high, FAR), box(low + gap.side, 0, high - gap.side, FAR)
        elif isinstance(place, Edges):
            inner = self.half - place.width_mm
            low, high = (at + self.swing(place, angle) for at in (-inner, inner))
            yield box(-FAR, 0, low, FAR), box(-FAR, 0, low - gap.side, FAR)
            yield box(high, 0, FAR, FAR), box(high + gap.side, 0, FAR, FAR)

    def swing(self, place: Any, angle: float) -> float:
        wave = place.wave
        if wave is None or wave.amplitude_mm < 1e-4:
            return 0.0
        return float(wave.amplitude_mm * sin(wave.count * angle + radians(wave.phase_deg)))

    def end(self, place: Any, way: int, at: float, on: str, angle: float) -> float:
        """z of a wall; far out where it lies on the band's own edge."""
        if abs(at - way * self.half) < 1e-9:
            return way * FAR
        moves = getattr(place.wave, "on", "both") in ("both", on)
        return at + (self.swing(place, angle) if moves else 0.0)

    def channel(self, place: Channel, angle: float, floor: float, inset: float) -> Any:
        walls = []
        for way in (-1, 1):
            at = self.end(place, way, place.centre_mm + way * place.width_mm / 2, "both", angle)
            under = place.undercut_mm if abs(at) < FAR and place.undercut_mm >= 1e-4 else 0.0
            walls.append((at - way * inset, under, self.outside_r(at)))
        (low, under_low, top_low), (high, under_high, top_high) = walls
        return Polygon(
            [(low - under_low, floor), (high + under_high, floor), (high, max(top_high, floor)),
             (high, FAR), (low, FAR), (low, max(top_low, floor))]
        ).buffer(0)  # fmt: skip


def runs(shape: Any, radius: float) -> list[tuple[float, float]]:
    """Unbroken stretches of a shape along a cylinder, as (from, to)."""
    cut = shape & LineString([(-FAR, radius), (FAR, radius)])
    parts = [g for g in getattr(cut, "geoms", [cut]) if g.geom_type == "LineString"]
    return [(g.bounds[0], g.bounds[2]) for g in parts if not g.is_empty and g.length > 1e-7]


def eased(measure: Any, angle: float) -> float:
    """A measure of a taper at an angle: half a cosine from one station to the next."""
    turned = angle % (2 * pi)
    ends = [*measure.angles, 2 * pi], [*measure.values, measure.values[0]]
    at = int(np.searchsorted(ends[0], turned, side="right")) - 1
    (start, end), (low, high) = ends[0][at : at + 2], ends[1][at : at + 2]
    return float(low + (high - low) * (1 - cos(pi * (turned - start) / (end - start))) / 2)


def local(job: rg.Job, angle: float) -> Drawn:
    """The band and its places as they are at an angle."""
    form, places = job.form, job.design.parts
    if form.taper is None:
        return Drawn(form, places)
    there = form.of(eased(form.taper.width, angle), eased(form.taper.thickness, angle))
    share = there.share(form)
    return Drawn(there, [place.shared(share) for place in places])


def drawings(job: rg.Job) -> list[tuple[float, Drawn]]:
    """The band at every station, crest and trough, and at some angles between."""
    taper = job.form.taper
    found = {0.0}
    waves = [p.wave for p in job.design.parts if getattr(p, "wave", None) is not None]
    if taper is not None:
        found |= set(taper.angles)
    if any(wave.amplitude_mm >= 1e-4 for wave in waves):
        # between two waves, or where the band tapers, a rail is narrowest anywhere near a crest
        count = 25 if taper is None and all(one == waves[0] for one in waves) else 720
        found |= {2 * pi * n / count + 0.1 for n in range(count)}
        for wave in waves:
            for k in range(2 * wave.count):
                crest = (pi / 2 + k * pi - radians(wave.phase_deg)) / wave.count
                # beside it too: a rail that ends at the very crest is not there
                found |= {crest, crest + 0.01 / wave.count}
    drawn = local(job, 0.0)
    return [(a, drawn if taper is None else local(job, a)) for a in sorted(found)]


def disagreements(job: rg.Job, found: Verdict) -> Iterator[str]:
    """Findings whose number is not what the second drawing measures, and what they miss."""
    found.findings += len(job.findings)
    codes = {finding.code for finding in job.findings}
    if codes & UNDRAWN:
        return
    drawn = drawings(job)
    yield from _floors(job, drawn, found)
    press = any(min(p.gap.side, p.gap.floor) < 0 for p in job.design.parts)
    if not codes & {"pointed-tip"} and not press:
        yield from _rails(job, drawn, found)


UNDRAWN = {
    "form-does-not-fit", "dome-too-high", "dome-larger-than-wall", "edge-rounding", "runs-out",
    "inlay-too-wide", "liner-runs-out", "parts-overlap", "undercuts-meet", "nothing-left",
    "cannot-be-laid-out", "crosses-itself", "wave-folds", "recess-too-deep", "too-small",
    "looks-like-inches", "gap-eats-part", "gap-negative", "no-body", "crumb", "stripes-do-not-sum",
    "gap-on-both",
}  # fmt: skip
"""Nothing can be measured where the places do not fit."""


def _levels(drawn: Drawn) -> list[tuple[float, int | None]]:
    """Mid-wall, and every let-in place at its floor, at its part's own, which says something of
    that alone, and half-way up; none where they say nothing.

    Over a falling outside a rail ends in a slope, and its width is told at its foot; a rounded
    edge is not drawn here.
    """
    lined = [p.thickness_mm for p in drawn.places if isinstance(p, Liner)]
    crest = drawn.bore + drawn.form.thickness_mm
    lowered = min(drawn.form.proud_mm, 0.0)
    edge = float(drawn.line[[0, -1], 1].min()) - drawn.form.edge_mm + lowered
    lowest = float(drawn.line[:, 1].min()) + lowered
    foot = max(float(np.max(sampled_bore(drawn)[1])) + drawn.form.edge_mm, drawn.bore)
    # never on the very floor of another place
    middle = 0.5 * (drawn.bore + max(lined, default=0.0) + crest) + 1e-5
    found: list[tuple[float, int | None]] = [(middle, None)]
    lowest = min(lowest, edge)
    if drawn.form.outside.form == "free" and any(True for _ in _risers(drawn)):
        return []  # what lies beside a step slopes: its width is told by the column
    if not foot < middle < lowest - 0.01:
        return []
    for number, place in enumerate(drawn.places):
        if getattr(place, "depth_mm", None) is None:
            continue
        floor = drawn.mid - place.depth_mm
        if floor < foot or floor > lowest - 0.01:
            return []
        found.append((floor + 1e-5, None))
        if place.gap.floor > 0:
            found.append((floor + place.gap.floor + 1e-5, number))
        found.append((0.5 * (floor + lowest) + 1e-5, None))
        found += [
            (0.5 * (max(floor, low) + high) + 1e-5, None)
            for low, high in _risers(drawn)
            if high > floor
        ]
    return found


def _risers(drawn: Drawn) -> Iterator[tuple[float, float]]:
    """Lower and higher radius of every step of the outside, and of the body's own."""
    if any(getattr(place, "wave", None) is not None for place in drawn.places):
        return
    for _, points in groupby(drawn.line.tolist(), key=lambda point: round(point[0], 9)):
        radii = [r for _, r in points]
        if max(radii) - min(radii) > 1e-6:
            for shift in {0.0, drawn.form.proud_mm}:
                yield min(radii) + shift, max(radii) + shift


def _rails(job: rg.Job, drawings: Sequence[tuple[float, Drawn]], found: Verdict) -> Iterator[str]:
    """What is said to be narrow is as narrow as that, and all else is not narrow."""
    limits = job.shop.limits
    least: dict[tuple[int, int], float] = {}
    places = job.design.parts
    # beside slanted joints a width is told along the slanted cut, and waves are elsewhere there
    waves = any(getattr(place, "wave", None) is not None for place in places)
    agree = 3 * AGREE_MM if waves and job.ring is not None and job.ring.twist else AGREE_MM
    split = any(getattr(place, "route", None) == "split body" for place in places)
    for angle, drawn in drawings:
        holders = drawn.holders(angle)
        levels = _levels(drawn)
        if not levels:
            return
        for level, only in levels:
            for (number, which), shape in holders.items():
                if number >= 0 and isinstance(places[number], Channel):
                    continue
                if only not in (None, number):
                    continue
                for start, end in runs(shape, level):
                    key = number, which
                    least[key] = min(least.get(key, FAR), end - start)
    told: dict[str, Finding] = {}
    for finding in job.findings:
        if finding.code == "thin-rail":
            # of a body in two pieces the narrower one is measured
            name = re.sub(r"^body \d+$", "body", finding.part or "")
            told[name] = min(told.get(name, finding), finding, key=lambda one: one.value or 0.0)
    for (number, which), width in least.items():
        if number < 0 and split:
            continue  # its halves are told
        found.rails += 1
        name = _name(places[number], which) if number >= 0 else "body"
        said = told.get(name)
        if said is None:
            # a ring stopped before it is laid out is told that first
            if width < limits.rail_warn_mm - agree and not job.stopped:
                yield f"{name} is {width:.4f} mm wide and nothing is said"
            continue
        if "come within" in said.text and job.form.taper is not None:
            continue  # told for the band at its widest
        gap = places[number].gap.side if number >= 0 else 0.0
        # before a ring is laid out the boundaries of a stripe are told, its gaps between them
        fit = [width, width + gap, width + 2 * gap] if "come within" in said.text else [width]
        off = min(abs((said.value or 0.0) - one) for one in fit)
        if off > agree and max(said.value or 0.0, width) > RUNS_OUT_MM:
            yield f"{name} is said to be {said.value} mm wide and measures {width:.4f}"


def _name(place: AnyPlace, which: int) -> str:
    return f"{place.name} {which + 1}" if isinstance(place, Edges | Segments) else place.name


def _floors(job: rg.Job, drawings: Sequence[tuple[float, Drawn]], found: Verdict) -> Iterator[str]:
    """Under the only place that is let in: from its floor to the bore, or to the liner."""
    parts = job.design.parts
    let_in = [n for n, p in enumerate(parts) if getattr(p, "depth_mm", None) is not None]
    if len(let_in) != 1 or not isinstance(parts[let_in[0]], Channel):
        return
    if any(not isinstance(p, Liner) for p in parts[: let_in[0]]):
        return
    least = FAR
    for angle, drawn in drawings:
        place = drawn.places[let_in[0]]
        lined = [p.thickness_mm for p in drawn.places if isinstance(p, Liner)]
        floor = drawn.mid - place.depth_mm
        top = drawn.bore + max(lined, default=0.0)
        below = sampled_bore(drawn)
        for start, end in runs(drawn.channel(place, angle, floor, 0.0), floor + 1e-9):
            z = np.linspace(max(start, -drawn.half), min(end, drawn.half), 101)
            if job.form.edge_mm and np.abs(z).max() > drawn.half - job.form.edge_mm:
                return
            if drawn.form.proud_mm < 0:
                top_of_body = np.interp(z, *drawn.line.T) + drawn.form.proud_mm
                if float(top_of_body.min()) < floor + 1e-9:
                    return  # it hangs over the lowered body
            under = np.maximum(np.interp(z, *below), top if lined else 0.0)
            least = min(least, float((floor - under).min()))
    if least <= 0 or least == FAR:
        return
    place = parts[let_in[0]]
    found.rails += 1
    told = [f for f in job.findings if f.code == "thin-floor" and f.part == place.name]
    if not told and least < job.shop.limits.floor_warn_mm - AGREE_MM and not job.stopped:
        yield f"{least:.4f} mm of floor under {place.name} and nothing is said"
    for finding in told:
        if finding.value is None or abs(finding.value - least) > AGREE_MM:
            yield f"floor said to be {finding.value} mm measures {least:.4f} under {place.name}"


def sampled_bore(drawn: Drawn) -> tuple[Any, Any]:
    from form.outlines import bore_edges

    line = np.concatenate([sampled(edge, STEPS) for edge in bore_edges(asked(drawn.form))])
    return line[:, 0], line[:, 1]
