"""Pieces: what hangs together round the turn is one, and none is lost where two walls touch."""

from __future__ import annotations

import pytest
from form import rings
from form.mixed import MIXED, Asked
from form.plain import PlainRing
from form.plain_volume import band_mm3

from ringgeom.form.ring import ring
from ringgeom.form.volume import volumes

LINED = rings.form(width=7.0, thickness=2.4, out=0.0, into=0.0)
DEEP = {"wave": rings.wave(0.8, 3)}


def pieces(asked: Asked, kind: str) -> list[float]:
    """Volumes of the pieces of every owner of a kind, in the order of their numbers [mm3]."""
    found = volumes(ring(*asked))
    return [volume.volume_mm3 for piece, volume in found.items() if piece.owner.kind == kind]


def test_islands_are_pieces_of_their_own() -> None:
    """A wave down to the liner cuts three islands off on either side of a boundary.

    The wave turned by half a wave is its own mirror image, so left and right weigh alike.
    """
    places = [
        rings.liner(0.8),
        rings.channel(1.2, 1.6, gap_mm=0.04, wave=rings.wave(1.4, 3)),
        rings.stripe(-3.5, 0.0),
    ]
    found = volumes(ring(LINED, places))
    left = sorted(v.volume_mm3 for p, v in found.items() if p.owner == ("part", 2))
    right = sorted(v.volume_mm3 for p, v in found.items() if p.owner.kind == "body")
    assert len(left) == len(right) == 4
    # three that a third of a turn maps on each other; the quadrature is good to 1e-12
    assert left[:3] == pytest.approx([left[0]] * 3, rel=1e-9)
    assert left == pytest.approx(right, rel=1e-9)


@pytest.mark.parametrize("name", ["undercut crossing rails", "crossing a stripe"])
def test_an_overhang_is_no_piece_of_its_own(name: str) -> None:
    """Metal over an undercut wall hangs on to the rest further round."""
    found = volumes(ring(*MIXED[name]))
    assert {p.number for p in found if p.owner.kind in ("part", "body")} == {0}


def test_crescents_of_a_wave_over_the_edge() -> None:
    """A stripe that waves out over either edge leaves the body in three crescents on each."""
    asked = (rings.FLAT, [rings.stripe(-2.0, 2.0, wave=rings.wave(1.5, 3))])
    crescents = pieces(asked, "body")
    assert crescents == pytest.approx([crescents[0]] * 6, rel=1e-9)


TOUCHING: dict[str, Asked] = {
    "undercut, down to the liner": (
        LINED,
        [
            rings.liner(0.8),
            rings.channel(1.2, 1.6, undercut_mm=0.1, **DEEP),
            rings.stripe(-3.5, -1.4),
        ],
    ),
    "upright, down to the liner": (
        LINED,
        [rings.liner(0.8), rings.channel(1.2, 1.6, **DEEP), rings.stripe(-3.5, -1.4)],
    ),
    "undercut": (
        rings.form(),
        [rings.channel(1.2, 0.8, undercut_mm=0.1, **DEEP), rings.stripe(-3.0, -1.4)],
    ),
    "undercut under a recessed body": (
        rings.form(proud=-0.2),
        [rings.channel(1.2, 0.8, undercut_mm=0.1, **DEEP), rings.stripe(-3.0, -1.4)],
    ),
    "two waves": (
        LINED,
        [
            rings.liner(0.8),
            rings.channel(1.2, 1.6, **DEEP),
            rings.stripe(-3.5, -1.0, wave=rings.wave(0.4, 3, 180)),
        ],
    ),
    "the band's edge": (
        LINED,
        [rings.liner(0.8), rings.channel(1.2, 1.6, centre_mm=-2.1, **DEEP)],
    ),
}
"""A wave whose crest just reaches the boundary beside it: where they touch a region vanishes."""


@pytest.mark.parametrize("name", TOUCHING)
def test_nothing_is_lost_where_two_walls_touch(name: str) -> None:
    asked = TOUCHING[name]
    found = volumes(ring(*asked))
    whole = sum(volume.volume_mm3 for volume in found.values())
    assert whole == pytest.approx(band_mm3(PlainRing(*asked)), rel=1e-9)  # asked by the contract


@pytest.mark.parametrize("name", TOUCHING)
def test_the_mirror_image_has_the_same_pieces(name: str) -> None:
    band, places = TOUCHING[name]
    other = [rings.mirrored(place) for place in places]
    for kind in ("part", "body", "recess"):
        one, two = (sorted(pieces((band, some), kind)) for some in (places, other))
        assert two == pytest.approx(one, rel=1e-9), kind
