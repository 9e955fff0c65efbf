"""The second page: what to weigh out, how to pour, how it goes together, what to cut and turn."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable, KeepTogether

from ringgeom.asked import together
from ringgeom.jobs import Job
from ringgeom.making.bench import Bench
from ringgeom.making.joint_asked import LAST
from ringgeom.making.poured import Casting
from ringgeom.making.routes.chosen import chosen_routes
from ringgeom.making.solder_plan import filler_by_metal
from ringgeom.metal.element import element
from ringgeom.metal.recipe import Recipe
from ringgeom.sheet.inlays import inlays
from ringgeom.sheet.lettering import lettering
from ringgeom.sheet.paper import SMALL, SOFT, Paper, para, section, table
from ringgeom.sheet.tables import tables

IT = "\x00"
"""Stands for a part's own name while like words are gathered."""

Rows = list[list[str | Flowable]]


def making(job: Job, paper: Paper) -> Iterator[Flowable]:
    """Melts, pours, routes, joints, blanks, turning, stack-up, segments."""
    bench = job.bench()
    yield from _melts(job, paper)
    yield from _pours(job, paper)
    yield from _routes(job)
    if bench is None:
        return
    yield from _solder(bench, paper)
    yield from tables(bench, paper)
    yield from inlays(job, paper)
    yield from lettering(job, paper)


def recipe_words(recipe: Recipe) -> str:
    """A recipe in mass percent."""
    return "  ".join(f"{symbol} {percent:.4g}" for symbol, percent in recipe.shares)


def _melts(job: Job, paper: Paper) -> Iterator[Flowable]:
    rows: Rows = []
    for melt in job.melts.melts:
        first = f"{melt.wanted.alloy.name}: {melt.poured_g:.2f} g"
        for portion in melt.take:
            buy = "buy " if portion.source.bought else ""
            recipe = portion.source.recipe
            rows.append(
                [
                    first,
                    "☐",
                    f"{portion.grams:.2f}",
                    f"{buy}{portion.source.name}",
                    recipe_words(recipe) if len(recipe.shares) > 1 else "",
                    "",
                ]
            )
            first = ""
        for one in melt.missing:
            rows.append(
                [first, "", f"{one.grams:.2f}", f"missing: {element(one.symbol).name}", "", ""]
            )
            first = ""
        if melt.fineness_permille is not None and melt.worst_permille is not None and rows:
            rows[-1][5] = f"{melt.fineness_permille:.1f} ‰, at worst {melt.worst_permille:.1f}"
    widths = [56, 7, 16, 42, 25]
    head = ("melt, as weighed out", "", "g", "weigh out", "recipe, % by mass", "comes to")
    yield KeepTogether(
        [section("Melt card"), table(head, rows, [*widths, paper.inner_mm - sum(widths)])]
    )
    yield para(
        f"Steps of the balance {job.shop.melt.balance_g:g} g. The precious metals first, then "
        "copper, zinc last (common practice; benches disagree). Keep the colours' trays apart.",
        SOFT,
    )


def _pours(job: Job, paper: Paper) -> Iterator[Flowable]:
    pours: dict[tuple[str, ...], list[str]] = {}
    for one in job.castings:
        pours.setdefault(tuple(_pour_row(one)), []).append(one.alloy.name)
    rows: Rows = [[together(names), *row] for row, names in pours.items()]
    widths = [38, 34, 28]
    head = ("pour", "metal, °C", "flask inside, mm", "mould and flask (common practice)")
    yield KeepTogether(
        [section("Pour"), table(head, rows, [*widths, paper.inner_mm - sum(widths)])]
    )
    feet: dict[str, list[str]] = {}
    for casting in job.castings:
        for name, sprue in zip(casting.names, casting.sprues, strict=True):
            foot = f"⌀ {sprue.diameter_mm:.2f}"
            if sprue.is_oval:
                foot = f"{sprue.across_mm:.2f} × {sprue.along_mm:.2f} oval"
            said = f"{sprue.count} × {foot}, fillet {sprue.fillet_mm:.2g}"
            feet.setdefault(said, []).append(name)
    words = "; ".join(f"{together(names)}: {said}" for said, names in feet.items())
    length = job.shop.casting.sprue_length_mm
    yield para(f"Sprues {length:g} mm long, on the heaviest section: {words}.", SOFT)


