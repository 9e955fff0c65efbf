"""What is turned, stacked, cut and sawn: the tables of the bench sheet."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable, KeepTogether

from ringgeom.making.bench import Bench
from ringgeom.sheet.paper import PLAIN, Paper, para, section, table

Rows = list[list[str | Flowable]]


def tables(bench: Bench, paper: Paper) -> Iterator[Flowable]:
    """Taper, turning, stack-up, blanks, segments, waves."""
    yield from _taper(bench, paper)
    yield from _turning(bench, paper)
    yield from _blanks(bench, paper)
    yield from _segments(bench, paper)
    yield from _waves(bench, paper)


MOST_STATIONS = 14
"""As many hours as stand side by side on a page."""


def _taper(bench: Bench, paper: Paper) -> Iterator[Flowable]:
    if not bench.taper:
        return
    stations = bench.taper[:MOST_STATIONS]
    rows: Rows = [
        ["width mm", *(f"{one.width_mm:.2f}" for one in stations)],
        ["thickness mm", *(f"{one.thickness_mm:.2f}" for one in stations)],
    ]
    first = 24.0
    wide = (paper.inner_mm - first) / len(stations)
    yield KeepTogether(
        [
            section("Taper, finished"),
            table(("at", *(one.clock for one in stations)), rows, [first, *[wide] * len(stations)]),
        ]
    )


def _turning(bench: Bench, paper: Paper) -> Iterator[Flowable]:
    rows: Rows = [
        [
            cut.face,
            f"{cut.finished_mm:.2f}",
            f"{cut.turned_mm:.2f}",
            f"{cut.stock_mm:.2f}",
            f"from {cut.at_mm[0]:+.2f} to {cut.at_mm[1]:+.2f}",
        ]
        for cut in bench.turning
    ]
    widths = [70, 24, 24, 18]
    head = ("turn", "finished ⌀", "with stock ⌀", "stock", "along the finger, mm from mid-width")
    yield KeepTogether(
        [section("Turning"), table(head, rows, [*widths, paper.inner_mm - sum(widths)])]
    )
    stack: Rows = [
        [
            one.at,
            f"{one.at_mm:+.2f}",
            f"{one.thickness_mm:.2f}",
            ", ".join(f"{layer.name} {layer.thickness_mm:.2f}" for layer in one.layers),
        ]
        for one in bench.stacks
    ]
    widths = [34, 14, 14]
    head_ = ("stack-up", "at mm", "thick", "from the finger outwards, mm")
    yield KeepTogether(
        [
            section("From the finger outwards"),
            table(head_, stack, [*widths, paper.inner_mm - sum(widths)]),
        ]
    )


def _blanks(bench: Bench, paper: Paper) -> Iterator[Flowable]:
    rows: Rows = []
    told = set()
    for one in bench.blanks:
        like = (one.part.alloy.name, round(one.cut_mm, 3), round(one.grams, 3))
        if one.part.pieces_round > 1 or like in told:
            continue
        told.add(like)
        mill = "" if one.rolling is None else f"{one.rolling.stages} / {one.rolling.anneals}"
        rows.append(
            [
                one.name,
                f"{one.cut_mm:.2f} × {one.width_mm:.2f} × {one.thickness_mm:.2f}",
                f"{one.grams:.2f}",
                " × ".join(f"{mm:.2f}" for mm in one.ingot_mm),
                f"{one.ingot_g:.2f}",
                mill,
                f"{one.strain_percent:.1f}",
                ", ".join(
                    f"{bar.form} ⌀ {bar.across_mm:.1f}: {bar.swarf_g:.1f} g swarf"
                    for bar in one.turned
                ),
            ]
        )
    if not rows:
        return
    widths = [26, 36, 12, 34, 13, 17, 13]
    head = ("blank for", "flat strip with stock, mm", "g", "from an ingot, mm", "ingot g")
    more = ("stages / anneals", "bends %", "or turned from, swarf")
    yield KeepTogether(
        [
            section("If it is not cast"),
            table((*head, *more), rows, [*widths, paper.inner_mm - sum(widths)]),
        ]
    )


def _segments(bench: Bench, paper: Paper) -> Iterator[Flowable]:
    for one in bench.cut_lists:
        cuts = one.cuts
        slant = f", slanted by {one.slant_deg:g}°" if one.slant_deg else ""
        rows: Rows = [
            [
                strip.alloy,
                ", ".join(map(str, strip.numbers)),
                f"{strip.length_mm:.2f} × {strip.width_mm:.2f} × {strip.thickness_mm:.2f}",
                f"{strip.grams:.2f}",
            ]
            for strip in one.strips
        ]
        widths = [44, 60, 50]
        head = ("strip of", "pieces, in their order round", "length × width × thickness, mm", "g")
        yield KeepTogether(
            [
                section(f"Segments: {one.place}"),
                para(
                    f"{cuts.count} pieces of {cuts.wedge_deg:.2f}°{slant}; sawn "
                    f"{cuts.piece_mm:.2f} mm long, cleaned to {cuts.outer_arc_mm:.2f} outside and "
                    f"{cuts.inner_arc_mm:.2f} inside; a joint comes out {cuts.joint_low_mm:.3f} to "
                    f"{cuts.joint_high_mm:.3f} mm, all together {cuts.closing_worst_mm:.2f} mm out "
                    "at worst.",
                    PLAIN,
                ),
                table(head, rows, [*widths, paper.inner_mm - sum(widths)]),
            ]
        )


def _waves(bench: Bench, paper: Paper) -> Iterator[Flowable]:
    if not bench.waves:
        return
    rows: Rows = [
        [
            wave.place,
            f"{wave.count} × {wave.amplitude_mm:g}",
            f"{wave.path.length_mm:.2f}",
            f"{wave.path.longer_percent:.1f}",
            f"{wave.path.steepest_deg:.1f}",
            "" if wave.path.tightest_mm is None else f"{wave.path.tightest_mm:.2f}",
            f"{wave.path.narrowest_mm:.2f}" if wave.whole else "",
        ]
        for wave in bench.waves
    ]
    widths = [40, 24, 24, 20, 24, 30]
    head = ("wave of", "count × mm", "length mm", "longer %", "steepest °", "tightest bend mm")
    yield KeepTogether(
        [
            section("Waves"),
            table((*head, "narrowest across mm"), rows, [*widths, paper.inner_mm - sum(widths)]),
        ]
    )
