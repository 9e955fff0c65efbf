"""How a ring goes together and what it is made from, told in the terminal."""

from __future__ import annotations

from ringgeom.jobs import Job
from ringgeom.making.solder_plan import filler_by_metal
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


def tell_solder(job: Job) -> None:
    """The joints in the order of the fire: solder, window, grams; then what to mind."""
    found = job.soldering()
    if found is None:
        return
    say()
    rows = [
        [
            str(step.heat),
            step.joint.name,
            step.joint.done_with if step.grade is None else step.grade.name,
            "" if step.window_c is None else f"{step.window_c:.0f}",
            "" if step.filler_g is None else f"{step.filler_g:.3f}",
        ]
        for step in found.plan.steps
    ]
    table(("heat", "joint", "with", "window, C", "g"), rows)
    for one in filler_by_metal(found.plan):
        hint = ""
        if one.metal == "gold":
            hint = f': ringgeom mark --solder "{one.grams:.2f} {one.fineness_permille:.0f}"'
        say(f"  {one.grams:.2f} g of solder lies with the {one.metal}{hint}")
    if len(found.plan.seams) > 1:
        angles = ", ".join(f"{seam.name} {seam.angle_deg:.0f}" for seam in found.plan.seams)
        say(f"  seams staggered, degrees round the ring: {angles}")
    for remark in found.plan.remarks:
        say(f"  {remark.text}; {remark.fix}")
    for opening in found.openings:
        say(f"  {' and '.join(opening.between)}: {opening.words}")
