"""The stack from the finger outwards, read from the partition."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.making.stack import Stack

EXACT = 1e-9
"""Sums of a few decimals on radii of ten: rounding only [mm]."""


def ring(*parts: dict[str, Any], **keys: Any) -> rg.Job:
    plain = {"size": "18 mm across", "width_mm": 6.0, "thickness_mm": 2.0}
    return rg.job(
        Design.model_validate(
            {
                "job": {"name": "Trial"},
                "ring": {**plain, **keys},
                "body": {"alloy": "gold-750-yellow-3n"},
                "part": list(parts),
            }
        )
    )


def stacks(job: rg.Job) -> dict[str, Stack]:
    bench = job.bench()
    assert bench is not None
    return {stack.at: stack for stack in bench.stacks}


def layers(stack: Stack) -> list[tuple[str, str, float]]:
    return [(one.name, one.kind, round(one.thickness_mm, 9)) for one in stack.layers]


LINER = {"name": "liner", "place": "liner", "alloy": "silver-925", "thickness_mm": 0.8}
REED = {
    "name": "reed",
    "place": "channel",
    "alloy": "gold-750-green",
    "width_mm": 2.0,
    "depth_mm": 0.4,
}


def test_outwards_with_the_gaps_between() -> None:
    """Derived: liner 0.8 less its gap, body from 0.8 to 1.6, reed above its gap."""
    found = stacks(ring({**LINER, "gap_mm": 0.05}, {**REED, "gap_mm": 0.03}))
    assert layers(found["mid-width"]) == [
        ("liner", "part", 0.75),
        ("liner to body", "gap", 0.05),
        ("body", "part", 0.8),
        ("body to reed", "gap", 0.03),
        ("reed", "part", 0.37),
    ]
    assert layers(found["left edge"]) == [
        ("liner", "part", 0.75),
        ("liner to body", "gap", 0.05),
        ("body", "part", 1.2),
    ]
    # what has the same place across the width is not told twice
    assert list(found) == ["left edge", "mid-width", "right edge"]
    first = found["mid-width"].layers[0]
    assert (first.from_mm, first.to_mm) == pytest.approx((18.0, 19.5), abs=EXACT)


def test_a_press_fit_wants_its_metal_twice() -> None:
    found = stacks(ring({**LINER, "gap_mm": -0.01}))
    assert layers(found["mid-width"]) == [
        ("liner", "part", 0.8),
        ("liner and body", "press", 0.01),
        ("body", "part", 1.19),
    ]


def test_a_comfort_bore_thins_the_liner_at_its_edges() -> None:
    """Derived: the bore's dome of 0.2 is taken off the liner, whose outer face is a cylinder."""
    job = ring(LINER, inside={"form": "domed", "rise_mm": 0.2})
    found = stacks(job)
    assert found["mid-width"].layers[0].thickness_mm == pytest.approx(0.8, abs=EXACT)
    assert found["left edge"].layers[0].thickness_mm == pytest.approx(0.6, abs=EXACT)


def test_an_inlay_off_centre_has_its_own_column() -> None:
    found = stacks(ring({**REED, "centre_mm": 1.5}))
    assert found["reed"].at_mm == pytest.approx(1.5, abs=EXACT)
    assert [one.name for one in found["reed"].layers] == ["body", "reed"]
    assert [one.name for one in found["mid-width"].layers] == ["body"]


def test_beside_a_slit_and_not_down_it() -> None:
    """A body made in two has a slit under its inlay: the stack is read beside it."""
    found = stacks(ring({**REED, "route": "split body", "gap_mm": 0.03}))["mid-width"]
    assert [one.name for one in found.layers] == ["body 2", "body 2 to reed", "reed"]
    assert found.layers[0].thickness_mm == pytest.approx(1.6, abs=EXACT)


def test_a_recess_is_air() -> None:
    job = rg.job(
        Design.model_validate(
            {
                "job": {"name": "Trial"},
                "ring": {"size": "18 mm across", "width_mm": 6.0, "thickness_mm": 2.0},
                "body": {"alloy": "gold-750-yellow-3n", "proud_mm": -0.2},
                "part": [{**REED, "depth_mm": 0.9}],
            }
        )
    )
    found = stacks(job)
    assert found["left edge"].thickness_mm == pytest.approx(1.8, abs=EXACT)
    assert found["mid-width"].thickness_mm == pytest.approx(2.0, abs=EXACT)


@given(
    st.floats(0.0, 0.4),
    st.floats(0.0, 0.3),
    st.floats(0.0, 0.4),
    st.floats(-1.5, 1.5),
    st.floats(0.0, 0.1),
)
def test_layers_lie_on_each_other_and_make_the_band(
    outside: float, inside: float, edge: float, centre: float, gap: float
) -> None:
    """Derived: r(z) = R - rise + sqrt(P^2 - z^2) - (P - rise), P = (h^2 + rise^2) / (2 rise)."""
    job = ring(
        {**REED, "centre_mm": centre, "gap_mm": gap},
        outside={"form": "domed", "rise_mm": outside},
        inside={"form": "domed", "rise_mm": inside},
        edge_mm=edge,
    )
    if job.stopped:
        return

    def lower(rise: float, z: float) -> float:
        """By how much a dome over 6 mm lies below its crest at z."""
        if rise < 1e-6:
            return 0.0
        p = (9 + rise**2) / (2 * rise)
        return p - float(np.sqrt(p**2 - z**2))

    for stack in stacks(job).values():
        for below, above in zip(stack.layers, stack.layers[1:], strict=False):
            assert below.to_mm == pytest.approx(above.from_mm, abs=EXACT)
        z = stack.at_mm
        want = 2.0 - lower(outside, z) - lower(inside, z)
        # a dome of a few micrometres is read from a circle of kilometres
        assert stack.thickness_mm == pytest.approx(want, abs=1e-7)


def test_every_design_has_its_stacks(design_file: Path, job_of: Any) -> None:
    job = job_of(design_file)
    found = stacks(job)
    assert {"left edge", "right edge"} <= set(found)
    names = {one.name for stack in found.values() for one in stack.layers if one.kind == "part"}
    for part in job.parts:
        if part.plate is not None:
            continue  # inserts lie here and there, the stack does not go through them
        # segments are told by the name of their place
        assert part.name in names or part.name.rsplit(" ", 1)[0] in names
