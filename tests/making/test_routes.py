"""How parts get into the ring: every route with its number, and the two that change the parts."""

from __future__ import annotations

from math import pi
from pathlib import Path
from typing import Any

import manifold3d
import numpy as np
import pytest

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.form.solid import solids
from ringgeom.making.routes import Route

DESIGNS = sorted((Path(__file__).parents[2] / "designs").glob("*.toml"))
YELLOW, GREEN = "gold-750-yellow-3n", "gold-750-green"


def design(*parts: dict[str, Any], size: str = "18 mm across", **body: Any) -> Design:
    """A flat band 6 x 2, floor across 20 and rails across 22 with the channel below."""
    return Design.model_validate(
        {
            "job": {"name": "Trial"},
            "ring": {"size": size, "width_mm": 6.0, "thickness_mm": 2.0},
            "body": {"alloy": YELLOW, **body},
            "part": list(parts),
        }
    )


def channel(**keys: Any) -> dict[str, Any]:
    plain = {"name": "inlay", "place": "channel", "alloy": GREEN, "width_mm": 3.0, "depth_mm": 1.0}
    return {**plain, "gap_mm": 0.05, **keys}


def route(asked: Design, name: str, shop: rg.Shop | None = None) -> Route:
    job = rg.job(asked, shop)
    (found,) = (one for one in job.routes if one.name == name and one.part == "inlay")
    return found


def size(found: Route, name: str) -> float:
    return next(one.value for one in found.sizes if one.name == name)


def test_stretching_over_a_rail() -> None:
    """22 over 20 is 10 % (computed in the facts): beyond the usual half to one size."""
    found = route(design(channel()), "stretch")
    assert found.value == pytest.approx(10.0, abs=1e-9)
    assert found.works is False
    willing = rg.Shop.model_validate({"joining": {"stretch_percent": 12.0}})
    found = route(design(channel()), "stretch", willing)
    assert found.works is True
    # the inlay's bore is 20.1: the body begins 1.9 smaller
    assert size(found, "body's bore to begin with") == pytest.approx(18 - 1.9, abs=1e-9)
    assert size(found, "section lost to stretching") == pytest.approx(100 * (1 - 20 / 22), abs=1e-9)


def test_the_bore_stretches_more_than_the_floor() -> None:
    """Derived: floor across 21, rails 22: 4.8 %; the bore goes from 17.0 to 18: 5.9 %, too much."""
    found = route(design(channel(depth_mm=0.5, gap_mm=0.0)), "stretch")
    assert found.works is False
    assert found.value == pytest.approx(100 / 17, abs=1e-9)
    willing = rg.Shop.model_validate({"joining": {"stretch_percent": 5.9}})
    found = route(design(channel(depth_mm=0.5, gap_mm=0.0)), "stretch", willing)
    assert found.works is True
    assert size(found, "body's bore to begin with") == pytest.approx(17.0, abs=1e-9)


def test_a_split_body_is_parted_in_its_own_metal() -> None:
    """Derived: bore across 18, liner to 19.2, floor at 20: 0.4 of body, not 1.0."""
    liner = {"name": "lining", "place": "liner", "alloy": "silver-925", "thickness_mm": 0.6}
    found = route(design(liner, channel(depth_mm=0.6, width_mm=2.0)), "split body")
    assert found.value == pytest.approx(0.8, abs=1e-9)


def test_casting_on_needs_more_than_a_pour_may_be_hotter() -> None:
    """Green over 3N: 1026 - 970 = 56, a pour may be 25 hotter; a smaller difference is none."""
    found = route(design(channel()), "cast on")
    assert (found.value, found.limit) == (pytest.approx(56), pytest.approx(25))
    assert "% larger for its shrink" in found.steps[0]


