"""What can be grabbed on the outside lies on the outline that it moves, and the outline follows."""

from __future__ import annotations

from math import atan, degrees, inf, pi, radians, tan
from typing import Any

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.drawing.outside import outside_patches
from ringgeom.making.roll import CHORD_MM
from ringgeom.page.edits import Change, changed_text
from ringgeom.page.grip import Grip
from ringgeom.page.grips_round import grips_round
from ringgeom.page.measures_round import measures_round

RING = """
[job]
name = "Round"
[ring]
size = "18 mm across"
width_mm = 7.0
thickness_mm = 2.2
[body]
alloy = "gold-750-yellow-3n"
"""
FILLED = RING[: RING.index("[body]")]

PART = """
[[part]]
name = "{name}"
place = "{place}"
{metal}
{keys}
"""

AROUND = pi * (18 + 2 * 2.2)


def part(place: str, name: str = "one", metal: str = "", **keys: object) -> str:
    metal = metal or 'alloy = "gold-750-white-pd-20"'
    lines = "\n".join(f"{key} = {value}" for key, value in keys.items())
    return PART.format(name=name, place=place, metal=metal, keys=lines)


def waving(amplitude: float, count: int, phase: int, on: str = "") -> str:
    which = f', on = "{on}"' if on else ""
    return f"{{ amplitude_mm = {amplitude}, count = {count}, phase_deg = {phase}{which} }}"


twentieths = st.integers(0, 14).map(lambda n: n / 20)
waves = st.tuples(twentieths, st.integers(1, 9), st.integers(-400, 400))


@st.composite
def channels(draw: st.DrawFn) -> str:
    width, centre = 1 + draw(twentieths), draw(twentieths) - 0.35
    keys: dict[str, Any] = {"width_mm": width, "depth_mm": 0.7, "centre_mm": centre}
    if draw(st.booleans()):
        keys["wave"] = waving(*draw(waves))
    return RING + part("channel", **keys)


@st.composite
def stripes(draw: st.DrawFn) -> str:
    wave, on = draw(waves), draw(st.sampled_from(["both", "from", "to"]))
    edge = draw(twentieths) - 0.35
    return (
        RING
        + part("stripe", from_mm=edge, to_mm=edge + 1.5, wave=waving(*wave, on=on))
        + (
            part("stripe", "two", from_mm=edge + 1.5, to_mm=3.5, wave=waving(*wave, on="from"))
            if on != "from"
            else ""
        )
    )


@st.composite
def rails(draw: st.DrawFn) -> str:
    keys: dict[str, Any] = {"width_mm": 1.2 + draw(twentieths)}
    if draw(st.booleans()):
        keys["wave"] = waving(*draw(waves))
    return RING + part("edges", **keys)


@st.composite
def segments(draw: st.DrawFn) -> str:
    metal = 'alloys = ["gold-750-white-pd-20", "gold-750-red-5n"]'
    slant, count = draw(st.integers(-50, 50)), draw(st.integers(2, 12))
    keys: dict[str, Any] = {"count": count, "slant_deg": slant}
    keys["gap_mm"] = draw(st.sampled_from([0.0, 0.05]))
    if draw(st.booleans()):
        return RING + part("segments", metal=metal, depth_mm=0.9, **keys)
    edges = part("edges", "rail", width_mm=1.2) if draw(st.booleans()) else ""
    return FILLED + edges + part("segments", metal=metal, **keys)


designs = st.one_of(channels(), stripes(), rails(), segments())

EVERY_MM = 0.01 + CHORD_MM
"""A wall is drawn in chords that keep within `CHORD_MM`; places of findings to 0.01 mm."""


def outline(text: str, grip: Grip) -> Any:
    """Edges, on the outside, of the part that a grip moves; None of a stopped ring."""
    job = rg.job(rg.design_from_text(text))
    number = grip.moves[0].key[1]
    assert isinstance(number, int)
    name = job.design.parts[number].name
    areas = [
        area
        for patch in outside_patches(job)
        if patch.part.name == name or patch.part.name.startswith(f"{name} ")
        for area in patch.areas
    ]
    return shapely.MultiLineString([[*area, area[0]] for area in areas]) if areas else None


def touches(text: str, grip: Grip, at: tuple[float, float]) -> bool:
    lines = outline(text, grip)
    assume(lines is not None)
    s, z = at
    if grip.name.endswith("centre"):
        # the middle of a channel is as far from its wall above as from the one below
        across = shapely.LineString([(s, -9), (s, 9)]).intersection(lines)
        heights = [point.y for point in shapely.get_parts(across)]
        return abs(sum(heights) / 2 - z) < EVERY_MM and len(heights) == 2
    turns = (shapely.Point(s + turn, z) for turn in (-AROUND, 0, AROUND))
    return bool(min(lines.distance(point) for point in turns) < EVERY_MM)


def value_after(grip: Grip, mm: float) -> float:
    """As `Grip` says: f(value) grows by `per` for each mm of the hand; whole steps within ends."""
    one = grip.moves[0]
    if grip.law == "inverse":
        grown = 1 / one.value + mm * one.per
        value = 1 / grown if grown > 0 else inf
    elif grip.law == "slant":
        value = degrees(atan(tan(radians(one.value)) + mm * one.per))
    else:
        value = one.value + mm * one.per
    least, most = (-inf if grip.least is None else grip.least), grip.most or 1000
    return round(
        max(least, min(most, round(max(least, min(most, value)) / grip.snap) * grip.snap)), 6
    )