def _pour_row(casting: Casting) -> list[str]:
    tree, pour = casting.tree, casting.pour
    stands = f"{tree.waxes} on the button" if not tree.tiers else f"{tree.waxes} on a stem"
    size = f"⌀ {tree.flask_across_mm:.0f} × {tree.flask_height_mm:.0f}, {stands}"
    if pour is None:
        return ["not known: ask its maker", size, ""]
    if pour.aim_c is None or pour.low_c is None or pour.high_c is None:
        return ["as the mould's maker says", size, f"{pour.investment} investment"]
    hot = f"{pour.aim_c:.0f} ({pour.low_c:.0f} to {pour.high_c:.0f})"
    return [hot, size, f"{pour.investment} investment, {pour.flask}"]


def _routes(job: Job) -> Iterator[Flowable]:
    found = chosen_routes(job.routes, job.design.parts)
    if not found:
        return
    yield section("How it goes together")
    alike: dict[str, list[str]] = {}
    for part, chosen in found.items():
        route = chosen.route
        sizes = ", ".join(f"{size.name} {size.value:.2f} {size.unit}" for size in route.sizes)
        steps = "; ".join(f"{n}. {step}" for n, step in enumerate(route.steps, start=1))
        said = f"{route.name} ({chosen.how}). {sizes}{'. ' if sizes else ''}{steps}."
        alike.setdefault(said.replace(part, IT), []).append(part)
    for said, parts in alike.items():
        name = parts[0] if len(parts) == 1 else "each"
        yield para(f"{together(parts)}: {said.replace(IT, name)}", SMALL)
    dead: dict[str, list[str]] = {}
    for one in job.routes:
        if one.works is False:
            mine = dead.setdefault(f"{one.name}: {one.words.replace(one.part, IT)}", [])
            mine += [] if one.part in mine else [one.part]
    if dead:
        told = (f"{together(parts)}, {said.replace(IT, parts[0])}" for said, parts in dead.items())
        yield para(f"Ruled out: {'; '.join(told)}.", SOFT)


def _solder(bench: Bench, paper: Paper) -> Iterator[Flowable]:
    if bench.soldering is None:
        return
    plan = bench.soldering.plan
    rows: Rows = []
    for step in plan.steps:
        joint = step.joint
        fire = "" if joint.done_with in LAST else str(step.heat)
        with_what = joint.done_with if step.grade is None else step.grade.name
        rows.append(
            [
                fire,
                joint.name,
                f"{joint.area_mm2:.1f}",
                f"{joint.gap_mm:.3f}",
                with_what,
                "" if step.grade is None else f"{step.grade.liquidus_c:.0f}",
                "" if step.window_c is None else f"{step.window_c:.0f}",
                "" if step.filler_g is None else f"{step.filler_g:.3f}",
                "☐",
            ]
        )
    widths = [9, 58, 13, 13, 42, 15, 16, 12]
    head = ("heat", "joint", "mm²", "gap mm", "with", "flows °C", "below limit", "g", "done")
    yield section("Joints, in the order of the fire")
    yield table(head, rows, [*widths, paper.inner_mm - sum(widths)])
    said = [f"{one.grams:.2f} g counts with the {one.metal}" for one in filler_by_metal(plan)]
    if len(plan.seams) > 1:
        said.append(
            "seams at " + ", ".join(f"{one.name} {one.angle_deg:.0f}°" for one in plan.seams)
        )
    said += [f"{one.text}; {one.fix}" for one in plan.remarks]
    said += [f"{' and '.join(one.between)}: {one.words}" for one in bench.soldering.openings]
    if said:
        yield para(". ".join(said) + ".", SOFT)