def test_us_7_with_a_groove_of_0_8() -> None:
    """8.28 % (computed in the facts), on a band of 2 mm: (17.3228 + 4) / (17.3228 + 2.4) - 1."""
    found = route(design(channel(depth_mm=0.8), size="US 7"), "stretch")
    assert found.value == pytest.approx(100 * (21.3228 / 19.7228 - 1), abs=1e-3)


def test_nickel_white_stretches_less() -> None:
    shop = rg.Shop.model_validate({"joining": {"stretch_percent": 12.0}})
    asked = design(channel(), alloy="gold-750-white-ni-medium")
    assert route(asked, "stretch", shop).works is False


def test_a_strip_is_wrapped_round_the_floor() -> None:
    """Blank = pi (D + t) less the joint: bore 20.1 and 0.95 thick."""
    found = route(design(channel()), "wrap and seam")
    assert found.works is True
    assert size(found, "strip length") == pytest.approx(pi * (20.1 + 0.95) - 0.05, abs=1e-9)
    assert size(found, "strip width") == pytest.approx(2.9, abs=1e-12)
    assert size(found, "bending strain") == pytest.approx(100 * 0.95 / 21.05, abs=1e-9)


def test_a_waving_strip_is_as_long_as_its_wave() -> None:
    """Arc length of z = A sin(n theta) on the strip's mean cylinder, by the trapezoid rule.

    A developable surface unrolls true: the blank is once round, and as wide as its crests.
    """
    found = route(design(channel(wave={"amplitude_mm": 0.8, "count": 5})), "wrap and seam")
    mean = (20.1 + 0.95) / 2
    theta = np.linspace(0, 2 * pi, 20001)[:-1]
    along = 2 * pi * np.hypot(mean, 0.8 * 5 * np.cos(5 * theta)).mean()
    assert size(found, "strip length") == pytest.approx(along - 0.05, abs=1e-9)
    assert size(found, "sheet length") == pytest.approx(2 * pi * mean - 0.05, abs=1e-9)
    assert size(found, "sheet width") == pytest.approx(2.9 + 2 * 0.8, abs=1e-12)
    assert 2.9 / np.hypot(1, 0.8 * 5 / mean) <= size(found, "narrowest across the wave") < 2.9
    wire = route(
        design(channel(undercut_mm=0.2, width_mm=2.0, wave={"amplitude_mm": 0.8, "count": 5})),
        "hammer in",
    )
    along = 2 * pi * np.hypot(10.5, 0.8 * 5 * np.cos(5 * theta)).mean()
    assert size(wire, "wire length at half depth") == pytest.approx(along, abs=1e-9)


def test_in_a_step_one_edge_waves_and_one_gap_is_left() -> None:
    """From the band's edge at -3 to the wall at 0: 3 wide, less one gap."""
    step = channel(centre_mm=-1.5, wave={"amplitude_mm": 0.4, "count": 5})
    found = route(design(step), "wrap and seam")
    assert size(found, "strip width") == pytest.approx(2.95, abs=1e-12)
    assert size(found, "sheet width") == pytest.approx(2.95 + 0.4, abs=1e-12)
    assert size(found, "strip length") == pytest.approx(pi * 21.05 - 0.05, abs=1e-9)


def test_an_undercut_is_for_a_hammered_wire() -> None:
    undercut = design(channel(undercut_mm=0.2, width_mm=2.0))
    assert route(undercut, "wrap and seam").works is False
    found = route(undercut, "hammer in")
    assert found.works is True
    # a trapezoid 2.0 at the mouth, 2.4 at the foot, 1 deep; wire 10 % fuller
    assert size(found, "groove section") == pytest.approx(2.2, abs=1e-12)
    assert size(found, "square wire, side") == pytest.approx((2.2 * 1.1) ** 0.5, abs=1e-12)
    assert size(found, "wire length at half depth") == pytest.approx(pi * 21, abs=1e-9)
    assert route(design(channel()), "hammer in").works is False


