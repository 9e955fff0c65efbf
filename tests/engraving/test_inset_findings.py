"""Every finding on motif inlays: a ring that brings it, its number, and what cures it."""

from __future__ import annotations

from pathlib import Path

import pytest
from engraving.drawn import DRAWINGS, design_in, inlay, job_in, motif
from engraving.texts import engraving

import ringgeom as rg
from ringgeom.errors import InputError
from ringgeom.findings import Finding

DOMED = 'outside = { form = "domed", rise_mm = 0.6 }'
STEPPED = 'outside = { form = "stepped", ledge_mm = 1.6, drop_mm = 0.3 }'
STRIPE = (
    '[[part]]\nname = "frost"\nplace = "stripe"\nalloy = "gold-750-white-pd-15"\nfrom_mm = -3.0\n'
    "to_mm = -0.5\ngap_mm = { side = 0.05 }\n"
)
WAVING = STRIPE + "wave = { amplitude_mm = 0.4, count = 6 }\n"
SEGMENTS = (
    '[[part]]\nname = "bricks"\nplace = "segments"\nalloys = ["silver-925", "gold-750-green"]\n'
    "count = 6\ndepth_mm = 1.2\ngap_mm = { side = 0.05, floor = 0.05 }\n"
)
SQUARE = {"file": "square.svg", "height_mm": 1.5}
FINE = inlay(count=6)
TWO = inlay(count=6, centre_mm=-1.3, height_mm=1.2)
BELL = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="6mm" height="2mm" viewBox="0 0 6 2">'
    '<path d="M0 0 H2 V0.95 H4 V0 H6 V2 H4 V1.05 H2 V2 H0 Z"/></svg>'
)
BELL_IN = {"file": "bell.svg", "height_mm": 2.0}
DRAWINGS["bell.svg"] = BELL


def second(**keys: object) -> str:
    return inlay(name="berries", **keys)