def way(grip: Grip, value: float) -> float:
    one = grip.moves[0]
    if grip.law == "inverse":
        return (1 / value - 1 / one.value) / one.per
    if grip.law == "slant":
        return (tan(radians(value)) - tan(radians(one.value))) / one.per
    return (value - one.value) / one.per


def of(design: Design) -> dict[str, Grip]:
    band = rg.job(design).form.band
    return {grip.name: grip for grip in grips_round(design, band)}


@given(text=designs)
@settings(max_examples=40, deadline=None)
def test_every_grip_lies_on_the_outline_that_it_moves(text: str) -> None:
    found = of(rg.design_from_text(text))
    assert found
    assert list(found.values()) == sorted(found.values(), key=lambda grip: grip.at_mm)
    for grip in found.values():
        assert touches(text, grip, grip.at_mm), grip
        assert 0 <= grip.at_mm[0] <= AROUND + 7  # a slanted joint may lean over the end
        assert grip.says.count(",") == 0


@given(text=designs, data=st.data(), mm=st.integers(-30, 30).map(lambda n: n / 10))
@settings(max_examples=80, deadline=None)
def test_the_outline_goes_with_the_hand(text: str, data: st.DataObject, mm: float) -> None:
    grip = data.draw(st.sampled_from(list(of(rg.design_from_text(text)).values())))
    if grip.axis == "y":
        mm /= 5
    value = value_after(grip, mm)
    whole = int(value) if grip.unit == "count" else value
    first, went = grip.moves[0], way(grip, value)
    changes = [
        Change(
            key=one.key,
            value=whole if n == 0 or one.per == first.per else one.value + went * one.per,
        )
        for n, one in enumerate(grip.moves)
        if n == 0 or one.value == first.value
    ]
    assume(len(changes) == len(grip.moves))
    moved = changed_text(text, changes)
    s, z = grip.at_mm
    at = (s + went, z) if grip.axis == "x" else (s, z + went)
    assume(grip.axis == "x" or abs(at[1]) < 3.4)  # beyond the band's edge nothing is seen
    assert touches(moved, grip, at), (grip, value, moved)


def test_stripes_with_one_wave_swing_together() -> None:
    """Derived: both sides of a shared boundary wave alike, or metal would be doubled there."""
    wave, other = waving(0.5, 5, 10), waving(0.4, 5, 10)
    text = RING + "".join(
        part("stripe", name, from_mm=a, to_mm=b, wave=w)
        for name, a, b, w in (
            ("a", -2, -1, wave), ("b", -1, 0.5, wave), ("c", 0.5, 2, wave), ("d", 2, 3.5, other),
        )
    )  # fmt: skip
    found = of(rg.design_from_text(text))
    moved = {name: [move.key[1] for move in grip.moves] for name, grip in found.items()}
    assert moved["round 0 height"] == moved["round 0 count"] == moved["round 0 phase"] == [0, 1, 2]
    assert moved["round 3 height"] == [3]
    assert "round 1 height" not in moved


def test_only_what_can_be_seen_to_move_has_a_grip() -> None:
    liner = RING + part("liner", thickness_mm=0.7)
    assert of(rg.design_from_text(liner)) == {}
    # its waving side is the band's edge, which stays
    still = RING + part("stripe", from_mm=-3.5, to_mm=0, wave=waving(0.5, 3, 0, on="from"))
    assert list(of(rg.design_from_text(still))) == ["round 0 to_mm"]
    # a wave without height can be pulled out again
    flat = RING + part("channel", width_mm=1, depth_mm=0.8, wave=waving(0, 3, 0))
    assert of(rg.design_from_text(flat))["round 0 height"].at_mm[1] == pytest.approx(0.5)
    # a step has one wall, and the edge of the band stays where it is
    step = RING + part("channel", width_mm=2, depth_mm=0.8, centre_mm=2.5)
    (wall,) = of(rg.design_from_text(step)).values()
    assert [(one.key[-1], one.per) for one in wall.moves] == [("width_mm", -1), ("centre_mm", 0.5)]


def test_lengths_on_the_outside() -> None:
    """Derived: 22.4 pi mm once round; a piece is its share less its gap along the outside."""
    metal = 'alloys = ["gold-750-white-pd-20"]'
    keys = {"count": 8, "slant_deg": 30, "gap_mm": 0.05, "depth_mm": 0.9}
    text = (
        RING
        + part("channel", width_mm=1, depth_mm=0.8, wave=waving(0.6, 4, 0))
        + part("segments", "two", metal=metal, **keys)
    )
    design = rg.design_from_text(text)
    found = {one.says: one for one in measures_round(design, rg.job(design).form.band)}
    length = found["length of one wave of one"]
    assert length.value == pytest.approx(AROUND / 4, rel=1e-12)  # rounding alone
    assert length.to_mm - length.from_mm == pytest.approx(length.value, rel=1e-12)
    assert found["wave height of one, middle to crest"].value == 0.6
    piece, gap = found["length of a piece of two"], found["gap at the joints of two"]
    assert piece.value == pytest.approx(AROUND / 8 - 0.05 / (3**0.5 / 2), rel=1e-12)
    assert gap.value == 0.05
    assert gap.key == ("part", 1, "gap_mm", "side")
