"""Rings that mix what a designer can ask for, each awkward in its own way."""

from __future__ import annotations

from form import rings

from ringgeom.form.places import AnyPlace
from ringgeom.form.ring_form import RingForm

Asked = tuple[RingForm, list[AnyPlace]]

WAVE = rings.wave(0.7, 4, 20)
MIXED: dict[str, Asked] = {
    "waving, undercut, gaps": (
        rings.form(edge=0.2),
        [rings.channel(undercut_mm=0.15, gap_mm=0.03, wave=rings.wave(0.7, 8))],
    ),
    "crossing a stripe": (
        rings.form(edge=0.3),
        [rings.channel(1.2, 0.8, gap_mm=0.04, wave=rings.wave(1.4, 3)), rings.stripe(-3.0, 0.0)],
    ),
    "two waves crossing": (
        rings.form(),
        [
            rings.channel(1.2, 0.8, gap_mm=0.04, wave=rings.wave(1.4, 3)),
            rings.stripe(-3.0, 0.2, wave=rings.wave(1.0, 2, 50), gap_mm=0.02),
        ],
    ),
    "undercut crossing rails": (
        rings.form(edge=0.1),
        [
            rings.channel(1.6, 0.8, undercut_mm=0.2, wave=rings.wave(1.2, 3)),
            rings.edges(1.5, gap_mm=0.03),
        ],
    ),
    "undercut into the rounding": (
        rings.form(edge=0.4),
        [rings.channel(2.4, 0.8, centre_mm=1.2, undercut_mm=0.1, wave=rings.wave(0.4, 4, 20))],
    ),
    "undercut start in the rounding": (
        rings.form(edge=0.4),
        [rings.channel(2.4, 0.8, centre_mm=1.6, undercut_mm=0.1, gap_mm=0.03)],
    ),
    "stripes pressed over a liner": (
        rings.form(into=0.15),
        [
            rings.liner(0.5, gap_mm=-0.02),
            rings.channel(gap_mm=-0.02, wave=WAVE),
            rings.stripe(-3.0, 0.0, gap_mm=-0.01),
            rings.stripe(0.0, 3.0),
        ],
    ),
    "waving rails, slanted segments": (
        rings.form(edge=0.25),
        [
            rings.liner(0.5, gap_mm=0.03),
            rings.edges(1.2, gap_mm=0.03, wave=rings.wave(0.3, 6)),
            rings.segments(7, slant_deg=-40, gap_mm=0.04),
        ],
    ),
    "segments let in beside a wave": (
        rings.form(),
        [
            rings.channel(gap_mm=0.03, wave=WAVE),
            rings.segments(6, slant_deg=30, depth_mm=0.9, gap_mm=0.05),
        ],
    ),
    "proud": (rings.form(proud=0.2), [rings.channel(gap_mm=0.03, undercut_mm=0.1, wave=WAVE)]),
    "recessed": (rings.form(proud=-0.2, edge=0.2), [rings.channel(gap_mm=0.03, wave=WAVE)]),
    "recessed and pressed": (rings.form(proud=-0.2), [rings.channel(gap_mm=-0.02)]),
    "recessed, undercut": (rings.form(proud=-0.2), [rings.channel(undercut_mm=0.2, gap_mm=0.03)]),
    "recessed, undercut, waving": (
        rings.form(proud=-0.2, edge=0.2),
        [rings.channel(undercut_mm=0.2, gap_mm=0.03, wave=WAVE)],
    ),
    "half-round": (rings.form(bore=18.0, width=4.0, thickness=2.0, out=2.0, into=0.0), []),
}
