"""Melts told in the terminal: what to weigh out, what comes of it, what is left; and marks."""

from __future__ import annotations

from collections.abc import Sequence

from ringgeom.making.marking import SolderRoom
from ringgeom.marks import ArticleMark, region_of
from ringgeom.melt import Melt, MeltPlan
from ringgeom.metal import element, recipe_faults
from ringgeom.metal.caution import Caution
from ringgeom.metal.melting import ORDER_WORDS, hints, pour_c
from ringgeom.report.metals import written
from ringgeom.shop import MeltSettings
from ringgeom.terminal import say, table

COARSE_PERMILLE = 1.0
"""Where the weighing alone leaves the fineness this open, it is worth telling."""


def tell_plan(plan: MeltPlan, settings: MeltSettings) -> None:
    """Every melt, then what is left of the stock and what was kept out of all."""
    everywhere = {out.lot for out in plan.kept_out}
    for melt in plan.melts:
        _tell_melt(melt, everywhere)
    for out in plan.kept_out:
        say(f"kept out: {out.lot}: {out.why}")
    say(f"in the order of melting: {ORDER_WORDS}")
    say(
        f"weighed to {settings.balance_g:g} g; {settings.zinc_fume_percent:g} % of zinc is lost as "
        f"fume and topped up; other metals within {settings.tolerance_permille:g} permille; at "
        f"most {settings.remelt_percent:g} % remelt; aim: {settings.aim}"
    )
    if plan.left:
        say()
        head = "left of" if plan.possible else "would be left if nothing were missing"
        table((head, "g"), [[one.lot, _grams(one.grams)] for one in plan.left])
    if plan.bought_cost:
        say(f"what must be bought costs {plan.bought_cost:.2f} {plan.currency}, premium included")


def _tell_melt(melt: Melt, everywhere: set[str]) -> None:
    wanted = melt.wanted
    job = f"{wanted.job}: " if wanted.job else ""
    say(f"{job}{wanted.grams:.2f} g of {wanted.alloy.name} ({written(wanted.alloy.recipe)})")
    if melt.possible:
        rows = [
            [
                "[ ]",
                _grams(portion.grams),
                f"BUY {portion.source.name}" if portion.source.bought else portion.source.name,
                written(portion.source.recipe) if len(portion.source.recipe.shares) > 1 else "",
            ]
            for portion in melt.take
        ]
        table(("", "g", "weigh out", "recipe"), rows)
        say(f"  {_comes_of(melt)}")
        for why in melt.why:
            say(f"  but: {why}")
    else:
        lacks = "; missing, to reach its limits:" if melt.missing else ":"
        say(f"  cannot be made from the stock{lacks}")
        for one in melt.missing:
            say(f"    {one.grams + 0.005:.2f} g of fine {element(one.symbol).name}")
        for why in melt.why:
            say(f"    or: {why}" if melt.missing else f"    {why}")
        taken = ", ".join(f"{_grams(t.grams)} {t.source.name}" for t in melt.take)
        if taken:
            say(f"    it would take {taken}")
    if (pour := pour_c(wanted.alloy)) is not None:
        say(f"  {pour.text}; {pour.flask}")
    for fault in recipe_faults(wanted.alloy.recipe):
        say(f"  {fault.level}: {fault.text}; {fault.fix}")
    for hint in hints(wanted.alloy.recipe):
        say(f"  {hint.text}")
    for out in melt.excluded:
        # that fine copper is not for a melt without copper needs no saying
        if not out.why.startswith("holds 100 %") and out.lot not in everywhere:
            say(f"  without {out.lot}: {out.why}")
    say()


def _comes_of(melt: Melt) -> str:
    said = f"gives {melt.poured_g:.2f} g: {written(melt.made.recipe)}"
    if melt.fineness_permille is not None and melt.worst_permille is not None:
        said += (
            f"; {melt.fineness_permille:.1f} permille, at worst {melt.worst_permille:.1f} "
            f"(wanted {melt.wanted.wanted_permille:.1f})"
        )
    open_by = (melt.fineness_permille or 0) - (melt.worst_permille or 0)
    if open_by > COARSE_PERMILLE:
        said += f"; {open_by:.1f} permille uncertain: weigh finer or melt more at once"
    if melt.fume_g > 0:
        said += f"; {melt.fume_g:.2f} g of zinc goes off as fume"
    if melt.remelt_percent > 0:
        said += f"; {melt.remelt_percent:.0f} % remelt"
    if melt.shift_de00 >= 0.05:
        said += f"; colour {melt.shift_de00:.1f} dE00 from the recipe's (predicted)"
    return said


def _grams(grams: float) -> str:
    return f"{grams:.2f}" if abs(grams - round(grams, 2)) < 1e-9 else f"{grams:.4f}".rstrip("0")


def tell_cautions(cautions: Sequence[Caution]) -> None:
    """Cautions, each with its source."""
    say()
    for caution in cautions:
        say(f"caution: {caution.text} ({caution.source})")


def tell_marks(
    proposals: Sequence[ArticleMark], rooms: Sequence[SolderRoom] = (), *, words: bool
) -> None:
    """What may be stamped, region by region, with the rules behind it."""
    for proposal in proposals:
        say(f"{region_of(proposal.region).name}")
        for stamp in proposal.stamps:
            say(f"  {stamp.line}")
        if not proposal.stamps:
            say("  no fineness mark")
        for room in (room for room in rooms if room.region == proposal.region):
            most = f"up to {room.grams:.3f} g" if room.grams < 1e6 else "any amount"
            say(f"  {room.mark} carries {most} of solder of {room.solder_permille:g} permille")
        if proposal.exempt:
            say("  light enough to need no hallmark")
        if proposal.average_permille is not None:
            say(f"  the average of {proposal.average_permille:.0f} permille is never a mark")
        for doubt in proposal.doubts:
            say(f"  {doubt.level}: {doubt.text}")
            say(f"      {doubt.fix}")
        for said in proposal.words if words else proposal.words[-1:]:
            say(f"  {said.text} ({said.source}; {said.known})")
