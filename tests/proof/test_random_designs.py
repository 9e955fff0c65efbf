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
from proof.found import FOUND, LENIENT
from proof.judged import Verdict, _apart, _closed, judged
from proof.second_section import disagreements

import ringgeom as rg
from ringgeom.form.mesh import Mesh, is_closed
from ringgeom.form.solid import solids
from ringgeom.form.weld import closed_by_welding

FEW = settings(
    max_examples=6,
    deadline=None,
    derandomize=True,
    suppress_health_check=list(HealthCheck),
)


@given(random=st.randoms(use_true_random=False))
@FEW
def test_any_design_comes_out_right(tmp_path: Path, random: Random) -> None:
    """No traceback, solids closed and apart, volumes that add up, findings that measure."""
    drawings_in(tmp_path)
    assert judged(*some_design(random), tmp_path).faults == []


@pytest.mark.parametrize("name", FOUND)
def test_what_the_long_run_has_found(name: str, tmp_path: Path) -> None:
    drawings_in(tmp_path)
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
