"""Motifs and patterns of a design on its ring: volumes, solids, files, and what is kept."""

from __future__ import annotations

import json
from collections.abc import Callable
from math import pi
from pathlib import Path
from typing import Any

import pytest
from engraving.drawn import design_in, job_in, motif, pattern
from engraving.test_solid import CHORD_MM, closed

import ringgeom as rg
from ringgeom.engraving.face import face
from ringgeom.engraving.flat import extent_mm
from ringgeom.engraving.patterns import PATTERNS
from ringgeom.engraving.solid import lettered
from ringgeom.form.solid import solids
from ringgeom.grid import Grid, grid_asked
from ringgeom.output.laser_files import laser_files
from ringgeom.sketch import sketch

BORE_MM = 54 / (2 * pi)
DOMED = 'outside = { form = "domed", rise_mm = 0.3 }\nedge_mm = 0.2'
STRIPE = (
    '[[part]]\nname = "stripe"\nplace = "stripe"\nalloy = "gold-750-green"\nfrom_mm = -3.0\n'
    "to_mm = -0.7\n"
)
PLANKS = (
    '[[part]]\nname = "plank"\nplace = "segments"\nalloys = ["silver-925", "gold-1000"]\n'
    "count = 6\nslant_deg = 20\n"
)
WAVING = (
    '[[part]]\nname = "reed"\nplace = "channel"\nalloy = "gold-750-green"\nwidth_mm = 1.0\n'
    "depth_mm = 0.8\ncentre_mm = -1.6\nwave = { amplitude_mm = 0.4, count = 6 }\n"
)
COARSE: dict[str, dict[str, Any]] = {
    "milgrain": {"bead_mm": 1.0, "gap_mm": 0.2, "groove_mm": 0.2},
    "hatch": {"pitch_mm": 2.5, "line_mm": 0.4},
    "rope": {"twist_mm": 2.0},
    "vine": {"margin_mm": 0.02},
    "scales": {"scale_mm": 3.0, "row_mm": 1.4, "line_mm": 0.3},
    "hammered": {"facet_mm": 2.5},
}
NAMES = [kind.model_fields["pattern"].default for kind in PATTERNS]
CUT = [name for name in NAMES if name != "brushed"]


def ground_mm3(job: rg.Job) -> float:
    """On a flat face every mm2 at depth d takes d (1 - d / 2r), outwards from the bore plus.

    Derived: half of r^2 - (r - d)^2, over r.
    """
    (one,) = job.engraved
    total = 0.0
    for carved in one.carved:
        d, r = carved.relief.depth_mm, one.face.radius_mm
        area = sum(shape.area_mm2 for shape in carved.shapes)
        total += area * d * (1 - one.face.out * d / (2 * r))
    return total


@pytest.mark.parametrize("name", CUT)
@pytest.mark.parametrize("side", ["outside", "inside"])
def test_a_flat_face_loses_area_times_depth(name: str, side: str, tmp_path: Path) -> None:
    job = job_in(tmp_path, pattern(name, on=side, **COARSE.get(name, {})))
    assert not job.stopped, job.findings
    (one,) = job.engraved
    assert one.removed_mm3 == pytest.approx(ground_mm3(job), rel=1e-9)
    (part,) = job.parts
    (plain,) = (volume.volume_mm3 for _, volume in job.volumes)
    assert part.volume_mm3 == pytest.approx(plain - one.removed_mm3, rel=1e-12)


