"""How a ring goes together, told in the terminal: its band, routes, joints, solder."""

from __future__ import annotations

from ringgeom.jobs import Job
from ringgeom.making.joint_asked import LAST
from ringgeom.making.routes.chosen import chosen_routes
from ringgeom.making.solder_plan import filler_by_metal
from ringgeom.making.soldering import FACES
from ringgeom.report.tables import tell_tables
from ringgeom.terminal import say, table


def tell_going_together(job: Job) -> None:
    """All of it, from the band to the tables of the bench."""
    tell_band(job)
    tell_routes(job)
    tell_steps(job)
    tell_joints(job)
    tell_solder(job)
    tell_tables(job)


def tell_routes(job: Job) -> None:
    """How each part can get into the ring, with the number that decides."""
    if not job.routes:
        return
    say()
    marks = {True: "works", False: "no", None: "unknown"}
    rows = [[one.part, one.name, marks[one.works], one.words] for one in job.routes]
    table(("part", "route", "", "because"), rows)


def tell_band(job: Job) -> None:
    """The whole band: thickness, how far inlays and liners may go, the narrowest places."""
    if (band := job.band) is None:
        return
    say()
    say(
        f"band: {band.centre_mm:.2f} mm thick at mid-width, {band.edge_mm:.2f} at its edges; bent "
        f"from one strip its skin would stretch by {band.bent_percent:.1f} %"
    )
    for room in band.rooms:
        under = "under" if room.what == "depth" else "over"
        most = "" if room.most_mm is None else f", at most {max(room.most_mm, 0.0):.2f} mm"
        say(
            f"  {room.part}: {max(room.left_mm, 0.0):.2f} mm left {under} it (no warning "
            f"from {room.limit_mm:g} up); {room.what} {room.now_mm:g}{most}"
        )
    for rail in band.rails:
        say(
            f"  {rail.part}: {rail.width_mm:.2f} mm wide {rail.where} at its narrowest "
            f"(no warning from {rail.limit_mm:g} up)"
        )
    for words in band.advice:
        say(f"  {words}")


def tell_steps(job: Job) -> None:
    """For every part the route that is chosen, or the first that works: its sizes and its steps."""
    for part, chosen in chosen_routes(job.routes, job.design.parts).items():
        say()
        say(f"{part}: {chosen.route.name} ({chosen.how})")
        for size in chosen.route.sizes:
            say(f"  {size.name}: {size.value:.2f} {size.unit}")
        for number, step in enumerate(chosen.route.steps, start=1):
            say(f"  {number}. {step}")


def tell_joints(job: Job) -> None:
    """Where parts meet: gap, use, solder."""
    if not job.joints:
        return
    say()
    rows = [
        [
            " in ".join(one.between),
            FACES.get(one.kind, one.kind),
            f"{one.area_mm2:.1f}",
            f"{one.gap_mm:.3f}",
            f"{one.gap_low_mm:.3f} to {one.gap_high_mm:.3f}",
            one.use,
            f"{one.filler_mm3:.1f}",
        ]
        for one in job.joints
    ]
    table(("joint", "face", "mm2", "gap mm", "within", "use", "solder mm3"), rows)


def tell_solder(job: Job) -> None:
    """The joints in the order of the fire: solder, window, grams; then what to mind."""
    bench = job.bench()
    if bench is None or (found := bench.soldering) is None:
        return
    say()
    rows = [
        [
            "" if step.joint.done_with in LAST else str(step.heat),
            step.joint.name,
            step.joint.done_with if step.grade is None else step.grade.name,
            "" if step.window_c is None else f"{step.window_c:.0f}",
            "" if step.filler_g is None else f"{step.filler_g:.3f}",
        ]
        for step in found.plan.steps
    ]
    table(("heat", "joint", "with", "C below the limit", "g"), rows)
    for one in filler_by_metal(found.plan):
        hint = ""
        if one.metal == "gold":
            hint = f': ringgeom mark --solder "{one.grams:.2f} {one.fineness_permille:.0f}"'
        say(f"  {one.grams:.2f} g of solder counts with the {one.metal}{hint}")
    if len(found.plan.seams) > 1:
        angles = ", ".join(f"{seam.name} {seam.angle_deg:.0f}" for seam in found.plan.seams)
        say(f"  seams staggered, degrees round the ring: {angles}")
    for remark in found.plan.remarks:
        say(f"  {remark.text}; {remark.fix}")
    for opening in found.openings:
        say(f"  {' and '.join(opening.between)}: {opening.words}")
