"""What the bench asks of bands of other forms: diameters to turn, strips, where a sprue stands."""

from __future__ import annotations

from typing import Any

import pytest
from form.outlines import FORMS

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.form.mesh import is_closed
from ringgeom.making.wax import waxes


def design(outside: str | dict[str, Any], *parts: dict[str, Any], **ring: Any) -> Design:
    """A band of 6 x 2.2 mm on a bore of 18, its edges sharp."""
    measures = {"size": "18 mm across", "width_mm": 6.0, "thickness_mm": 2.2} | ring
    form = FORMS[outside] if isinstance(outside, str) else outside
    return Design.model_validate(
        {
            "job": {"name": "Wren"},
            "ring": measures | {"outside": form},
            "body": {"alloy": "gold-750-yellow-3n"},
            "part": list(parts),
        }
    )


def thread(**keys: Any) -> dict[str, Any]:
    asked = {"name": "thread", "place": "channel", "alloy": "gold-750-green", "gap_mm": 0.05}
    return asked | {"width_mm": 1.2, "depth_mm": 0.6} | keys


def turned(job: rg.Job) -> dict[str, float]:
    bench = job.bench()
    assert bench is not None
    return {cut.face: cut.finished_mm for cut in bench.turning}


def test_diameters_of_corners_are_told() -> None:
    """Derived: 18 + 2 x 2.2 at the highest; ledges 0.4, bevels 0.6, valleys 0.5 lower."""
    assert turned(rg.job(design("stepped"))) == {
        "bore": 18.0,
        "outside, 2.20, 3.00 off mid-width": 21.6,
        "outside at mid-width": 22.4,
    }
    assert turned(rg.job(design("bevelled"))) == {
        "bore": 18.0,
        "outside, 3.00 off mid-width": 21.2,
        "outside at mid-width": 22.4,
    }
    assert turned(rg.job(design("twin dome"))) == {
        "bore": 18.0,
        "outside at mid-width": 21.4,
        "outside at its highest, 1.50 off mid-width": 22.4,
    }
    assert turned(rg.job(design("domed"))) == {"bore": 18.0, "outside at mid-width": 22.4}


def test_a_thread_in_a_valley() -> None:
    """Its floor is 0.6 under the valley; its strip is as thick as the thread is at its walls.

    Domes of 0.5 over 3 mm: bend 2.5; at 0.6 from the valley 0.9 from a crest, which lies
    sqrt(6.25 - 0.81) - 2 over the valley.
    """
    job = rg.job(design("twin dome", thread()))
    assert turned(job)["floor for thread"] == pytest.approx(21.4 - 1.2)
    way = next(one for one in job.routes if one.name == "wrap and seam")
    thick = next(size.value for size in way.sizes if size.name == "strip thickness")
    assert thick == pytest.approx(0.6 + (6.25 - 0.81) ** 0.5 - 2.0 - 0.05, abs=1e-12)
    (band,) = [job.band]
    assert band is not None
    assert band.centre_mm == pytest.approx(1.7, abs=1e-12)


def test_a_sprue_stands_on_a_crest_and_not_in_the_valley() -> None:
    """In the middle of one dome, which the stock on the edge makes 3.15 wide; bend 2.5 + 0.1."""
    (casting,) = rg.job(design("twin dome")).castings
    (sprue,) = casting.sprues
    assert abs(sprue.stand.z_mm) == pytest.approx(1.575, abs=1e-12)
    low = 2.6 - (2.6**2 - 0.075**2) ** 0.5
    assert sprue.stand.radius_mm == pytest.approx(9 + 2.2 + 0.1 - low, abs=1e-12)


@pytest.mark.parametrize("outside", FORMS)
def test_the_sprue_is_real_volume(outside: str) -> None:
    """What the sprue adds to the wax is what it was weighed as, to the facets of rod and ring."""
    weighed, found = [], []
    for on_wax in (False, True):
        shop = rg.Shop.model_validate(
            {
                "casting": {
                    "sprue_on_wax": on_wax,
                    "sprue_fillet_mm": 0.0,
                    "sprue_modulus_ratio": 0.6,
                    "sprue_section_percent": 5.0,
                }
            }
        )
        job = rg.job(design(outside, edge_mm=0.12), shop)
        (casting,) = job.castings
        assert job.ring is not None
        (wax,) = waxes(job.ring, job.parts, {"body": casting.sprues[0]}, shop)
        assert is_closed(wax.mesh)
        found.append(wax.mesh.volume_mm3() / wax.part.scale.scale**3)
        weighed.append(casting.sprues[0].volume_mm3)
    assert found[1] - found[0] == pytest.approx(weighed[1], rel=0.02)


@pytest.mark.parametrize("outside", ["oval", "knife edge, rounded", "stepped", "twin dome", "free"])
def test_everything_is_written(outside: str, tmp_path: Any) -> None:
    """Waxes, assembly, sheets and templates of every form, lined, with a thread."""
    liner = {"name": "lining", "place": "liner", "alloy": "silver-925", "thickness_mm": 0.6}
    job = rg.job(design(outside, {**liner, "gap_mm": 0.03}, thread(depth_mm=0.45), edge_mm=0.12))
    assert not job.stopped
    rg.write(job, tmp_path)
    made = {path.name for path in (tmp_path / "wren").rglob("*") if path.is_file()}
    assert {"job.json", "wren_bench-sheet_A4.pdf", "wren_section.svg"} <= made
    assert sum(name.endswith(".stl") for name in made) == 4


def test_a_sprue_leaves_a_narrow_ridge_alone() -> None:
    """The inlay's right wall lies at 0.9: what is left of the top beside it is 0.1 wide."""
    inlay = thread(centre_mm=-0.15, width_mm=2.1)
    (body,) = [c for c in rg.job(design("free", inlay)).castings if c.names == ("body",)]
    (sprue,) = body.sprues
    assert sprue.stand.width_mm > 1.0