CASES: tuple[tuple[str, str, str, str, str, float | None], ...] = (
    # code, level, ring, what brings it, what cures it, value
    ("figure-cannot-be-drawn", "stop", "", inlay(file="none.svg"), FINE, None),
    ("figure-cannot-be-drawn", "stop", "", inlay(file="crossed.svg"), FINE, None),
    ("figure-cannot-be-drawn", "stop", "", inlay(count=5, mirrored="round"), FINE, None),
    ("figure-cannot-be-drawn", "stop", "", inlay(follows="reed"), FINE, None),
    ("figure-cannot-be-drawn", "stop", "", inlay(gap_mm="gap_mm = -0.02"), FINE, None),
    ("figure-cannot-be-drawn", "stop", "", inlay(height_mm=0.2, gap_mm="gap_mm = 0.1"), FINE, None),
    ("figure-cannot-be-drawn", "stop", "", inlay(cutter_mm=2.5), inlay(cutter_mm=0.5), None),
    ("runs-off-face", "stop", "", inlay(**SQUARE, centre_mm=2.5), inlay(**SQUARE), 3.25),
    (
        "on-edge-rounding",
        "warn",
        "edge_mm = 0.6",
        inlay(**SQUARE, centre_mm=1.8),
        inlay(**SQUARE, centre_mm=1.2),
        2.55,
    ),
    ("thin-rail", "warn", "", inlay(**SQUARE, centre_mm=1.7), inlay(**SQUARE), 0.55),
    ("thin-rail", "stop", "", inlay(**SQUARE, centre_mm=2.0), inlay(**SQUARE), 0.25),
    ("copies-run-together", "stop", "", inlay(**SQUARE, count=24), inlay(**SQUARE, count=8), 0.0),
    # pi x 21.19 / 18 - 3
    ("thin-between", "warn", "", inlay(**SQUARE, count=18), inlay(**SQUARE, count=16), 0.698),
    ("recess-too-deep", "stop", "", inlay(depth_mm=2.1), FINE, 2.1),
    ("thin-floor", "stop", "", inlay(depth_mm=1.6), inlay(depth_mm=1.2), 0.4),
    ("thin-floor", "warn", "", inlay(depth_mm=1.3), inlay(depth_mm=1.2), 0.7),
    (
        "thin-floor",
        "warn",
        "",
        inlay(depth_mm=1.1) + engraving(depth_mm=0.2),
        inlay(depth_mm=1.0) + engraving(depth_mm=0.2),
        0.7,
    ),
    (
        "gap-eats-part",
        "stop",
        "",
        inlay(depth_mm=0.2, gap_mm="gap_mm = { side = 0.03, floor = 0.1 }"),
        FINE,
        0.1,
    ),
    ("thin-inlay", "warn", "", inlay(depth_mm=0.4), inlay(depth_mm=0.6), 0.37),
    ("thin-inlay", "note", "", inlay(file="blade.svg", height_mm=0.8), inlay(**SQUARE), None),
    ("closed-inlay-cannot-enter", "stop", "", inlay(file="blade.svg", height_mm=4.5), FINE, None),
    ("gap-parts-insert", "warn", "", inlay(**BELL_IN, gap_mm="gap_mm = 0.06"), FINE, 0.06),
    # (4 - pi) r^2 of the four corners
    ("cutter-does-not-reach", "note", "", inlay(**SQUARE, cutter_mm=0.6), inlay(**SQUARE), 0.0773),
    (
        "corners-relieved",
        "warn",
        "",
        inlay(**SQUARE, cutter_mm=0.6, corners="relieved"),
        inlay(**SQUARE, cutter_mm=0.6),
        0.3,
    ),
    (
        "inlay-in-two-metals",
        "stop",
        "",
        STRIPE + FINE,
        STRIPE + inlay(**SQUARE, centre_mm=1.2),
        2.0,
    ),
    (
        "inlay-in-two-metals",
        "stop",
        "",
        WAVING + inlay(**SQUARE),
        WAVING + inlay(**SQUARE, centre_mm=1.4),
        1.5,
    ),
    ("inlay-in-two-metals", "stop", "", SEGMENTS + inlay(depth_mm=0.4), FINE, 2.0),
    ("inlay-in-two-metals", "stop", STEPPED, inlay(height_mm=3.0), inlay(height_mm=1.4), 3.0),
    (
        "thin-rail",
        "warn",
        "",
        STRIPE + inlay(**SQUARE, centre_mm=0.8),
        STRIPE + inlay(**SQUARE, centre_mm=1.2),
        0.55,
    ),
    (
        "parts-overlap",
        "stop",
        "",
        TWO + second(count=6, centre_mm=-0.6, height_mm=1.2),
        TWO + second(count=6, centre_mm=1.3, height_mm=1.2),
        0.0,
    ),
    (
        "thin-between",
        "warn",
        "",
        TWO + second(**SQUARE, count=6, centre_mm=0.6),
        TWO + second(**SQUARE, count=6, centre_mm=1.3),
        0.55,
    ),
    (
        "engravings-overlap",
        "stop",
        "",
        FINE + motif(on="outside", count=6, height_mm=1.0),
        FINE + motif(on="outside", count=6, height_mm=0.6, centre_mm=2.0),
        None,
    ),
    (
        "thin-inlay",
        "stop",
        DOMED,
        inlay(file="square.svg", height_mm=3.4, floor="flat", depth_mm=0.3),
        inlay(file="square.svg", height_mm=3.4, depth_mm=0.6),
        None,
    ),
)


def of(job: rg.Job, code: str) -> list[Finding]:
    return [f for f in job.findings if f.code == code]


@pytest.mark.parametrize(
    "case", CASES, ids=[f"{n}-{case[0]}-{case[1]}" for n, case in enumerate(CASES)]
)
def test_it_is_found_with_its_number_and_cured(
    case: tuple[str, str, str, str, str, float | None], tmp_path: Path
) -> None:
    code, level, ring, brings, cures, value = case
    found = [f for f in of(job_in(tmp_path, brings, ring), code) if f.level == level]
    assert found, code
    if value is not None:
        # numbers are told to a hundredth; distances are found within a few micrometres
        assert any(f.value == pytest.approx(value, abs=5e-3) for f in found if f.value is not None)
    assert all(f.fix for f in found)
    cured = [f for f in of(job_in(tmp_path, cures, ring), code) if f.level == level]
    assert not cured, cured


def test_why_it_does_not_lie_in_one_metal(tmp_path: Path) -> None:
    for rest, ring, words in (
        (STRIPE + FINE, "", "the joint between two metals"),
        (WAVING + inlay(**SQUARE), "", "a boundary that waves"),
        (SEGMENTS + inlay(depth_mm=0.4), "", "it lies in segments"),
        (inlay(height_mm=3.0), STEPPED, "steps by 0.30 mm"),
    ):
        (found,) = of(job_in(tmp_path, rest, ring), "inlay-in-two-metals")
        assert words in found.text


def test_two_hands_of_keys_are_refused_with_their_place(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="one size"):
        design_in(tmp_path, inlay(length_mm=3.0))
    with pytest.raises(InputError, match="corners"):
        design_in(tmp_path, inlay(corner_s="round"))