@pytest.mark.parametrize("name", CUT)
@pytest.mark.parametrize(
    ("side", "rest"), [("outside", ""), ("inside", STRIPE)], ids=["dome", "joint"]
)
def test_solids_of_every_pattern(name: str, side: str, rest: str, tmp_path: Path) -> None:
    """On a dome and over a joint in the bore: closed as read back, near the exact volume."""
    asked = pattern(name, on=side, **COARSE.get(name, {}))
    job = job_in(tmp_path, rest + asked, DOMED if side == "outside" else "")
    assert not job.stopped, job.findings
    assert job.ring is not None
    plain = solids(job.ring, chord_mm=CHORD_MM)
    found = lettered(plain, job.engraved, chord_mm=CHORD_MM)
    (one,) = job.engraved
    assert len(one.removed) == len(job.parts)
    for piece, exact in one.removed:
        lost = plain[piece].volume_mm3() - found[piece].volume_mm3()
        # a chord of 5 um at floor, face and sides of a cut about 0.15 mm deep
        assert lost == pytest.approx(exact, rel=0.05)
        closed(found[piece])


@pytest.mark.parametrize(
    ("rest", "ring"),
    [
        (motif(count=24, height_mm=1.0, mirrored="round"), DOMED),
        (STRIPE + motif(count=7, height_mm=2.2, floor="flat"), ""),
        (PLANKS + motif(count=9, height_mm=2.2, at="12:20"), ""),
        (WAVING + motif(count=6, height_mm=1.0, centre_mm=1.6, follows="reed"), ""),
        (motif(count=5, on="inside", made="cast", height_mm=1.0), "edge_mm = 0.2"),
        # 30 of 3 mm overlap on 66 mm round
        (motif(count=30, length_mm=3.0), ""),
    ],
    ids=["domed", "over a joint", "over planks", "following", "cast in", "overlapping"],
)
def test_motifs_and_their_solids(rest: str, ring: str, tmp_path: Path) -> None:
    job = job_in(tmp_path, rest, ring)
    assert not job.stopped, job.findings
    assert job.ring is not None
    plain = solids(job.ring, chord_mm=CHORD_MM)
    found = lettered(plain, job.engraved, chord_mm=CHORD_MM)
    (one,) = job.engraved
    lost = {piece: plain[piece].volume_mm3() - found[piece].volume_mm3() for piece in plain}
    for piece, exact in one.removed:
        assert lost[piece] == pytest.approx(exact, rel=0.06, abs=1e-3)
        closed(found[piece])
    assert sum(lost.values()) == pytest.approx(one.removed_mm3, rel=0.05)


def test_a_square_motif_by_its_sides(tmp_path: Path) -> None:
    """Derived: 12 boxes of 2 x 1 mm, 0.2 mm deep into r = bore + 2: area x depth x (1 - d / 2r)."""
    job = job_in(tmp_path, motif(file="square.svg", count=12, depth_mm=0.2))
    r = BORE_MM + 2.0
    assert job.engraved[0].removed_mm3 == pytest.approx(12 * 2 * 0.2 * (1 - 0.1 / r), rel=1e-9)
    assert job.engraved[0].figures is not None
    assert job.engraved[0].figures.apart_mm == pytest.approx(2 * pi * r / 12 - 2, abs=2e-3)


def test_what_does_not_change_is_not_drawn_anew(tmp_path: Path) -> None:
    rest = pattern("vine", centre_mm=0.5) + motif(on="inside", count=3, height_mm=1.0)
    design = design_in(tmp_path, rest)
    first = sketch(design).engraved
    # another alloy or another edge of a part leaves the faces as they are
    again = sketch(design.model_copy(update={"body": design.body})).engraved
    assert all(a.figures is b.figures for a, b in zip(first, again, strict=True))
    thicker = design.ring.model_copy(update={"thickness_mm": 2.1})
    other = sketch(design.model_copy(update={"ring": thicker})).engraved
    assert other[0].figures is not first[0].figures
    assert other[1].figures is first[1].figures
    # a drawing that was changed is read again
    path = tmp_path / "leaf.svg"
    path.write_text((tmp_path / "square.svg").read_text("utf-8"), "utf-8")
    assert sketch(design).engraved[1].figures is not first[1].figures