def test_an_open_step_lets_a_ring_slide_on() -> None:
    step = design(channel(centre_mm=-1.5))
    assert route(step, "slide on").works is True
    assert route(step, "split body").works is False
    walled = route(design(channel()), "slide on")
    assert walled.works is False
    assert (walled.value, walled.limit) == (pytest.approx(20.1), pytest.approx(22.0))


def test_a_dovetailed_line_is_walled_in() -> None:
    """Its lips lie over the inlay: it neither slides on nor is the channel open to a side."""
    for wave in ({}, WAVING):
        for width in (1.0, 2.0):
            asked = design(channel(undercut_mm=0.2, width_mm=width, **wave))
            found = route(asked, "slide on")
            assert found.works is False
            assert found.limit == pytest.approx(22.0)
            assert route(asked, "split body").works is True
            assert "undercut foot" in route(asked, "stretch").words
            assert route(asked, "hammer in").works is True
    # a step is open, undercut or not
    step = design(channel(undercut_mm=0.2, centre_mm=-1.5))
    assert "open to a side" in route(step, "split body").words


def test_casting_on_follows_the_melting_ranges() -> None:
    """Green is solid to 1026 C; 3N is poured at 895 + 75: 56 C between them."""
    found = route(design(channel()), "cast on")
    assert found.works is True
    assert found.value == pytest.approx(1026 - (895 + 75), abs=1e-9)
    unknown = route(design(channel(alloy={"name": "Own", "Au": 75, "Ag": 25})), "cast on")
    assert unknown.works is None


def judged(asked: Design) -> dict[str, manifold3d.Manifold]:
    """Every finished part as a closed solid, by name."""
    job = rg.job(asked)
    assert job.ring is not None, job.findings
    meshes = solids(job.ring, chord_mm=0.005)
    found = {}
    for part in job.parts:
        mesh = meshes[part.piece]
        solid = manifold3d.Manifold(
            manifold3d.Mesh64(np.array(mesh.vertices), np.array(mesh.faces, dtype=np.uint64))
        )
        assert solid.status() == manifold3d.Error.NoError
        assert solid.volume() == pytest.approx(part.volume_mm3, rel=2e-3)
        found[part.name] = solid
    return found


WAVING = {"wave": {"amplitude_mm": 0.6, "count": 5}}


@pytest.mark.parametrize("more", [{}, WAVING, {"undercut_mm": 0.2}, {"centre_mm": 0.5}])
def test_a_split_body_fills_the_same_band(more: dict[str, Any]) -> None:
    """Two closed halves, apart by their seam, together the one body less that seam."""
    whole = rg.job(design(channel(**more)))
    split = design(channel(route="split body", **more))
    job = rg.job(split)
    assert [part.name for part in job.parts] == ["inlay", "body 2", "body"]
    assert "route-fails" not in {finding.code for finding in job.findings}
    room = sum(v.volume_mm3 for p, v in job.volumes if p.owner.kind == "gap")
    before = sum(v.volume_mm3 for p, v in whole.volumes if p.owner.kind == "gap")
    assert job.volume_mm3 + room == pytest.approx(whole.volume_mm3 + before, abs=1e-6)
    # derived: the seam is 0.05 wide, as high as the floor: pi (10^2 - 9^2)
    assert room - before == pytest.approx(0.05 * pi * (10**2 - 9**2), abs=1e-6)
    parts = list(judged(split).values())
    for number, one in enumerate(parts):
        for other in parts[:number]:
            assert (one ^ other).volume() < 1e-4
    (casting,) = (c for c in job.castings if c.alloy.name == YELLOW)
    assert [part.name for part in casting.parts] == ["body 2", "body"]


def test_a_split_body_has_its_seam_as_a_joint() -> None:
    job = rg.job(design(channel(route="split body")))
    (seam,) = (j for j in job.joints if set(j.between) == {"body 2", "body"})
    assert seam.area_mm2 == pytest.approx(pi * (10**2 - 9**2), rel=1e-9)
    assert seam.gap_mm == pytest.approx(0.05, abs=1e-12)


