"""Tables for the bench, told in the terminal: turning, stack-up, blanks, cut lists, waves."""

from __future__ import annotations

from ringgeom.jobs import Job
from ringgeom.terminal import say, table


def tell_tables(job: Job) -> None:
    """All of them, in the order in which a bench asks."""
    _tell_turning(job)
    _tell_taper(job)
    _tell_stacks(job)
    _tell_blanks(job)
    _tell_cut_lists(job)
    _tell_waves(job)


def _tell_turning(job: Job) -> None:
    """The turning table, in diameters."""
    if (bench := job.bench()) is None:
        return
    say()
    rows = [
        [
            cut.face,
            f"{cut.finished_mm:.2f}",
            f"{cut.turned_mm:.2f}",
            f"{cut.stock_mm:.2f}",
            f"{cut.at_mm[0]:+.2f} to {cut.at_mm[1]:+.2f}",
        ]
        for cut in bench.turning
    ]
    table(("turn", "finished, across", "with stock", "stock", "at, mm"), rows)


def _tell_blanks(job: Job) -> None:
    """What each part would be made from without casting."""
    if (bench := job.bench()) is None:
        return
    rows, told = [], set()
    for one in bench.blanks:
        if one.part.pieces_round > 1:
            continue  # sawn from a strip of their own, told with the cut lists
        like = (one.part.alloy.name, round(one.cut_mm, 3), round(one.grams, 3))
        if like in told:
            continue
        told.add(like)
        ingot = " x ".join(f"{measure:.2f}" for measure in one.ingot_mm)
        mill = "" if one.rolling is None else f"{one.rolling.stages} / {one.rolling.anneals}"
        bars = ", ".join(
            f"{bar.form} {bar.across_mm:.1f}, {bar.swarf_g:.1f} g swarf" for bar in one.turned
        )
        rows.append(
            [
                one.name,
                f"{one.cut_mm:.2f} x {one.width_mm:.2f} x {one.thickness_mm:.2f}",
                f"{one.grams:.2f}",
                ingot,
                f"{one.ingot_g:.2f}",
                mill,
                f"{one.strain_percent:.1f}",
                bars,
            ]
        )
    if rows:
        say()
        head = ("blank for", "flat strip with stock, mm", "g", "from an ingot, mm", "ingot g")
        table((*head, "stages / anneals", "bends, %", "or turned from"), rows)
        say("  what is made from strip or wire needs its ingot, no sprue and no button")


def _tell_taper(job: Job) -> None:
    """Width and thickness of a band that tapers, hour by hour."""
    bench = job.bench()
    if bench is None or not bench.taper:
        return
    say()
    rows = [[one.clock, f"{one.width_mm:.2f}", f"{one.thickness_mm:.2f}"] for one in bench.taper]
    table(("taper at", "width mm", "thickness mm"), rows)


def _tell_stacks(job: Job) -> None:
    """From the finger outwards, place by place across the width."""
    if (bench := job.bench()) is None:
        return
    say()
    rows = [
        [
            stack.at,
            f"{stack.at_mm:+.2f}",
            f"{stack.thickness_mm:.2f}",
            ", ".join(f"{layer.name} {layer.thickness_mm:.2f}" for layer in stack.layers),
        ]
        for stack in bench.stacks
    ]
    table(("stack-up", "at, mm", "thick", "from the finger outwards, mm"), rows)


def _tell_cut_lists(job: Job) -> None:
    """Segments: the piece, then a strip of each alloy."""
    if (bench := job.bench()) is None:
        return
    for one in bench.cut_lists:
        cuts = one.cuts
        slant = f", slanted by {one.slant_deg:g} degrees" if one.slant_deg else ""
        say()
        say(
            f"{one.place}: {cuts.count} pieces of {cuts.wedge_deg:.2f} degrees, cut "
            f"{cuts.piece_mm:.2f} mm long, cleaned to {cuts.outer_arc_mm:.2f} outside and "
            f"{cuts.inner_arc_mm:.2f} inside{slant}"
        )
        table(
            ("strip of", "pieces", "length x width x thickness, mm", "g"),
            [
                [
                    strip.alloy,
                    ", ".join(map(str, strip.numbers)),
                    f"{strip.length_mm:.2f} x {strip.width_mm:.2f} x {strip.thickness_mm:.2f}",
                    f"{strip.grams:.2f}",
                ]
                for strip in one.strips
            ],
        )
        say(
            f"  a joint comes out between {cuts.joint_low_mm:.3f} and {cuts.joint_high_mm:.3f} mm; "
            f"all together {cuts.closing_worst_mm:.2f} mm out at worst"
        )


def _tell_waves(job: Job) -> None:
    """How long, how steep, how wide what waves is, on the outside."""
    bench = job.bench()
    if bench is None or not bench.waves:
        return
    say()
    rows = [
        [
            wave.place,
            f"{wave.count} x {wave.amplitude_mm:g}",
            f"{wave.path.length_mm:.2f}",
            f"{wave.path.longer_percent:.1f}",
            f"{wave.path.steepest_deg:.1f}",
            "" if wave.path.tightest_mm is None else f"{wave.path.tightest_mm:.2f}",
            f"{wave.path.narrowest_mm:.2f}" if wave.whole else "",
        ]
        for wave in bench.waves
    ]
    head = (
        "wave of",
        "count x mm",
        "length, mm",
        "longer, %",
        "steepest, deg",
        "tightest bend, mm",
    )
    table((*head, "narrowest across, mm"), rows)