@pytest.mark.parametrize("name", CUT)
def test_the_laser_file_holds_what_is_cut(name: str, tmp_path: Path) -> None:
    """Cut open anywhere, the closed shapes keep their area and stay on the face."""
    from ringgeom.drawing.laser import unwound

    both = pattern(name, at="1:10", width_mm=4.5, centre_mm=-0.7, **COARSE.get(name, {}))
    job = job_in(tmp_path, both + motif(file="square.svg", centre_mm=2.3, at="1:10"))
    assert not job.stopped, job.findings
    (one,) = unwound(job)
    area = sum(shape.area_mm2 for shape in one.shapes["fill"])
    cut = sum(shape.area_mm2 for e in job.engraved for copy in e.copies for shape in copy)
    # where it must be joined by straight pieces, these lie within 0.1 um
    assert area == pytest.approx(cut, rel=3e-4)
    for shape in one.shapes["fill"]:
        x0, x1, low, high = extent_mm(shape)
        assert x0 > -1e-3
        assert x1 < one.around_mm + 1e-3
        assert low > -1e-3
        assert high < one.across_mm + 1e-3
    assert len(list(laser_files(job))) == 2


def test_the_same_figure_opens_elsewhere(tmp_path: Path) -> None:
    """Two patterns beginning elsewhere: one is cut open where the other begins."""
    from ringgeom.drawing.laser import unwound

    rest = pattern("vine", at="2:00", centre_mm=0.7, width_mm=4.5, margin_mm=0.02) + pattern(
        "milgrain", at="7:10", edges="low", edge_mm=0.2
    )
    job = job_in(tmp_path, rest)
    assert not job.stopped, job.findings
    (one,) = unwound(job)
    area = sum(shape.area_mm2 for shape in one.shapes["fill"])
    cut = sum(shape.area_mm2 for e in job.engraved for copy in e.copies for shape in copy)
    # where it must be joined by straight pieces, these lie within 0.1 um
    assert area == pytest.approx(cut, rel=3e-4)


def test_commands_tell_it(run: Callable[..., Any], tmp_path: Path) -> None:
    rest = motif(count=8, height_mm=1.0, on="inside") + pattern("hammered") + pattern("brushed")
    design_in(tmp_path, rest)
    told = run("weigh", tmp_path / "ring.toml")
    assert told.code == 0
    assert "motif leaf.svg, 8 round" in told.out
    assert "pattern hammered" in told.out
    assert "brushed round the ring, nothing is cut" in told.out
    data = json.loads(run("weigh", tmp_path / "ring.toml", "--json").out)
    leaf, hammered, brushed = data["engravings"]
    (part,) = data["parts"]
    taken = leaf["taken"][0]["engraved_mm3"] + hammered["taken"][0]["engraved_mm3"]
    assert part["engraved_mm3"] == pytest.approx(taken, rel=1e-12)
    assert leaf["count"] == 8
    assert 0.04 <= hammered["depth_mm"] <= 0.16
    assert brushed["taken"] == []


def test_facets_have_floors_of_their_own(tmp_path: Path) -> None:
    job = job_in(tmp_path, pattern("hammered", facet_mm=2.5))
    (one,) = job.engraved
    assert len({carved.relief.depth_mm for carved in one.carved}) > 20
    assert face(job.ring, "outside") is one.face if job.ring else False


def test_a_grid_weighs_figures_at_every_size(tmp_path: Path) -> None:
    """A pattern closes anew at every size: each row is what that ring alone weighs."""
    design = design_in(tmp_path, pattern("milgrain") + motif(count=5, height_mm=1.0))
    many = Grid(
        design=design, shop=rg.Shop(), asked=grid_asked(design, sizes="ISO 50, ISO 53, ISO 60")
    )
    rows = list(many.rows())
    assert len(rows) == 3
    for row in rows:
        ring = design.ring.model_copy(update={"size": row.size})
        alone = rg.job(design.model_copy(update={"ring": ring}))
        assert row.finished_g == pytest.approx(alone.finished_g, rel=1e-9)