def test_a_wrapped_inlay_is_an_open_strip() -> None:
    asked = design(channel(route="wrap and seam", seam_mm=0.1))
    closed, opened = rg.job(design(channel())), rg.job(asked)
    (strip,) = (part for part in opened.parts if part.name == "inlay")
    (ring,) = (part for part in closed.parts if part.name == "inlay")
    share = 0.1 / 11 / (2 * pi)
    assert strip.volume_mm3 == pytest.approx(ring.volume_mm3 * (1 - share), rel=1e-9)
    assert judged(asked)["inlay"].genus() == 0
    assert judged(design(channel()))["inlay"].genus() == 1
    assert "closed-inlay-cannot-enter" not in {finding.code for finding in opened.findings}


@pytest.mark.parametrize(
    ("asked", "reason"),
    [
        (design(channel(route="split body"), proud_mm=-0.1), "proud or recessed"),
        (
            design(
                channel(route="split body", width_mm=1.0, centre_mm=-1.2),
                channel(name="other", route="split body", width_mm=1.0, centre_mm=1.2),
            ),
            "under one inlay only",
        ),
    ],
)
def test_what_cannot_be_split_says_why(asked: Design, reason: str) -> None:
    job = rg.job(asked)
    found = [finding for finding in job.findings if finding.code == "route-fails"]
    assert found
    assert reason in found[0].text
    assert "body 2" not in {part.name for part in job.parts}


def stripes(**ring: Any) -> Design:
    """Three stripes 2 wide, silver between gold, flat, through the whole depth."""
    plain = {"size": "18 mm across", "width_mm": 6.0, "thickness_mm": 2.0}
    return Design.model_validate(
        {
            "job": {"name": "Trial"},
            "ring": {**plain, **ring},
            "body": {"alloy": YELLOW},
            "part": [
                {
                    "name": "inlay",
                    "place": "stripe",
                    "alloy": "silver-925",
                    "from_mm": -1.0,
                    "to_mm": 1.0,
                }
            ],
        }
    )


def test_stripes_come_from_one_laminated_billet() -> None:
    """Derived: sheets 2.15, 2, 2.15 with edge stock; a strip of pi (17.8 + 2.2) and its end.

    Bent, its skin stretches by 2.2 of 20; ten percent are cropped, each ring has a saw cut.
    """
    found = route(stripes(), "laminate")
    assert found.works is True
    assert found.value == pytest.approx(100 * 2.2 / 20, abs=1e-9)
    assert size(found, "sheet of body 1") == pytest.approx(2.15, abs=1e-9)
    assert size(found, "sheet of inlay") == pytest.approx(2.0, abs=1e-9)
    assert size(found, "sheet of body 2") == pytest.approx(2.15, abs=1e-9)
    assert size(found, "strip length") == pytest.approx(pi * 20 + 0.5, abs=1e-9)
    one, two = (pi * 20 + 0.8) * 1.1, 2 * (pi * 20 + 0.8) * 1.1
    assert size(found, "billet length") == pytest.approx(one, abs=1e-9)
    assert size(found, "billet length for 2 rings") == pytest.approx(two, abs=1e-9)
    # a strict shop would rather make separate rings
    strict = rg.Shop.model_validate({"joining": {"laminate_percent": 8.0}})
    assert route(stripes(), "laminate", strict).works is False


def test_what_waves_or_is_let_in_is_no_laminate() -> None:
    wave = {"amplitude_mm": 0.3, "count": 5}
    asked = stripes().model_dump(mode="json", exclude_defaults=True, by_alias=True)
    asked["part"][0]["wave"] = wave
    found = route(Design.model_validate(asked), "laminate")
    assert (found.works, found.value, found.limit) == (False, 0.3, 0.0)
    del asked["part"][0]["wave"]
    asked["part"].append(channel(name="other", width_mm=0.5, centre_mm=-2.0))
    found = route(Design.model_validate(asked), "laminate")
    assert (found.works, found.value, found.unit) == (False, 1.0, "other places")


