"""A few random designs in every run of the tests; `many.py` judges thousands of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import numpy as np
import pytest
import trimesh
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from proof.designs import document, some_design
from proof.engravings import drawings_in
from proof.judged import Verdict, _apart, _closed, judged
from proof.second_section import disagreements

import ringgeom as rg
from ringgeom.form.mesh import Mesh, closed_by_welding, is_closed
from ringgeom.form.solid import solids

FEW = settings(
    max_examples=6,
    deadline=None,
    derandomize=True,
    suppress_health_check=list(HealthCheck),
)

LENIENT = {
    "limits": {
        "floor_stop_mm": 0.1, "rail_stop_mm": 0.1, "wire_stop_mm": 0.1, "press_stop_mm": 0.1,
        "feather_mm": 0.01,
    }
}  # fmt: skip


@given(random=st.randoms(use_true_random=False))
@FEW
def test_any_design_comes_out_right(tmp_path: Path, random: Random) -> None:
    """No traceback, solids closed and apart, volumes that add up, findings that measure."""
    drawings_in(tmp_path)
    assert judged(*some_design(random), tmp_path).faults == []


FOUND: dict[str, tuple[dict, dict]] = {
    # corners of a carved solid lay a nanometre apart on either side of a line of the welding
    # grid: one corner in a file of 32-bit numbers, so that the file was open there
    "corners that a file makes one": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "US 7", "width_mm": 7.99, "thickness_mm": 2.34},
            "body": {"alloy": "gold-1000"},
            "part": [
                {"name": "liner", "place": "liner", "alloy": "gold-750-green",
                 "thickness_mm": 0.12},
                {"name": "inlay 1", "place": "channel", "alloy": "gold-750-green",
                 "width_mm": 4.89, "depth_mm": 1.0, "centre_mm": -0.56,
                 "wave": {"amplitude_mm": 0.33, "count": 8}},
                {"name": "rail", "place": "edges", "alloy": "Au 75 Ag 25", "width_mm": 0.92},
            ],
        },
        LENIENT,
    ),
    "a wax with its sprues that a file opens": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "54.4 mm around", "width_mm": 3.73, "thickness_mm": 2.66},
            "body": {"alloy": "platinum-950-ru"},
            "part": [
                {"name": "inlay 0", "place": "channel", "alloy": "gold-750-white-pd-15",
                 "width_mm": 0.69, "depth_mm": 1.57, "centre_mm": -1.251,
                 "gap_mm": {"side": 0.15, "floor": 0.05}},
                {"name": "inlay 1", "place": "channel", "alloy": "gold-1000", "width_mm": 1.55,
                 "depth_mm": 0.78, "centre_mm": 1.09, "gap_mm": {"side": 0.03, "floor": 0.15}},
                {"name": "stripe 2", "place": "stripe", "alloy": "gold-750-white-pd-15",
                 "from_mm": -0.76, "to_mm": 1.27, "gap_mm": 0.05},
            ],
        },
        LENIENT | {"casting": {"sprue_on_wax": True, "sprue_count": 2}},
    ),
    # its waving walls without a gap were swept from above the gap under it, with other facets
    # than the walls of its place: segments beside it overlapped it by a thousandth of a mm3
    "an inlay over a gap, tight at its waving walls": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "ISO 54", "width_mm": 5.18, "thickness_mm": 2.44,
                     "outside": {"form": "domed", "rise_mm": 0.53}, "edge_mm": 0.13},
            "body": {"alloy": "gold-750-yellow-3n", "proud_mm": 0.1},
            "part": [
                {"name": "inlay 1", "place": "channel", "alloy": "silver-925", "width_mm": 2.53,
                 "depth_mm": 0.74, "centre_mm": -0.207, "gap_mm": {"side": 0.0, "floor": 0.05},
                 "wave": {"amplitude_mm": 0.81, "count": 1, "phase_deg": -45.5}},
                {"name": "rail", "place": "edges", "alloy": "gold-750-yellow-3n",
                 "width_mm": 0.36, "gap_mm": 0.05},
                {"name": "plank", "place": "segments", "count": 8, "alloys": ["silver-925"]},
            ],
        },
        LENIENT,
    ),
    # where the band narrows its rounded edges pass other points of the outside, from angles on
    # that differ for band and segments
    "pressed segments under two domes that narrow": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "ISO 54", "width_mm": 3.91, "thickness_mm": 1.68,
                     "outside": {"form": "twin-dome", "rise_mm": 0.67},
                     "inside": {"form": "domed", "rise_mm": 0.27}, "edge_mm": 0.33,
                     "taper": [{"at": "3:00", "thickness_mm": 1.63},
                               {"at": "1:30", "width_mm": 2.67}]},
            "body": {"alloy": "gold-750-white-pd-15"},
            "part": [{"name": "plank", "place": "segments", "count": 3,
                      "alloys": ["gold-750-green"], "gap_mm": -0.02}],
        },
        LENIENT | {"mesh": {"chord_mm": 0.01}},
    ),
    # at its widest, and only there, the foot of an undercut lies on a corner of the wax
    "corners that are one where a band is widest": (
        {
            "job": {"name": "Proof"},
            "ring": {"size": "US 7", "width_mm": 3.81, "thickness_mm": 1.94,
                     "inside": {"form": "eased", "radius_mm": 0.2},
                     "taper": [{"at": "1:30", "width_mm": 2.99, "thickness_mm": 1.53},
                               {"at": "8:15", "thickness_mm": 1.5890228356342257},
                               {"at": "10:30", "width_mm": 3.07, "thickness_mm": 1.73}]},
            "body": {"alloy": "gold-1000", "proud_mm": -0.1},
            "part": [
                {"name": "inlay 0", "place": "channel", "alloy": "gold-1000", "width_mm": 0.8,
                 "depth_mm": 0.97, "centre_mm": -0.5, "gap_mm": {"side": 0.0, "floor": -0.02}},
                {"name": "inlay 1", "place": "channel", "alloy": "gold-750-red-5n",
                 "width_mm": 0.5656381572134743, "depth_mm": 1.19, "centre_mm": 0.603,
                 "undercut_mm": 0.06,
                 "wave": {"amplitude_mm": 0.16, "count": 1, "phase_deg": -45.5}},
            ],
        },
        LENIENT,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FOUND)
def test_what_the_long_run_has_found(name: str, tmp_path: Path) -> None:
    found = judged(*FOUND[name], tmp_path, admesh=True)
    assert (found.ended, found.faults) == ("made", [])


@pytest.mark.parametrize("apart_mm", [2.5e-10, 1.8e-8, 2e-7])
def test_corners_that_a_file_makes_one_are_one(apart_mm: float) -> None:
    """A box with one corner doubled: a flat sliver between the two, on a line of any grid."""
    box = trimesh.creation.box((4.0, 2.0, 2.0))
    # the doubled corner lies half a weld from the origin of its grid
    vertices = box.vertices + np.array([9e-6, 0.5e-5, 0.7e-5])
    corner, turn = 0, [(int(f[i]), int(f[(i + 1) % 3])) for f in box.faces for i in range(3)]
    faces = box.faces.copy()
    at = next(n for n, f in enumerate(faces) if corner in f)
    row = list(faces[at])
    where = row.index(corner)
    other = row[(where + 1) % 3]
    double = len(vertices)
    vertices = np.vstack([vertices, vertices[corner] + [apart_mm, 0, 0]])
    # the facet and its neighbour over the edge to `other` get the new corner between them
    faces[at][where] = double
    beside = next(n for n, f in enumerate(faces) if n != at and corner in f and other in f)
    third = row[(where + 2) % 3]
    assert (corner, other) in turn
    more = [[corner, double, third], [corner, other, double]]
    split = Mesh(vertices, np.vstack([faces, more]).astype(np.int32))
    assert is_closed(split), beside
    closed = closed_by_welding(split, (2e-5,))
    assert closed is not None
    assert len(closed.vertices) == 8
    assert closed.volume_mm3() == pytest.approx(16.0, abs=1e-5)


PLAIN = {
    "job": {"name": "Proof"},
    "ring": {"size": "US 7", "width_mm": 6.0, "thickness_mm": 2.0},
    "body": {"alloy": "silver-925"},
    "part": [
        {"name": "inlay", "place": "channel", "alloy": "gold-750-green", "width_mm": 2.0,
         "depth_mm": 0.8, "centre_mm": 1.3}
    ],
}  # fmt: skip


def test_the_judges_can_say_no() -> None:
    """A solid with a hole, one inside out, two in one place: all are seen."""
    job = rg.job(rg.design_from_text(document(PLAIN)))
    body = solids(job.ring)[job.parts[1].piece]
    for wrong in (Mesh(body.vertices, body.faces[:-1]), Mesh(body.vertices, body.faces[:, ::-1])):
        found = Verdict()
        _closed(found, wrong, "body")
        assert found.faults
    found = Verdict()
    _apart(found, job, [body, body.moved((0.01, 0, 0))], 0.005)
    assert found.faults


WAVE = {"amplitude_mm": 0.2, "count": 3}
ALSO: dict[str, dict] = {
    "plain": {},
    "tapering": {"ring": {"taper": [{"at": "7:00", "width_mm": 4.8, "thickness_mm": 1.8}]}},
    "waving": {"part": {"wave": WAVE}},
    "undercut": {"part": {"undercut_mm": 0.1}},
    "waving, undercut, tapering": {
        "ring": {"taper": [{"at": "7:00", "width_mm": 5.4}]},
        "part": {"undercut_mm": 0.08, "wave": WAVE},
    },
    "proud": {"body": {"proud_mm": 0.2}},
    "domed": {"ring": {"outside": {"form": "domed", "rise_mm": 0.3}}},
}  # fmt: skip


@pytest.mark.parametrize("name", ALSO)
def test_a_rail_told_wrongly_is_seen(name: str) -> None:
    """Not told at all, or told a twentieth of a millimetre off."""
    also = ALSO[name]
    (part,) = PLAIN["part"]
    keys = {
        **PLAIN,
        "ring": PLAIN["ring"] | also.get("ring", {}),
        "body": PLAIN["body"] | also.get("body", {}),
        "part": [part | also.get("part", {})],
    }
    job = rg.job(rg.design_from_text(document(keys)), rg.shop_from_text(document(LENIENT)))
    told = Verdict()
    assert list(disagreements(job, told)) == []
    assert told.rails >= 2
    (rail,) = (one for one in job.findings if one.code == "thin-rail")
    others = tuple(one for one in job.findings if one is not rail)
    for findings in (others, (*others, replace(rail, value=rail.value - 0.05))):
        assert len(list(disagreements(replace(job, findings=findings), Verdict()))) == 1
