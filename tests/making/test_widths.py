"""Rails and stripes are as narrow as they are said to be, beside walls that lean too."""

from __future__ import annotations

import pytest
from proof.designs import document

import ringgeom as rg

RING = {"size": "US 7", "width_mm": 6.0, "thickness_mm": 2.0}
CHANNEL = {
    "name": "inlay", "place": "channel", "alloy": "gold-750-green", "width_mm": 2.0,
    "depth_mm": 0.8, "centre_mm": 1.3, "undercut_mm": 0.1,
}  # fmt: skip
PLANKS = {
    "name": "plank", "place": "segments", "count": 2, "alloys": ["gold-750-green"],
    "depth_mm": 0.5, "gap_mm": {"side": 0.0, "floor": 0.05},
}  # fmt: skip


def rails(*parts: dict, taper: list | None = None) -> dict[str, float | None]:
    """What is said of the width of every part."""
    ring = RING | ({"taper": taper} if taper else {})
    keys = {"job": {"name": "Proof"}, "ring": ring, "body": {"alloy": "silver-925"}, "part": parts}
    job = rg.job(rg.design_from_text(document(keys)))
    return {f.part: f.value for f in job.findings if f.code == "thin-rail"}


def test_planks_beside_an_undercut_are_narrowest_at_their_own_floor() -> None:
    """Found: the width was told where a wall crossed another floor, up to the undercut too wide.

    The wall leans out by 0.1 over 0.8 mm: at 0.45 mm down by 0.05625, from 3 - 2.3 mm.
    """
    assert rails(CHANNEL, PLANKS) == {
        "plank 1": pytest.approx(0.64375, abs=1e-6),
        # under the planks, at the channel's floor
        "body": pytest.approx(0.6, abs=1e-6),
    }


def test_where_the_band_is_narrower_so_are_they() -> None:
    """Walls keep their share of the width, floors theirs of the thickness; an undercut and the
    gap under the planks keep their millimetres."""
    taper = [{"at": "6:00", "width_mm": 4.8, "thickness_mm": 1.8}]
    lean_mm = 0.1 * (0.9 * 0.5 - 0.05) / (0.9 * 0.8)
    found = rails(CHANNEL, PLANKS, taper=taper)
    assert found["plank 1"] == pytest.approx(0.8 * 0.7 - lean_mm, abs=2e-6)


def test_where_the_band_is_thinner_the_floor_is_looked_at_there() -> None:
    """Found: widths of a thinner place were told at the height of a floor at 12 o'clock.

    The undercut reaches its whole 0.1 mm at the floor, wherever that is.
    """
    taper = [{"at": "4:00", "width_mm": 5.1, "thickness_mm": 1.5}]
    assert rails(CHANNEL, taper=taper)["body"] == pytest.approx(0.85 * 0.7 - 0.1, abs=2e-6)


def test_a_rail_is_measured_at_the_very_crest() -> None:
    """Found: where boundaries cross, crests were looked at no nearer than a step beside them."""
    wave = {"amplitude_mm": 0.9, "count": 5, "phase_deg": 13.0}
    inlay = {
        "name": "inlay", "place": "channel", "alloy": "gold-750-green", "width_mm": 1.0,
        "depth_mm": 0.8, "centre_mm": -1.2, "wave": wave,
    }  # fmt: skip
    stripe = {
        "name": "stripe", "place": "stripe", "alloy": "gold-1000", "from_mm": -3.0, "to_mm": -1.0,
    }  # fmt: skip
    found = rails(inlay, stripe)["stripe"]
    assert found == pytest.approx(3 - (1.2 + 0.5 + 0.9), abs=1e-9)


@pytest.mark.parametrize(("wide", "rail"), [(3.9, 0.05), (3.8, 0.1), (3.0, 0.5)])
@pytest.mark.parametrize("deep", [0.65, 0.8])
def test_a_rail_above_a_ledge_is_seen(wide: float, rail: float, deep: float) -> None:
    """The ledge begins 2 mm from mid-width: 2 - wide / 2 of rail stand above it."""
    keys = {
        "job": {"name": "Proof"},
        "ring": RING | {"thickness_mm": 2.2,
                        "outside": {"form": "stepped", "ledge_mm": 1.0, "drop_mm": 0.6}},
        "body": {"alloy": "silver-925"},
        "part": [{"name": "reed", "place": "channel", "alloy": "gold-750-green",
                  "width_mm": wide, "depth_mm": deep, "gap_mm": 0.05}],
    }  # fmt: skip
    job = rg.job(rg.design_from_text(document(keys)))
    (told,) = {f.value for f in job.findings if f.code == "thin-rail"}
    assert told == pytest.approx(rail, abs=1e-9)