def segments(count: int, **more: Any) -> Design:
    place = {"name": "inlay", "place": "segments", "alloys": [GREEN, YELLOW], "count": count}
    plain = {"size": "18 mm across", "width_mm": 6.0, "thickness_mm": 2.0}
    liner = {"name": "liner", "place": "liner", "alloy": YELLOW, "thickness_mm": 1.0}
    return Design.model_validate(
        {"job": {"name": "Trial"}, "ring": plain, "part": [liner, {**place, **more}]}
    )


def test_segments_are_cut_from_a_strip_of_each_alloy() -> None:
    """Derived: pi 22.2 / 12 with stock less the joint, which widens to it; pi 20 / 12 inside."""
    asked = segments(12, gap_mm=0.05)
    found = route(asked, "segments")
    outer = pi * 22.2 / 12 - 0.05 * 22.2 / 22
    assert size(found, "arc outside, with stock") == pytest.approx(outer, abs=1e-9)
    assert size(found, "arc inside") == pytest.approx(pi * 20 / 12 - 0.05 * 20 / 22, abs=1e-9)
    # 0.1 is cleaned off both ends, a kerf of 0.3 for each
    piece = outer + 0.2
    assert size(found, "to cut for a piece") == pytest.approx(piece, abs=1e-9)
    bench = rg.job(asked).bench()
    assert bench is not None
    (cuts,) = bench.cut_lists
    green, yellow = cuts.strips
    assert green.numbers == (1, 3, 5, 7, 9, 11)
    assert yellow.numbers == (2, 4, 6, 8, 10, 12)
    assert green.length_mm == pytest.approx(6 * (piece + 0.3), abs=1e-9)
    # 6.3 wide and 1.1 thick with stock
    assert green.grams == pytest.approx(green.length_mm * 6.3 * 1.1 * 15.9974 / 1000, rel=1e-4)


def test_slanted_segments_are_measured_along_the_strip() -> None:
    """Derived: square to a joint that leans, gap, saw and file take 1 / cos of it along the strip.

    The piece itself is as long as the part: its arc is that of the partition.
    """
    asked = segments(12, gap_mm=0.05, slant_deg=30)
    found = route(asked, "segments")
    along = 1 / np.cos(np.radians(30))
    outer = pi * 22.2 / 12 - 0.05 * along * 22.2 / 22
    assert size(found, "arc outside, with stock") == pytest.approx(outer, abs=1e-9)
    assert size(found, "saw cuts together") == pytest.approx(12 * 0.3 * along, abs=1e-9)
    # one end of the strip leans too: tan 30 of its 6.3 with stock
    strip = rg.job(asked).bench().cut_lists[0].strips[0]
    six = 6 * (outer + 0.2 * along + 0.3 * along)
    assert strip.length_mm == pytest.approx(six + 6.3 * np.tan(np.radians(30)), abs=1e-9)


def test_a_kerf_larger_than_a_segment_is_no_route() -> None:
    shop = rg.Shop.model_validate({"fabricating": {"kerf_mm": 1.0}})
    found = route(segments(60), "segments", shop)
    assert found.works is True
    coarse = rg.Shop.model_validate({"fabricating": {"kerf_mm": 1.2}})
    asked = segments(60, route="segments")
    found = route(asked, "segments", coarse)
    assert found.works is False
    assert "the kerf takes the whole segment; here 1.2 mm; allowed: less than 1.0" in found.words
    # the number that decides is the one in the words
    assert (found.value, found.limit) == (pytest.approx(1.2), pytest.approx(pi * 20 / 60))
    assert "segments or fewer" in found.words
    job = rg.job(asked, coarse)
    assert "route-fails" in {finding.code for finding in job.findings}
    bench = job.bench()
    assert bench is None or bench.cut_lists == ()


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_every_design_has_routes_that_decide_by_a_number(path: Path) -> None:
    job = rg.job(rg.read_design(path))
    assert job.routes
    for one in job.routes:
        assert one.words
        assert one.value is not None or one.works is None
        assert bool(one.steps) == bool(one.works) or one.works is None
    fitted = {one.part for one in job.routes}
    # a way in is found for every part that is fitted into another
    assert fitted == {one.part for one in job.routes if one.works}


