"""A design drawn anew for another band: what keeps its mm, what its share, what its edge."""

from __future__ import annotations

from typing import Any

import pytest
from grid.many_designs import BAND, BODY, design_named

from ringgeom.design import Design, design_from_text
from ringgeom.errors import InputError
from ringgeom.grid.redrawn import redrawn


def place(name: str, which: int = 0, **asked: Any) -> dict[str, Any]:
    return redrawn(design_named(name), **asked).parts[which].model_dump()


def test_fixed_places_keep_their_mm() -> None:
    before, after = (
        design_named("plover"),
        redrawn(design_named("plover"), width_mm=9.0, thickness_mm=3.0, places="fixed"),
    )
    assert after.ring.width_mm == 9.0
    assert after.ring.thickness_mm == 3.0
    assert after.parts == before.parts
    assert after.body == before.body
    assert after.ring.inside == before.ring.inside


def test_shares_follow_the_width_and_the_thickness() -> None:
    """Derived: 7 to 10.5 mm is half as wide again, 2.6 to 3.9 half as thick again."""
    new = {"width_mm": 10.5, "thickness_mm": 3.9, "places": "share"}
    creeper, before = place("alder", 1, **new), design_named("alder").parts[1].model_dump()
    assert creeper["width_mm"] == pytest.approx(1.5 * before["width_mm"], rel=1e-15)
    assert creeper["depth_mm"] == pytest.approx(1.5 * before["depth_mm"], rel=1e-15)
    assert creeper["wave"]["amplitude_mm"] == pytest.approx(1.5 * 0.9, rel=1e-15)
    assert creeper["wave"]["count"] == 7
    # what is of the tool and of the fit stays
    for key in ("undercut_mm", "gap_mm", "seam_mm"):
        assert creeper[key] == before[key]
    assert place("alder", 0, **new)["thickness_mm"] == pytest.approx(1.5 * 0.85, rel=1e-15)
    ring = redrawn(design_named("alder"), **new).ring
    assert ring.outside.rise_mm == pytest.approx(1.5 * 0.4, rel=1e-15)
    assert ring.edge_mm == 0.3


@pytest.mark.parametrize("places", ["fixed", "share"])
def test_a_boundary_on_the_edge_stays_on_it(places: Any) -> None:
    after = redrawn(design_named("saltmarsh"), width_mm=8.2, thickness_mm=1.8, places=places)
    ends = [(part.from_mm, part.to_mm) for part in after.parts]
    assert ends[0][0] == -4.1
    assert ends[-1][1] == 4.1
    assert [a[1] for a in ends[:-1]] == [b[0] for b in ends[1:]]
    inner = 1.1 if places == "fixed" else 1.1 * 8.2 / 6.6
    assert ends[1] == pytest.approx((-inner, inner), rel=1e-15)


def channel(width: float, centre: float) -> Design:
    return design_from_text(
        f'{BAND}{BODY}[[part]]\nname = "step"\nplace = "channel"\nalloy = "silver-925"\n'
        f"width_mm = {width}\ndepth_mm = 0.8\ncentre_mm = {centre}\ngap_mm = 0.05\n"
    )


@pytest.mark.parametrize("places", ["fixed", "share"])
@pytest.mark.parametrize("side", [-1, 1])
def test_a_step_stays_a_step(places: Any, side: int) -> None:
    (step,) = redrawn(channel(2.0, side * 2.0), width_mm=9.0, thickness_mm=2.2, places=places).parts
    assert step.walls_mm()[(side + 1) // 2] == pytest.approx(side * 4.5, abs=1e-12)
    assert step.width_mm == pytest.approx(2.0 if places == "fixed" else 3.0, rel=1e-15)


@pytest.mark.parametrize("places", ["fixed", "share"])
def test_a_sleeve_stays_a_sleeve(places: Any) -> None:
    (sleeve,) = redrawn(channel(6.0, 0.0), width_mm=4.2, thickness_mm=2.2, places=places).parts
    assert sleeve.walls_mm() == (-2.1, 2.1)


def test_a_stripe_that_ends_before_it_begins_is_no_design() -> None:
    """Derived: its outer boundary stays on the edge, 1 mm from mid-width, inside 1.1 mm."""
    with pytest.raises(InputError, match=r"from_mm 1\.1 must be less than to_mm 1"):
        redrawn(design_named("saltmarsh"), width_mm=2.0, thickness_mm=1.8, places="fixed")


def test_the_same_band_is_the_same_design() -> None:
    design = design_named("heron")
    assert redrawn(design, width_mm=6.0, thickness_mm=1.9, places="share") is design
