"""Random sensible rings for property tests, drawn as a designer would write them."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from ringgeom.form.places import AnyPlace, Channel, Edges, Liner, Segments, Stripe
from ringgeom.form.profiles import Domed, FlatFace
from ringgeom.form.ring import Stock
from ringgeom.form.ring_form import RingForm

ALLOY = "gold-750-green"
STOCK = Stock(outside_mm=0.10, bore_mm=0.10, edge_mm=0.15)
"""Finishing stock by common practice, no source: 0.10 a polished face, 0.15 an edge face."""


def dome(rise_mm: float) -> FlatFace | Domed:
    return Domed(form="domed", rise_mm=rise_mm) if rise_mm else FlatFace()


def form(
    *,
    bore: float = 17.35,
    width: float = 6.0,
    thickness: float = 1.9,
    out: float = 0.35,
    into: float = 0.25,
    edge: float = 0.0,
    proud: float = 0.0,
) -> RingForm:
    """The reference bore and domes unless told otherwise [mm]."""
    return RingForm(
        inside_diameter_mm=bore,
        width_mm=width,
        thickness_mm=thickness,
        outside=dome(out),
        inside=dome(into),
        edge_mm=edge,
        proud_mm=proud,
    )


FLAT = form(out=0.0, into=0.0)


def channel(width: float = 2.4, depth: float = 0.8, **more: Any) -> Channel:
    asked = {"name": "inlay", "place": "channel", "alloy": ALLOY} | more
    return Channel(width_mm=width, depth_mm=depth, **asked)


def stripe(low: float, high: float, **more: Any) -> Stripe:
    asked = {"name": f"stripe {low:g}", "place": "stripe", "alloy": ALLOY} | more
    return Stripe(from_mm=low, to_mm=high, **asked)


def liner(thickness: float, **more: Any) -> Liner:
    return Liner(name="liner", place="liner", alloy=ALLOY, thickness_mm=thickness, **more)


def edges(width: float, **more: Any) -> Edges:
    return Edges(name="rail", place="edges", alloy=ALLOY, width_mm=width, **more)


def segments(count: int, **more: Any) -> Segments:
    return Segments(name="s", place="segments", alloys=(ALLOY,), count=count, **more)


def wave(amplitude: float, count: int, phase: float = 0.0, **more: Any) -> dict[str, Any]:
    return {"amplitude_mm": amplitude, "count": count, "phase_deg": phase, **more}


def _mm(low: float, high: float) -> st.SearchStrategy[float]:
    """A measure as it is written: hundredths of a millimetre."""
    return st.integers(round(low * 100), round(high * 100)).map(lambda n: n / 100)


PHASES = st.sampled_from([0.0, 15.0, 90.0, 133.0, 180.0, 270.0])


@st.composite
def forms(draw: st.DrawFn) -> RingForm:
    """Flat or domed outside and inside, edges rounded or sharp, body flush, proud or recessed."""
    out, into = draw(st.just(0.0) | _mm(0.1, 0.45)), draw(st.just(0.0) | _mm(0.05, 0.25))
    edge = draw(st.just(0.0) | _mm(0.05, 0.35))
    return form(
        bore=draw(_mm(14, 21)),
        width=draw(_mm(5, 9)),
        thickness=draw(_mm(1.9, 2.8)),
        out=out,
        into=into,
        edge=edge,
        proud=draw(st.sampled_from([0.0, 0.0, -0.2, -0.1, 0.15])),
    )


@st.composite
def gaps(draw: st.DrawFn) -> dict[str, float]:
    """Open, none, or a press fit of turned parts."""
    one = st.just(0.0) | _mm(0.01, 0.08) | _mm(-0.03, -0.01)
    return {"side": draw(one), "floor": draw(one)}


@st.composite
def channels(draw: st.DrawFn, low: float, high: float) -> Channel:
    """A channel somewhere between two z; its wave and its undercut stay between them too."""
    room = high - low
    under = draw(st.just(0.0) | _mm(0.03, 0.15))
    swing = draw(st.just(0.0) | _mm(0.1, max(0.1, room / 2 - 0.7 - under)))
    least = 0.6
    width = draw(_mm(least, max(least, room - 2 * swing - 2 * under - 0.02)))
    slack = max(0.0, (room - width) / 2 - swing - under - 0.01)
    asked: dict[str, Any] = {"undercut_mm": under, "gap_mm": draw(gaps())}
    if swing:
        asked["wave"] = wave(swing, draw(st.integers(1, 5)), draw(PHASES))
    return channel(
        width,
        draw(_mm(0.5, 0.9)),
        name=f"inlay {low:g}",
        centre_mm=(low + high) / 2 + draw(st.integers(-4, 4)) / 4 * slack,
        **asked,
    )


@st.composite
def rings(draw: st.DrawFn, *, waves: bool = True) -> tuple[RingForm, list[AnyPlace]]:
    """A band, perhaps a liner, up to two channels, and what is under and between them."""
    band = draw(forms())
    half = band.width_mm / 2
    places: list[AnyPlace] = []
    if draw(st.booleans()):
        places.append(liner(draw(_mm(0.4, 0.6)), gap_mm=draw(gaps())))
    end = half - 0.1
    lanes = draw(st.sampled_from([(), ((-end, end),), ((-end, -0.02), (0.02, end))]))
    places += [draw(channels(*lane)) for lane in lanes]
    rest = draw(st.sampled_from(["body", "stripes", "edges", "segments", "edges, segments"]))
    same = wave(draw(_mm(0.1, 0.6)), draw(st.integers(1, 4)), draw(PHASES))
    waving = {"wave": same} if draw(st.booleans()) else {}
    if rest == "stripes":
        stops = [-half, draw(_mm(-1.2, -0.4)), draw(_mm(0.3, 1.2)), half]
        for low, high in pairwise(stops):
            if draw(st.integers(0, 3)):
                places.append(stripe(low, high, gap_mm=draw(gaps()), **waving))
    if rest.startswith("edges"):
        places.append(edges(draw(_mm(0.8, 1.2)), gap_mm=draw(gaps()), **waving))
    if rest.endswith("segments"):
        places.append(draw(some_segments()))
    if not waves:
        places = [still(place) for place in places]
    assume(not folds(band, places))
    return band, places


@st.composite
def some_segments(draw: st.DrawFn) -> Segments:
    """Straight or slanted, through or let in; a press fit between segments is a test of its own."""
    asked: dict[str, Any] = {"gap_mm": {"side": draw(_mm(0.0, 0.08)), "floor": draw(_mm(0, 0.08))}}
    if draw(st.booleans()):
        asked["slant_deg"] = float(draw(st.integers(-60, 60)))
    if draw(st.booleans()):
        asked["depth_mm"] = draw(_mm(0.7, 1.1))
    return segments(draw(st.integers(2, 9)), **asked)


def still(place: AnyPlace) -> AnyPlace:
    """The same place without its wave."""
    return place.model_copy(update={"wave": None}) if hasattr(place, "wave") else place


def twist(band: RingForm, places: list[AnyPlace]) -> float:
    """Turn of a slanted joint over the width [rad/mm]."""
    crest = band.inside_diameter_mm / 2 + band.thickness_mm
    slants = [place.slant_deg for place in places if isinstance(place, Segments)]
    return math.tan(math.radians(slants[0])) / crest if slants else 0.0


def folds(band: RingForm, places: list[AnyPlace]) -> bool:
    """Whether a slanted cut is refused: a wave too steep for it, or leaning walls that wave.

    On a slanted cut a wall that both leans and waves is drawn straight from head to foot, which
    is near its contract and not at it.
    """
    slant = twist(band, places)
    if slant == 0.0:
        return False
    waves = [place for place in places if getattr(place, "wave", None) is not None]
    return any(
        abs(slant) * place.wave.amplitude_mm * place.wave.count > 0.9
        or getattr(place, "undercut_mm", 0.0) > 0
        for place in waves
    )


def mirrored(place: AnyPlace) -> AnyPlace:
    """The same place seen from the other edge: z turned to -z."""
    change: dict[str, Any] = {}
    if isinstance(place, Channel):
        change["centre_mm"] = -place.centre_mm
    elif isinstance(place, Stripe):
        change |= {"from_mm": -place.to_mm, "to_mm": -place.from_mm}
    elif isinstance(place, Segments):
        change["slant_deg"] = -place.slant_deg
    if getattr(place, "wave", None) is not None:
        turned = {"phase_deg": place.wave.phase_deg + 180}
        if isinstance(place, Stripe):
            turned["on"] = {"from": "to", "to": "from"}.get(place.wave.on, "both")
        change["wave"] = place.wave.model_copy(update=turned)
    return place.model_copy(update=change)