def test_joints_keep_their_gap_after_their_own_scales() -> None:
    """Two alloys 0.5 % apart on 20 mm: 0.10 mm across, a whole solder gap (facts)."""
    shop = rg.Shop.model_validate({"shrink": {"alloy": {GREEN: 1.75, YELLOW: 1.25}}})
    job = rg.job(design(channel()), shop)
    (floor,) = (joint for joint in job.joints if joint.kind == "floor")
    assert floor.gap_mm == pytest.approx(0.05, abs=1e-12)
    # one scale for both would leave the inlay 0.05 smaller in radius
    assert floor.one_scale_gap_mm == pytest.approx(0.05 - 10 * (1 - 0.9825 / 0.9875), abs=2e-4)
    assert floor.filler_mm3 == pytest.approx(0.05 * pi * 20 * 3 * 1.5, rel=1e-9)


def test_filler_of_the_example() -> None:
    """320.44 mm2, gap 0.05, factor 1.5: 24.03 mm3 (computed in the facts)."""
    job = rg.job(design(channel()))
    assert sum(joint.filler_mm3 for joint in job.joints) == pytest.approx(24.03, abs=0.005)


@pytest.mark.parametrize(
    ("gap", "use"), [(-0.02, "press"), (0.0, "touch"), (0.125, "solder"), (0.15, "adhesive")]
)
def test_a_gap_names_its_use(gap: float, use: str) -> None:
    job = rg.job(design(channel(gap_mm=gap)))
    assert {joint.use for joint in job.joints} == {use}


def test_edges_below_a_dome_are_in_the_laminate() -> None:
    """Three stripes of a band whose edges lie 1.2 below its middle: all of them, as wide as it."""
    asked = Design.model_validate(
        {
            "job": {"name": "Trial"},
            "ring": {
                "size": "ISO 54",
                "width_mm": 8.0,
                "thickness_mm": 2.0,
                "outside": {"form": "domed", "rise_mm": 1.2},
            },
            "body": {"alloy": YELLOW},
            "part": [
                {
                    "name": "inlay",
                    "place": "edges",
                    "alloy": GREEN,
                    "width_mm": 0.5,
                    "gap_mm": 0.05,
                }
            ],
        }
    )
    found = rg.job(asked)
    way = next(one for one in found.routes if one.name == "laminate")
    sheets = [one.value for one in way.sizes if one.name.startswith("sheet")]
    # each edge gives up its gap, and keeps the stock of its edge
    assert sheets == pytest.approx([0.45 + 0.15, 7.0, 0.45 + 0.15], abs=1e-9)


def test_a_shop_that_wants_no_strain_at_all() -> None:
    shop = rg.Shop.model_validate({"joining": {"laminate_percent": 0}})
    assert route(stripes(), "laminate", shop).works is False


def test_segments_over_a_recess_hang_in_the_air() -> None:
    asked = Design.model_validate(
        {
            "job": {"name": "Trial"},
            "ring": {"size": "US 7", "width_mm": 5.0, "thickness_mm": 3.2},
            "body": {"alloy": YELLOW, "proud_mm": -1.2},
            "part": [
                {
                    "name": "inlay",
                    "place": "segments",
                    "alloys": [GREEN, YELLOW],
                    "count": 6,
                    "depth_mm": 0.3,
                    "gap_mm": 0.05,
                }
            ],
        }
    )
    found = rg.job(asked)
    assert found.stopped
    assert {f.code for f in found.findings if f.level == "stop"} == {"thin-floor"}
