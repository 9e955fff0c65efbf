"""How a ring goes together and what it is made from, told in the terminal."""

from __future__ import annotations

from ringgeom.jobs import Job
from ringgeom.terminal import say, table


def tell_routes(job: Job) -> None:
    """How each part can get into the ring, with the number that decides."""
    if not job.routes:
        return
    say()
    marks = {True: "works", False: "no", None: "unknown"}
    rows = [[one.part, one.name, marks[one.works], one.words] for one in job.routes]
    table(("part", "route", "", "because"), rows)


def tell_joints(job: Job) -> None:
    """Where parts meet: gap, use, solder."""
    if not job.joints:
        return
    say()
    rows = [
        [
            " in ".join(one.between),
            one.kind,
            f"{one.area_mm2:.1f}",
            f"{one.gap_mm:.3f}",
            f"{one.gap_low_mm:.3f} to {one.gap_high_mm:.3f}",
            one.use,
            f"{one.filler_mm3:.1f}",
        ]
        for one in job.joints
    ]
    table(("joint", "face", "mm2", "gap mm", "within", "use", "solder mm3"), rows)


def tell_turning(job: Job) -> None:
    """The turning table, in diameters."""
    if not job.turning:
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
        for cut in job.turning
    ]
    table(("turn", "finished, across", "with stock", "stock", "at, mm"), rows)


def tell_blanks(job: Job) -> None:
    """What each part would be made from without casting."""
    rows, told = [], set()
    for one in job.blanks():
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
                one.part.name,
                f"{one.cut_mm:.2f} x {one.width_mm:.2f} x {one.thickness_mm:.2f}",
                f"{one.grams:.2f}",
                ingot,
                mill,
                f"{one.strain_percent:.1f}",
                bars,
            ]
        )
    if rows:
        say()
        head = ("blank for", "strip to cut, mm", "g", "from an ingot, mm", "stages / anneals")
        table((*head, "bends, %", "or turned from"), rows)
